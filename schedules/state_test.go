package schedules

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Sessions of any lengths, paid as planned and put on record or not, are one pattern cut in pieces.
func TestSessionsAreOnePatternCutInPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ratio(t, rapid.SampledFrom([]RatioKind{Every, Fixed, Variable, Random}).Draw(t, "kind"), rapid.Int64Range(2, 9).Draw(t, "num"), 2)
		seed := rapid.Uint64().Draw(t, "seed")
		onRecord := rapid.Bool().Draw(t, "on record")
		var s State
		got := []bool{}
		for _, n := range rapid.SliceOfN(rapid.IntRange(0, 12), 1, 10).Draw(t, "sessions") {
			pattern := r.Session(s, n, seed)
			got = append(got, pattern...)
			for _, paid := range pattern {
				switch {
				case !onRecord:
					s = s.After(Unsaid)
				case paid:
					s = s.After(Paid)
				default:
					s = s.After(NotPaid)
				}
			}
		}
		require.Equal(t, r.Pattern(0, len(got), seed), got)
		require.Equal(t, len(got), s.Successes)
	})
}

// However carelessly it was paid, what is planned next stays within the ratio's own bound.
func TestARunFindsBackWhateverWasPaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := ratio(t, rapid.SampledFrom([]RatioKind{Fixed, Variable}).Draw(t, "kind"), rapid.Int64Range(2, 9).Draw(t, "num"), 2)
		var s State
		for _, p := range rapid.SliceOfN(rapid.SampledFrom([]Payment{Unsaid, Paid, NotPaid}), 0, 40).Draw(t, "payments") {
			s = s.After(p)
		}
		longest, _ := r.LongestUnpaid()
		plan := r.Session(s, longest+1, rapid.Uint64().Draw(t, "seed"))
		require.LessOrEqual(t, LongestRun(plan), longest)
		if s.Unsaid == 0 && s.Unpaid >= longest {
			require.True(t, plan[0], "a reward that is overdue is the next thing")
		}
	})
}

func TestWhatAPaymentDoesToTheRun(t *testing.T) {
	r := ratio(t, Fixed, 3, 1)
	for _, c := range []struct {
		name    string
		done    []Payment
		pattern []bool
	}{
		{"a new run", nil, []bool{false, false, true, false}},
		{"two are owed", []Payment{NotPaid, NotPaid}, []bool{true, false, false, true}},
		{"one paid too early begins anew", []Payment{NotPaid, Paid}, []bool{false, false, true, false}},
		{"one forgotten is the next", []Payment{NotPaid, NotPaid, NotPaid, NotPaid}, []bool{true, false, false, true}},
		{"nothing on record is as planned", []Payment{Unsaid, Unsaid, Unsaid, Unsaid}, []bool{false, true, false, false}},
		{"on record up to the last reward, then nothing", []Payment{NotPaid, NotPaid, Paid, Unsaid}, []bool{false, true, false, false}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var s State
			for _, p := range c.done {
				s = s.After(p)
			}
			require.Equal(t, c.pattern, r.Session(s, 4, 1))
			text, err := json.Marshal(s)
			require.NoError(t, err)
			var back State
			require.NoError(t, json.Unmarshal(text, &back))
			require.Equal(t, s, back)
		})
	}
	require.Empty(t, r.Session(State{}, -1, 1))
	require.Equal(t, 2, LongestRun([]bool{true, false, false, true, false}))
}
