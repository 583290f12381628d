package engine_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Published waiting times and balance points, got from the engine's own decisions: a history is extended trial by trial
// through a fold, histories that no rule can tell apart are taken together, and the chances of what the engine decides
// are added up exactly. Nothing here works a criterion out by itself.

// outcome is one sort of trial and its chance.
type outcome struct {
	chance float64
	trial  curriculum.Trial
}

// coin is a dog that succeeds with a chance.
func coin(p float64) []outcome {
	return []outcome{{p, curriculum.Trial{Outcome: curriculum.Success}}, {1 - p, curriculum.Trial{Outcome: curriculum.Wrong}}}
}

// newestOnes takes histories together whose newest n trials are the same sorts.
func newestOnes(n int) func([]int) string {
	return func(h []int) string { return fmt.Sprint(h[max(0, len(h)-n):]) }
}

// first is what the engine does first.
type first struct {
	chance map[string]float64 // of each rule to be the first to move the dog
	mean   float64            // trials until then
	states int
}

// firstMoves is the exact answer for independent trials. same names histories that are taken together; what is left over
// after the last step is less than 1e-12.
func firstMoves(t testing.TB, p *engine.Program, sorts []outcome, same func([]int) string) first {
	type state struct {
		history []int
		next    []int    // by sort; -1 where a rule moves the dog
		rule    []string // then
	}
	index := map[string]int{}
	states := []*state{{}}
	index[same(nil)] = 0
	for i := 0; i < len(states); i++ {
		s := states[i]
		for k := range sorts {
			h := append(append([]int(nil), s.history...), k)
			rule := moveAtLast(t, p, sorts, h)
			at := -1
			if rule == "" {
				key := same(h)
				var known bool
				if at, known = index[key]; !known {
					at = len(states)
					index[key] = at
					states = append(states, &state{history: h})
				}
			}
			s.next, s.rule = append(s.next, at), append(s.rule, rule)
		}
		require.Less(t, len(states), 20_000)
	}
	out := first{chance: map[string]float64{}, states: len(states)}
	mass, left := make([]float64, len(states)), 1.0
	mass[0] = 1
	for left > 1e-12 {
		out.mean += left
		then := make([]float64, len(states))
		for i, m := range mass {
			if m == 0 {
				continue
			}
			for k := range sorts {
				if part := m * sorts[k].chance; states[i].next[k] >= 0 {
					then[states[i].next[k]] += part
				} else {
					out.chance[states[i].rule[k]] += part
				}
			}
		}
		mass, left = then, 0
		for _, m := range mass {
			left += m
		}
	}
	return out
}

// moveAtLast folds a history and says which rule moves the dog at its end; none may have moved it before.
func moveAtLast(t testing.TB, p *engine.Program, sorts []outcome, history []int) string {
	f := p.NewFold()
	at := noon
	for _, k := range history {
		tr := sorts[k].trial
		tr.Dog, tr.Behaviour, tr.At = "okapi", "spin", at
		if err := f.Record(&tr); err != nil {
			require.NoError(t, err)
		}
		at = at.Add(time.Second)
	}
	moves := f.Standing(at).Dogs[0].Behaviours[0].Moves
	if len(moves) == 0 {
		return ""
	}
	if moves[0].At.Sub(noon) != time.Duration(len(history)-1)*time.Second {
		require.Fail(t, "moved before the end", "%v", history)
	}
	return moves[0].Rule
}

