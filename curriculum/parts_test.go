package curriculum_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

func TestThePartsOfACriterionAreAllThatStandsInIt(t *testing.T) {
	window := func(n int) curriculum.Window { return curriculum.Window{K: 1, N: n} }
	named := curriculum.Named{Name: "sound", Is: window(1)}
	inside := curriculum.InSession{Is: curriculum.Repeated{Is: window(2), N: 2}}
	not := curriculum.Not{Is: curriculum.Or{Any: []curriculum.Criterion{window(3), nil, window(4)}}}
	whole := curriculum.And{All: []curriculum.Criterion{named, inside, not}}
	want := []curriculum.Criterion{whole, named, window(1), inside, inside.Is, window(2), not, not.Is, window(3), window(4)}
	var got []curriculum.Criterion
	for p := range curriculum.Parts(whole) {
		got = append(got, p)
	}
	require.Equal(t, want, got)
	for n := range want {
		seen := 0
		require.True(t, curriculum.AnyPart(whole, func(curriculum.Criterion) bool { seen++; return seen == n+1 }))
		require.Equal(t, n+1, seen, "none is asked after the one that was looked for")
	}
	require.False(t, curriculum.AnyPart(whole, func(p curriculum.Criterion) bool { _, is := p.(curriculum.Done); return is }))
	require.False(t, curriculum.AnyPart(nil, func(curriculum.Criterion) bool { return true }))
}
