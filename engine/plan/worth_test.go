package plan_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// Thousands of random days small enough to try everything: the solver finds what that finds, in the choice and in the
// order.
func TestTheChoiceAndTheOrderAreTheBestThereAre(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	days, filled, rows, most, rested := 0, 0, 0, 0, 0
	for seed := uint64(0); days < 2000 && seed < 60_000; seed++ {
		d := dice{rand.New(rand.NewPCG(seed, 5))}
		c := d.curriculum(2 + d.IntN(5))
		v := d.view(c, d.dog(c))
		s, ok := plan.SolveAndTryAll(program(t, c), v, d.request())
		if !ok || s.BestValue <= 0 {
			continue
		}
		days++
		if !c.Sessions[0].Rest.IsZero() {
			rested++
		}
		require.Equal(t, [2]int{s.BestSlots, s.BestValue}, [2]int{s.Slots, s.Value}, "seed %d: %+v", seed, s)
		require.Equal(t, s.Value, s.AtMost, "seed %d", seed)
		require.True(t, s.Exact && s.RowExact, "seed %d", seed)
		if s.BestRowCost >= 0 {
			rows++
			require.Equal(t, s.BestRowCost, s.RowCost, "seed %d: %+v", seed, s)
		}
		if s.Slots > 0 {
			filled++
		}
		most = max(most, s.Candidates)
	}
	t.Logf("%d days, %d of them with a place filled, %d with rests, %d rows, up to %d candidates", days, filled, rested, rows, most)
	require.Greater(t, rested, 300)
	require.Equal(t, 2000, days)
	require.Greater(t, filled, 500)
	require.Greater(t, rows, 1500)
}

// A search that is cut short says how good any solution could be.
func TestASearchCutShortSaysHowFarItMayBe(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	short, better := 0, 0
	for seed := range uint64(400) {
		p, v, r := everyday(t, seed, 12)
		best, ok := plan.Solve(p, v, r, 1_000_000)
		require.True(t, ok && best.Exact, "seed %d", seed)
		for _, budget := range []int{20, 60, 200} {
			s, _ := plan.Solve(p, v, r, budget)
			if s.Exact {
				require.Equal(t, best.Value, s.Value, "seed %d", seed)
				continue
			}
			short++
			require.LessOrEqual(t, s.Slots, best.Slots)
			if s.Slots == best.Slots {
				require.LessOrEqual(t, s.Value, best.Value, "seed %d", seed)
				require.GreaterOrEqual(t, s.AtMost, best.Value, "seed %d", seed)
				if s.Value < best.Value {
					better++
				}
			}
		}
	}
	t.Logf("%d searches cut short, %d of them below the best", short, better)
	require.Greater(t, short, 100)
	require.Greater(t, better, 20)
}

// everyday is a day of a house that is about twice as large as the number of candidates wanted, under session rules as
// houses write them.
func everyday(t testing.TB, seed uint64, candidates int) (*engine.Program, *engine.DogView, plan.Request) {
	d := dice{rand.New(rand.NewPCG(seed, uint64(candidates)))}
	c := d.curriculum(2 * candidates)
	known := curriculum.Slot{Known: true}
	c.Foods = []curriculum.Food{{Name: "ration", Energy: curriculum.Q(1, curriculum.Kilocalorie)}}
	c.Sessions = []*curriculum.Session{{
		Lasts: curriculum.Q(int64(180+d.IntN(420)), curriculum.Second), MaxTrials: 20 + d.IntN(21), MaxBehaviours: 2 * d.IntN(4), MaxInARow: 5,
		MaxPerBehaviour: 10, MaxNew: 1 + d.IntN(2), OpensWith: known, ClosesWith: known, Extras: curriculum.Percent(10),
	}}
	v := d.view(c, curriculum.Dog{Name: "dice", WeightKg: 20})
	v.Locked, v.SessionEnded = nil, false
	return program(t, c), v, plan.Request{Dog: "dice", At: morning, Place: "yard", Pieces: 20 + d.IntN(40)}
}

// What a day costs, by the number of candidates. The yardstick is one pass over the limits of one session, which trying
// everything would take as often as there are sessions: thirteen to the power of the candidates.
func BenchmarkChoice(b *testing.B) {
	for _, k := range []struct {
		n      int
		rested bool
	}{{5, false}, {10, false}, {20, false}, {30, false}, {60, false}, {20, true}} {
		type day struct {
			p *engine.Program
			v *engine.DogView
			r plan.Request
		}
		var days []day
		name := fmt.Sprintf("%d candidates", k.n)
		if k.rested {
			name += " and rests"
		}
		for seed := range uint64(40) {
			p, v, r := everyday(b, seed, k.n)
			if k.rested {
				p.Curriculum().Sessions[0].Rest = curriculum.Rest{For: curriculum.Q(45, curriculum.Second), Every: curriculum.Q(2, curriculum.Minute)}
			}
			days = append(days, day{p, v, r})
		}
		b.Run(name, func(b *testing.B) {
			exact, nodes, most, cands, i, gap := 0, 0, 0, 0, 0, 1.0
			for b.Loop() {
				k := days[i%len(days)]
				s, _ := plan.Solve(k.p, k.v, k.r, plan.NodeBudget)
				if s.Exact {
					exact++
				}
				if s.Value > 0 {
					gap = max(gap, float64(s.AtMost)/float64(s.Value))
				}
				nodes += s.Nodes
				most = max(most, s.Nodes)
				cands += s.Candidates
				i++
			}
			b.ReportMetric(float64(exact)/float64(i), "exact")
			b.ReportMetric(float64(nodes)/float64(i), "nodes/day")
			b.ReportMetric(float64(most), "nodes-at-most")
			b.ReportMetric(float64(cands)/float64(i), "candidates")
			b.ReportMetric(gap, "best-may-be-times")
		})
	}
	b.Run("yardstick one session", func(b *testing.B) {
		p, v, r := everyday(b, 1, 20)
		count := plan.CountOnce(p, v, r)
		for b.Loop() {
			count()
		}
	})
}

func BenchmarkPlan(b *testing.B) {
	p, v, r := everyday(b, 3, 20)
	for b.Loop() {
		if _, err := plan.ForView(p, v, r); err != nil {
			b.Fatal(err)
		}
	}
}