// Mean numbers of trials until k of the last n are successes (the criterion may be met before n trials). Three in a row
// and five: W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7, (1 - p^r) / (q p^r). The
// others: exact fractions by Gaussian elimination, 2122/137 for 4 of 5 of a fair coin. Two of three at p = 0.1: 1190/19, by
// the formula for two successes within m of M. V. Koutras, Ann. Inst. Statist. Math. 48:789-806 (1996).
func TestTheMeanWaitIsTheKnownOne(t *testing.T) {
	for _, c := range []struct {
		k, n int
		p    float64
		mean float64
	}{
		{3, 3, .5, 14}, {3, 3, .8, 305.0 / 64}, {3, 3, .9, 2710.0 / 729}, {5, 5, .5, 62}, {5, 5, .8, 10505.0 / 1024},
		{2, 3, .5, 14.0 / 3}, {2, 3, .9, 1990.0 / 891}, {2, 3, .1, 1190.0 / 19}, {3, 4, .5, 114.0 / 13},
		{4, 5, .5, 2122.0 / 137}, {4, 5, .8, 30995245.0 / 5636096}, {4, 5, .9, 35877831490.0 / 7880292441},
		{8, 10, .8, 11.44993128}, {8, 10, .9, 9.075677317}, {9, 10, .8, 17.22165167}, {9, 10, .95, 9.770366943},
	} {
		got := firstMoves(t, compiled(t, oneRule(advance(ofLast(c.k, c.n)))), coin(c.p), newestOnes(c.n))
		require.InDelta(t, c.mean, got.mean, 1e-8*c.mean, "%d of last %d at %v", c.k, c.n, c.p)
		require.InDelta(t, 1, got.chance["advance"], 1e-11)
	}
}

// Runs rules on a control chart are windows that race: the mean number of points until one of them holds. C. W. Champ and
// W. H. Woodall, Technometrics 29:393-399 (1987); 370.40 and 91.75 as the NIST/SEMATECH e-Handbook of Statistical Methods,
// 6.3.2, gives them, the rest as remembered from the paper and recomputed.
func TestWindowsThatRaceHaveThePublishedRunLengths(t *testing.T) {
	tail := func(z float64) float64 { return math.Erfc(z/math.Sqrt2) / 2 }
	edges := []float64{0, 1, 2, 3}
	var points []outcome
	var value []float64
	for _, side := range []float64{1, -1} {
		for i, z := range edges {
			chance := tail(z)
			if i+1 < len(edges) {
				chance -= tail(edges[i+1])
			}
			at := side * (z + 0.5)
			points = append(points, outcome{chance, curriculum.Trial{Outcome: curriculum.Success, Measures: []curriculum.MeasureValue{{Name: "turn", Value: 100 + at}}}})
			value = append(value, at)
		}
	}
	beyond := func(k, n int, z float64) (any []curriculum.Criterion) {
		for _, text := range []string{fmt.Sprintf("turn > %v", 100+z), fmt.Sprintf("turn < %v", 100-z)} {
			any = append(any, curriculum.Window{K: k, N: n, Qualify: curriculum.Qualifiers{Where: &curriculum.Expression{Text: text}}})
		}
		return any
	}
	// what a rule remembers: the sides of the newest points that lie beyond its line
	newest := func(h []int, n int, z float64) (key string) {
		for _, k := range h[max(0, len(h)-n):] {
			switch v := value[k]; {
			case v > z:
				key += "+"
			case v < -z:
				key += "-"
			default:
				key += "."
			}
		}
		return strings.TrimLeft(key, ".") + "|"
	}
	type rule struct {
		any  []curriculum.Criterion
		same func(h []int) string
	}
	one := rule{beyond(1, 1, 3), func([]int) string { return "" }}
	two := rule{beyond(2, 3, 2), func(h []int) string { return newest(h, 2, 2) }}
	four := rule{beyond(4, 5, 1), func(h []int) string { return newest(h, 4, 1) }}
	eight := rule{beyond(8, 8, 0), func(h []int) string {
		n := 0
		for n < len(h) && n < 7 && value[h[len(h)-1-n]]*value[h[len(h)-1]] > 0 {
			n++
		}
		return newest(h, n, 0)
	}}
	for _, c := range []struct {
		name  string
		rules []rule
		mean  float64
	}{
		{"one beyond three sigma", []rule{one}, 370.398347},
		{"and two of three beyond two", []rule{one, two}, 225.438407},
		{"and four of five beyond one", []rule{one, four}, 166.054517},
		{"and eight on one side", []rule{one, eight}, 152.730065},
		{"one, two of three, four of five", []rule{one, two, four}, 132.892811},
		{"one, two of three, eight", []rule{one, two, eight}, 122.050772},
		{"one, four of five, eight", []rule{one, four, eight}, 105.783065},
		{"all four", []rule{one, two, four, eight}, 91.750773},
	} {
		t.Run(c.name, func(t *testing.T) {
			var rules []curriculum.Rule
			for _, r := range c.rules {
				rules = append(rules, advance(curriculum.Or{Any: r.any}))
			}
			same := func(h []int) (key string) {
				for _, r := range c.rules {
					key += r.same(h)
				}
				return key
			}
			house := oneRule(rules...)
			house.Measures = []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}
			got := firstMoves(t, compiled(t, house), points, same)
			require.InDelta(t, c.mean, got.mean, 2e-6, "%d states", got.states)
		})
	}
}

