package engine_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mathext"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/internal/naive"
)

// firstMove folds a tally of + - h (helped late) and says which rule made the first move, and at which trial: "advance 5",
// or "" for none. The naive reader is asked as well; the engine is left out, and said to be, while it refuses the rules.
func firstMove(t *testing.T, tally string, rules ...curriculum.Rule) string {
	t.Helper()
	c := oneRule(rules...)
	p, err := engine.Compile(c)
	var refused engine.Refusals
	if errors.As(err, &refused) {
		p = nil
	} else {
		require.NoError(t, err)
	}
	r := naive.New(c)
	var f *engine.Fold
	if p != nil {
		f = p.NewFold()
	}
	at := noon
	for i, m := range tally {
		tr := curriculum.Trial{ID: fmt.Sprint(i + 1), Dog: "okapi", Behaviour: "spin", At: at, Outcome: curriculum.Success}
		switch m {
		case '-':
			tr.Outcome = curriculum.Wrong
		case 'h':
			tr.Help = []string{curriculum.UnnamedHelp}
		}
		require.NoError(t, r.Trial(tr))
		if f != nil {
			require.NoError(t, f.Record(&tr))
		}
		at = at.Add(time.Second)
	}
	want := ""
	if ms := r.Answers(at)[0].Behaviours[0].Moves; len(ms) > 0 {
		want = ms[0].Rule + " " + ms[0].Trial
	}
	if f == nil {
		t.Logf("the naive reader alone: %v", err)
		return want
	}
	got := ""
	if ms := f.Standing(at).Dogs[0].Behaviours[0].Moves; len(ms) > 0 {
		got = ms[0].Rule + " " + ms[0].Trial
	}
	require.Equal(t, want, got, "naive reader and engine on %s", tally)
	return got
}

// Exact lower bounds of C. J. Clopper and E. S. Pearson (Biometrika 26:404-413, 1934), two-sided 95%, so one-sided 97.5%:
// 81 of 263: .2527 and 15 of 148: .0578 are printed in R. G. Newcombe, Statistics in Medicine 17:857-872 (1998), Table I;
// 1 of 29: .0009 and the upper bounds .3676, .1617, .1684 (0 of 20) and .1776 too; 18 and 4 of 20, 4 of 200 and 1 of 30 are
// R's binom.confint as stored in the tests of statsmodels; the rest is recomputed with R and scipy, which agree.
func TestConfidenceIsTheExactLowerBound(t *testing.T) {
	for _, c := range []struct {
		x, n  int
		lower float64
	}{
		{4, 5, 0.2835820639}, {5, 5, 0.4781762499}, {8, 10, 0.4439045377}, {9, 10, 0.5549838830}, {10, 10, 0.6915028922},
		{18, 20, 0.6830172860}, {4, 20, 0.0573339971}, {15, 148, 0.0578440101}, {81, 263, 0.2527367456},
		{1, 29, 0.0008726469}, {1, 30, 0.0008435709}, {4, 200, 0.0054755659},
		// upper bounds, as one less the lower bound of the misses
		{182, 263, 1 - 0.3676219226}, {133, 148, 1 - 0.1616504903}, {20, 20, 1 - 0.1684334710}, {28, 29, 1 - 0.1776442955},
		{16, 20, 1 - 0.4366140030}, {2, 20, 1 - 0.9876514728}, {196, 200, 1 - 0.0504136091}, {29, 30, 1 - 0.1721694556},
	} {
		for _, d := range []struct {
			share float64
			holds bool
		}{{c.lower - 1e-6, true}, {c.lower + 1e-6, false}} {
			share := curriculum.Share{Num: int64(d.share * 1e7), Den: 1e7}
			// an advance that waits for all n trials, so that a good beginning does not fire it
			rule := advance(curriculum.And{All: []curriculum.Criterion{
				curriculum.After{N: c.n}, curriculum.Confidence{Share: share, Confidence: curriculum.Share{Num: 975, Den: 1000}, N: c.n}}})
			tally := strings.Repeat("+", c.x) + strings.Repeat("-", c.n-c.x)
			want := ""
			if d.holds {
				want = fmt.Sprintf("advance %d", c.n)
			}
			require.Equal(t, want, firstMove(t, tally, rule), "%d of %d against %.7f", c.x, c.n, d.share)
		}
		// and once more from the beta distribution as gonum has it
		require.InDelta(t, c.lower, mathext.InvRegIncBeta(float64(c.x), float64(c.n-c.x+1), 0.025), 1e-9)
	}
}

func TestConfidenceLeavesHelpedTrialsOut(t *testing.T) {
	rule := advance(curriculum.Confidence{Share: curriculum.Percent(50), Confidence: curriculum.Percent(95), N: 30})
	require.Equal(t, "advance 5", firstMove(t, "+++++", rule))
	require.Equal(t, "advance 7", firstMove(t, "+h+h+++", rule))
	require.Equal(t, "", firstMove(t, "hhhhhhhhhh", rule))
}

// A. Wald, Sequential Analysis, Wiley 1947. The plan of the NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.6: 1%
// against 10% with errors 5% and 10%. What is counted there as a defect is counted here as a success. At n = 24 it accepts
// with 0 and rejects with 3 (printed); no acceptance before 24, rejection number 2 for n = 2 to 19, 3 for n = 20 to 26,
// nothing possible at n = 1 (recomputed).
func TestSequentialIsTheSequentialTestOfTheHandbook(t *testing.T) {
	is := curriculum.Sequential{Low: curriculum.Percent(1), High: curriculum.Percent(10), WronglyUp: curriculum.Percent(5), WronglyDown: curriculum.Percent(10)}
	// the ease is at the very start, where it is a move to the same level
	rules := []curriculum.Rule{advance(is), {Word: curriculum.Ease, When: is}}
	none := func(n int) string { return strings.Repeat("-", n) }
	require.Equal(t, "", firstMove(t, "+", rules...))
	require.Equal(t, "", firstMove(t, none(23), rules...))
	require.Equal(t, "ease 24", firstMove(t, none(24), rules...))
	for n := 2; n <= 26; n++ {
		second := "+" + none(n-2) + "+"
		third := "+" + none(max(0, n-3)) + "++"
		if n <= 19 {
			require.Equal(t, fmt.Sprintf("advance %d", n), firstMove(t, second, rules...))
			continue
		}
		require.Equal(t, "", firstMove(t, second, rules...), "n = %d", n)
		if n > 20 { // its second success falls at 20 or later
			require.Equal(t, fmt.Sprintf("advance %d", n), firstMove(t, third, rules...))
		}
	}
}
