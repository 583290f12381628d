package odds_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/rung/curriculum"
	"example.com/rung/engine/odds"
)

// One block, a block on each of two days, the first try on three of four days: common practice of the trade. The values were
// worked out for this project by a script that shares no code with it, to three decimals; binomial tails, their squares and
// the like.
func TestBlocksAndColdTestsPassAsOftenAsTheTradeReckons(t *testing.T) {
	rates := []float64{.5, .6, .7, .8, .9}
	for _, c := range []struct {
		is       curriculum.Criterion
		by       int
		sessions odds.Sessions
		passes   []float64
	}{
		{ofEach(4, 5), 5, odds.Sessions{}, []float64{.188, .337, .528, .737, .919}},
		{ofEach(8, 10), 10, odds.Sessions{}, []float64{.055, .167, .383, .678, .930}},
		{ofEach(9, 10), 10, odds.Sessions{}, []float64{.011, .046, .149, .376, .736}},
		{in(2, curriculum.Days, ofEach(8, 10)), 20, odds.Sessions{Trials: 10}, []float64{.003, .028, .147, .459, .865}},
		{curriculum.FirstTrial{N: 3}, 4, odds.Sessions{Trials: 1}, []float64{.313, .475, .652, .819, .948}},
	} {
		for i, r := range criterion(t, c.is, odds.Question{Chances: rates, By: c.by, Sessions: c.sessions}) {
			require.InDelta(t, c.passes[i], r.Advance, .000501, "%s at %v", curriculum.CriterionText(c.is), rates[i])
		}
	}
	// the chance level of a choice between two: sixteen of twenty (standard table)
	near(t, .005908966064, criterion(t, ofEach(16, 20), odds.Question{Chances: []float64{.5}, By: 20})[0].Advance, 1e-9)
}

// Any block, against gonum's binomial distribution.
func TestBlocksAreBinomialTailsOfAnotherLibrary(t *testing.T) {
	for n := 2; n <= 20; n += 3 {
		for k := (n + 1) / 2; k <= n; k++ {
			for _, p := range []float64{.3, .6, .8, .95} {
				r := criterion(t, ofEach(k, n), odds.Question{Chances: []float64{p}, By: n})[0]
				tail := distuv.Binomial{N: float64(n), P: p}.Survival(float64(k) - 1)
				require.InDelta(t, tail, r.Advance, 2e-12, "%d of %d at %v", k, n, p)
				if tail > 1e-3 { // one minus the rest, so a small tail of gonum's has few digits
					near(t, float64(n)/tail, float64(r.Mean), 1e-11, "%d of %d at %v", k, n, p)
				}
			}
		}
	}
}

// Shares of whole sessions of ten, three running: a run of three (W. Feller, vol. 1, XIII.7) whose chance is the binomial tail.
func TestSharesOfSessionsThreeRunningAreRunsOfBinomialTails(t *testing.T) {
	share := func(percent int64) curriculum.Criterion {
		return curriculum.SessionShare{Share: curriculum.Percent(percent), MinTrials: 10, N: 3, InARow: true}
	}
	for _, c := range []struct {
		percent  int64
		p        float64
		sessions float64
	}{{90, .8, 28.58209191}, {90, .9, 5.711284971}, {100, .9, 34.68306021}, {100, .95, 9.118683064}} {
		r := criterion(t, share(c.percent), odds.Question{Chances: []float64{c.p}, Sessions: odds.Sessions{Trials: 10}})[0]
		near(t, 10*c.sessions, float64(r.Mean), 1e-9, "%v", c)
	}
	for p, within := range map[float64]float64{.8: .5120489753, .9: .9167094355} {
		near(t, within, criterion(t, share(80), odds.Question{Chances: []float64{p}, By: 50, Sessions: odds.Sessions{Trials: 10}})[0].Advance, 1e-9)
	}
	near(t, .2060847189, criterion(t, ofEach(18, 20), odds.Question{Chances: []float64{.8}, By: 20})[0].Advance, 1e-9) // standard table
}

// How many sequences of N fair trials meet "k of the last n", by their number of successes (kofn_counts.csv, exact): for any
// chance they add up to what a criterion is said to have reached by trial N, counted by the machine of the engine's rules.
func TestSequencesThatMeetAWindowAddUpToItsChance(t *testing.T) {
	rows := 0
	for _, row := range checksFile(t, "kofn_counts.csv") {
		k, n, trials := int(number(t, row[0])), int(number(t, row[1])), int(number(t, row[2]))
		if n > 10 {
			continue // the machine of 16 of 20 takes its time; windowShape goes through those
		}
		for _, p := range []float64{.3, .5, .8, .95} {
			want := 0.0
			for s, ways := range strings.Split(row[5], ";") {
				want += number(t, ways) * math.Pow(p, float64(s)) * math.Pow(1-p, float64(trials-s))
			}
			r := criterion(t, ofLast(k, n), odds.Question{Chances: []float64{p}, By: trials})[0]
			require.InDelta(t, want, r.Advance, 3e-12, "%v at %v", row[:3], p)
			rows++
		}
	}
	require.Greater(t, rows, 50)
}

// J. I. Naus, JASA 77:177-183, 1982: Q(N), the chance that no window of N trials holds, is about Q(2n) (Q(3n)/Q(2n))^(N/n-2).
// For 4 of 5 fair trials the two first values are exact, and at N = 50 the formula is 0.08 % below the exact one.
func TestWindowsAreAsNausApproximatesThem(t *testing.T) {
	q := func(n int) float64 {
		return 1 - criterion(t, ofLast(4, 5), odds.Question{Chances: []float64{.5}, By: n})[0].Advance
	}
	near(t, .5478515625, q(10), 1e-11)
	near(t, .3656616211, q(15), 1e-9)
	near(t, .02159531, q(50), 5e-7)
	about := q(10) * math.Pow(q(15)/q(10), 50.0/5-2)
	near(t, .02157718, about, 5e-7)
	require.InDelta(t, -.0008, about/q(50)-1, .00005)
}

// Two of two beyond a limit on one side, at the limit of which such a chart has the run length of a three-sigma chart, 370.4:
// 1.7814 (M. Klein, 2000, remembered; recomputed, 1.781418).
func TestTwoOfTwoHasTheRunLengthThatIsRememberedForIt(t *testing.T) {
	out := distuv.UnitNormal.Survival(1.781418)
	s := odds.NewShape(3, 1) // letters: within, above, below
	s.Add(odds.Arc{Letter: 0, To: 0}, odds.Arc{Letter: 1, To: 1}, odds.Arc{Letter: 2, To: 2})
	s.Add(odds.Arc{Letter: 0, To: 0}, odds.Arc{Letter: 1, To: odds.End(0)}, odds.Arc{Letter: 2, To: 2})
	s.Add(odds.Arc{Letter: 0, To: 0}, odds.Arc{Letter: 1, To: 1}, odds.Arc{Letter: 2, To: odds.End(0)})
	require.InDelta(t, 370.4, timesOf(t, s, 1-2*out, out, out).Mean, .005)
}