// Transformed up-down rules (H. Levitt, J. Acoust. Soc. Am. 49:467-477, 1971, Table I): one level harder after k successes
// in a row and one easier after a miss balance where p^k = 1/2: 70.7% for two, as printed, 79.4% for three, 84.1% for four;
// easier after k misses in a row and harder after a success where (1-p)^k = 1/2.
func TestStaircasesBalanceWhereTheyAreKnownTo(t *testing.T) {
	for k, p := range map[int]float64{1: 0.5, 2: 0.7071067812, 3: 0.7937005260, 4: 0.8408964153, 5: 0.8705505633, 6: 0.8908987181, 8: 0.9170040432} {
		down := compiled(t, staircase(1, inARow(k), missesInARow(1)))
		got := firstMoves(t, down, coin(p), newestOnes(k))
		require.InDelta(t, 0.5, got.chance["advance"], 1e-9, "%d successes in a row against a miss", k)
		require.InDelta(t, 0.5, got.chance["ease"], 1e-9)
	}
	for k, p := range map[int]float64{2: 0.2928932188, 3: 0.2062994740, 4: 0.1591035847} {
		up := compiled(t, staircase(1, inARow(1), missesInARow(k)))
		got := firstMoves(t, up, coin(p), newestOnes(k))
		require.InDelta(t, 0.5, got.chance["advance"], 1e-9, "a success against %d misses in a row", k)
	}
}

// staircase is one step with so many levels on a ramp.
func staircase(levels int, up, down curriculum.Criterion) *curriculum.Curriculum {
	var ramp []curriculum.Ramp
	if levels > 1 {
		r := curriculum.Ramp{Of: "turn"}
		for i := range levels {
			r.Values = append(r.Values, curriculum.LevelValue{Quantity: curriculum.Q(int64(10*(i+1)), curriculum.Degree)})
		}
		ramp = []curriculum.Ramp{r}
	}
	c := oneRule(advance(up), curriculum.Rule{Word: curriculum.Ease, When: down})
	c.Measures = []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}}
	s := c.Behaviours[0].Steps[0]
	s.Ramps, s.Levels = ramp, curriculum.LayOut(ramp, curriculum.Raise{})
	return c
}

