package examples_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine/example"
)

// The school's examples pass, fire every line with a rule, show every side of a criterion, and hold its numbers in place: of all changes of one number, one
// word or one rule, not one in a hundred goes unseen. Those are eases at a behaviour's first level, which lead nowhere.
func TestTheSchoolsExamplesHoldItsRulesInPlace(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	p := house(t)
	r := example.Run(p, example.Options{})
	for _, c := range r.Cases {
		for _, f := range c.Failures {
			t.Errorf("%s:%d: expected %s; %s", f.File, f.Line, f.Expected, f.Found)
		}
	}
	require.Greater(t, r.Passed, 250)
	require.Equal(t, r.Rules.Lines, r.Rules.InLines)
	require.Empty(t, r.Rules.Sides)
	d := example.Doubt(p, example.Options{}, nil)
	t.Logf("%d changes, %d noticed, %d without any difference", d.Changes, d.Noticed, d.Same)
	require.Greater(t, d.Changes, 500)
	require.GreaterOrEqual(t, 100*d.Noticed, 99*(d.Changes-d.Same))
}
