package plan_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
	"example.com/rung/schedules"
)

// lasting is one behaviour at one level that never moves, paid like that, in sessions of two minutes.
func lasting(s curriculum.Schedule, ramps ...curriculum.Ramp) *curriculum.Curriculum {
	st := step("only", "", ramps...)
	st.Reward, st.Rules = &s, nil
	return &curriculum.Curriculum{Name: "one", Sessions: []*curriculum.Session{{Lasts: curriculum.Q(2, curriculum.Minute)}},
		Measures:   []curriculum.Measure{{Name: "turn", Unit: curriculum.Degree}},
		Behaviours: []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{st}}}}
}

// week plans three sessions a day and works them: each success is paid as the sheet says, and put on record or not.
func week(t *testing.T, c *curriculum.Curriculum, days int, onRecord bool, each func(*plan.Item, int, *curriculum.Trial)) (paid, successes int) {
	t.Helper()
	p := program(t, c)
	f := p.NewFold(curriculum.Dog{Name: "okapi"})
	d := rand.New(rand.NewPCG(uint64(days), 5))
	for day := range days {
		for n := range 3 {
			now := morning.AddDate(0, 0, day).Add(time.Duration(n) * 4 * time.Hour)
			next, err := plan.Next(p, f, plan.Request{Dog: "okapi", At: now})
			require.NoError(t, err)
			require.Len(t, next.Items, 1)
			it := &next.Items[0]
			place := 0 // in the list of successes
			for i := range it.Trials {
				tr := curriculum.Trial{Dog: "okapi", Behaviour: "mat", At: now.Add(time.Duration(i) * 10 * time.Second), Outcome: curriculum.Wrong}
				if d.IntN(10) < 7 {
					tr.Outcome = curriculum.Success
					successes++
					if it.Rewarded[place] {
						paid++
					}
					if onRecord {
						tr.Rewarded = curriculum.No
						if it.Rewarded[place] {
							tr.Rewarded = curriculum.Yes
						}
					}
					place++
				}
				if each != nil {
					each(it, i, &tr)
				}
				require.NoError(t, f.Record(&tr))
			}
		}
	}
	return paid, successes
}

// A ratio of three is a ratio of three over the week, not anew each session: of N successes N/3 are paid, but for the
// list that is not yet used up.
func TestARatioIsKeptOverTheWeek(t *testing.T) {
	for _, k := range []struct {
		kind     curriculum.ScheduleKind
		num, den int64
		off      float64 // rewards by which a list in use may be ahead or behind
	}{
		{curriculum.FixedRatio, 3, 1, 1},
		{curriculum.VariableRatio, 3, 1, 1.5}, // three ones, twos ... of 1 to 5 first or last: 3 rewards in 6 or in 12
		{curriculum.VariableRatio, 3, 2, 1.5},
		{curriculum.VariableRatio, 6, 1, 3},
	} {
		for _, onRecord := range []bool{true, false} {
			t.Run(fmt.Sprintf("%s %d/%d, on record %v", k.kind, k.num, k.den, onRecord), func(t *testing.T) {
				paid, successes := week(t, lasting(ratioOf(k.kind, k.num, k.den)), 7, onRecord, nil)
				require.Greater(t, successes, 100)
				require.InDelta(t, float64(successes)*float64(k.den)/float64(k.num), float64(paid), k.off)
			})
		}
	}
}

// What the plan says of one session is what the session before has left of the list.
func TestSessionsShareOneList(t *testing.T) {
	c := lasting(ratioOf(curriculum.VariableRatio, 5, 1))
	var gaps []int
	run := 0
	place, last := 0, (*plan.Item)(nil)
	week(t, c, 7, true, func(it *plan.Item, _ int, tr *curriculum.Trial) {
		if it != last {
			place, last = 0, it
		}
		if tr.Outcome != curriculum.Success {
			return
		}
		run++
		if it.Rewarded[place] {
			gaps, run = append(gaps, run), 0
		}
		place++
	})
	require.GreaterOrEqual(t, len(gaps), 18)
	for at := 0; at+9 <= len(gaps); at += 9 {
		require.ElementsMatch(t, []int{1, 2, 3, 4, 5, 6, 7, 8, 9}, gaps[at:at+9], "each nine rewards are one whole list")
	}
}