// A dog that does worse the harder it gets walks up and down the levels of a staircase as the known chain of births and
// deaths says (Feller, vol. 1, XV.2): a stay at level i ends upwards with chance p_i^k, so stays are spread as the
// products of p_i^k / (1 - p_{i+1}^k). 60,000 seeded trials, and stays that follow on one another are not independent:
// each level's share is to lie within 1.5 percentage points, the mean chance of success within one of Levitt's balance
// point p^k = 1/2, which fixed steps do not hit exactly (M. A. Garcia-Perez, Vision Res. 38:1861-1881, 1998).
func TestAStaircaseSettlesWhereItIsKnownTo(t *testing.T) {
	const levels, trials = 24, 60_000
	for _, k := range []int{2, 3} {
		p := compiled(t, staircase(levels, inARow(k), missesInARow(1)))
		chance := func(i int) float64 { return 1 / (1 + math.Exp(0.35*float64(i-12))) }
		f := p.NewFold()
		r := rand.New(rand.NewPCG(uint64(k), 71))
		tr := curriculum.Trial{Dog: "okapi", Behaviour: "spin", At: noon}
		at, run := 0, 0 // where the engine is to be, by its moves
		for range trials {
			tr.Outcome = curriculum.Wrong
			if r.Float64() < chance(at) {
				tr.Outcome = curriculum.Success
			}
			require.NoError(t, f.Record(&tr))
			tr.At = tr.At.Add(time.Second)
			switch run++; {
			case tr.Outcome == curriculum.Wrong:
				at, run = max(0, at-1), 0
			case run == k:
				at, run = at+1, 0
			}
		}
		b := f.Standing(tr.At).Dogs[0].Behaviours[0]
		require.Equal(t, fmt.Sprintf("%d deg", 10*(at+1)), b.Level["turn"], "the engine stands where its moves lead")
		stays := map[string]float64{}
		for _, m := range b.Moves {
			stays[m.From.Level["turn"]]++
		}
		weight, sum := make([]float64, levels), 0.0
		weight[0] = 1
		for i := range levels - 1 {
			weight[i+1] = weight[i] * math.Pow(chance(i), float64(k)) / (1 - math.Pow(chance(i+1), float64(k)))
		}
		for _, w := range weight {
			sum += w
		}
		mean := 0.0
		for i, w := range weight {
			share := stays[fmt.Sprintf("%d deg", 10*(i+1))] / float64(len(b.Moves))
			require.InDelta(t, w/sum, share, 0.015, "level %d", i)
			mean += share * math.Pow(chance(i), float64(k))
		}
		require.InDelta(t, 0.5, mean, 0.01, "%d in a row", k)
	}
}

// Exact error rates and mean numbers of trials of sequential tests: by dynamic programming over the plan, and for the
// NIST plan also by simulation, which agrees. The usual approximations (0.95, 27.96 ...) ignore that a test overshoots its
// bounds; exact code has these. L is the chance of settling for the low share.
func TestSequentialTestsHaveTheirExactErrorsAndLengths(t *testing.T) {
	for _, c := range []struct {
		name                string
		low, high, up, down int64
		p, low1, mean       float64
	}{
		{"the handbook's plan, at the low share", 1, 10, 5, 10, .01, .97795289, 30.212726},
		{"the handbook's plan, at the high share", 1, 10, 5, 10, .10, .09957880, 22.369155},
		{"a half against four fifths, guessing", 50, 80, 5, 10, .5, .95988643, 10.678213},
		{"a half against four fifths, able", 50, 80, 5, 10, .8, .07318665, 14.221677},
		{"six against nine of ten, at six", 60, 90, 5, 5, .6, .95950436, 10.797004},
		{"six against nine of ten, at nine", 60, 90, 5, 5, .9, .02705571, 13.270336},
	} {
		t.Run(c.name, func(t *testing.T) {
			is := curriculum.Sequential{Low: curriculum.Percent(c.low), High: curriculum.Percent(c.high), WronglyUp: curriculum.Percent(c.up), WronglyDown: curriculum.Percent(c.down)}
			p := compiled(t, oneRule(advance(is), curriculum.Rule{Word: curriculum.Ease, When: is}))
			low, mean := settled(t, p, c.p)
			require.InDelta(t, c.low1, low, 1e-7)
			require.InDelta(t, c.mean, mean, 1e-5)
		})
	}
}

// settled is the chance that the ease fires before the advance, and the mean number of trials until either does. The
// counts of successes and trials are all that a sequential test sees.
func settled(t *testing.T, p *engine.Program, chance float64) (low, mean float64) {
	type history struct {
		run  []int
		mass float64
	}
	open := map[int]*history{0: {mass: 1}} // by successes
	sorts := coin(chance)
	for left := 1.0; left > 1e-11; {
		mean += left
		next := map[int]*history{}
		left = 0
		for good := range 600 {
			h := open[good]
			if h == nil {
				continue
			}
			for k, s := range sorts {
				run := append(append([]int(nil), h.run...), k)
				switch moveAtLast(t, p, sorts, run) {
				case "ease":
					low += h.mass * s.chance
				case "":
					n := next[good+1-k]
					if n == nil {
						n = &history{run: run}
						next[good+1-k] = n
					}
					n.mass += h.mass * s.chance
					left += h.mass * s.chance
				}
			}
		}
		open = next
	}
	return low, mean
}