// The times of an interval schedule go on where the rewards on record have left their list, and the clock of the one that
// runs is not set back between sessions: the first time of a sheet is what is left of it.
func TestATimeThatWasPaidIsNotPaidAgain(t *testing.T) {
	c := lasting(curriculum.Schedule{Kind: curriculum.VariableInterval, Value: curriculum.Q(20, curriculum.Second)})
	const each = 10 // seconds, by the text and by the time stamps
	c.Behaviours[0].Sheet.Takes = curriculum.Q(each, curriculum.Second)
	var times []float64
	var last *plan.Item
	paid, unpaid, before := 0, 0, 0
	week(t, c, 7, true, func(it *plan.Item, _ int, tr *curriculum.Trial) {
		if it != last {
			last, paid, before = it, 0, unpaid
		}
		switch tr.Rewarded {
		case curriculum.Yes:
			left, ran := it.PayAfter[paid], 0.0
			if paid == 0 {
				ran = float64(each * before)
			}
			if left > 1 {
				times = append(times, left+ran)
			} else {
				times = append(times, 0) // it may have run out long ago
			}
			paid, unpaid = paid+1, 0
		case curriculum.No:
			unpaid++
		}
	})
	list, err := schedules.FleshlerHoffman(20, 12)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(times), 24)
	for at := 0; at+12 <= len(times); at += 12 {
		round := slices.Clone(times[at : at+12])
		whole, unknown := schedules.Rounded(list, 1), 0
		for _, x := range round {
			if i := slices.Index(whole, x); i >= 0 {
				whole = slices.Delete(whole, i, i+1)
			} else {
				require.Zero(t, x, "%v of %v", x, round)
				unknown++
			}
		}
		require.Len(t, whole, unknown)
	}
}

// An interval longer than a session is paid in a later one, whether or not rewards are written down.
func TestALongIntervalIsPaidInSomeSession(t *testing.T) {
	for _, onRecord := range []bool{true, false} {
		c := lasting(curriculum.Schedule{Kind: curriculum.FixedInterval, Value: curriculum.Q(5, curriculum.Minute)})
		c.Behaviours[0].Sheet.Takes = curriculum.Q(10, curriculum.Second)
		paid, successes := week(t, c, 7, onRecord, func(it *plan.Item, _ int, _ *curriculum.Trial) {
			require.NotEmpty(t, it.PayAfter, "a watch without a time is no help")
			require.LessOrEqual(t, it.PayAfter[0], 300.0)
		})
		require.Greater(t, successes, 100)
		require.InDelta(t, float64(successes)/30, float64(paid), 1, "on record %v", onRecord)
	}
}

// Holds that vary: the sheet lists a value for each trial, three of each seven are at the full one or beyond, the list
// goes on over the sessions, and its mean is the one that is printed.
func TestHoldsVaryInsideALevel(t *testing.T) {
	c := lasting(curriculum.Schedule{Kind: curriculum.EverySuccess}, curriculum.Ramp{Of: "duration", Measured: true, Varied: true,
		Grain: curriculum.Q(1, curriculum.Second), Values: quantities(curriculum.Second, 10, 20)})
	var asked []string
	week(t, c, 7, true, func(it *plan.Item, i int, _ *curriculum.Trial) {
		require.Len(t, it.Asked, 1)
		a := it.Asked[0]
		require.Equal(t, plan.Asked{Of: "duration", Full: "10 s", Mean: "7.7 s", Set: []string{"3 s", "5 s", "6 s", "8 s", "10 s", "10 s", "12 s"}, Values: a.Values}, a)
		require.Len(t, a.Values, it.Trials)
		asked = append(asked, a.Values[i])
	})
	require.Greater(t, len(asked), 70)
	for at := 0; at+7 <= len(asked); at += 7 {
		require.ElementsMatch(t, []string{"3 s", "5 s", "6 s", "8 s", "10 s", "10 s", "12 s"}, asked[at:at+7])
	}
}

func TestTheSheetPrintsWhatVaries(t *testing.T) {
	c := lasting(curriculum.Schedule{Kind: curriculum.VariableDuration, Value: curriculum.Q(4, curriculum.Second)}, curriculum.Ramp{Of: "duration", Measured: true, Varied: true,
		Grain: curriculum.Q(1, curriculum.Second), Values: quantities(curriculum.Second, 10)})
	p := plannedOf(t, c, shown(c, curriculum.Dog{Name: "okapi"}), plan.Request{})
	text := strings.Join(strings.Fields(p.Text()), " ")
	a := p.Items[0].Asked[0]
	require.Contains(t, text, "Ask for duration "+strings.Join(a.Values, ", ")+", in this order (from 3 s, 5 s, 6 s, 8 s, 10 s, 10 s, 10 s; mean 7.4 s)")
	owner := strings.Join(strings.Fields(p.TextFor(engine.ForOwner)), " ")
	require.Contains(t, owner, "Each time "+strings.Join(a.Values, ", "))
	var page strings.Builder
	require.NoError(t, p.WriteHTML(&page, engine.ForTrainer))
	require.Contains(t, page.String(), strings.Join(a.Values, ", "))
	// each hold is paid inside and at its own end, and takes its own time
	seconds := 0.0
	for i, at := range p.Items[0].PayAt {
		require.Equal(t, a.Values[i], fmt.Sprintf("%.0f s", at[len(at)-1]))
		seconds += at[len(at)-1]
	}
	require.InDelta(t, float64(p.Items[0].Trials)*(4.3+1+2)+seconds, p.Items[0].Seconds, 1e-9)
}
