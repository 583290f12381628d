package engine_test

import (
	"bytes"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/schedules"
)

func ratioOf(num, den int64) *curriculum.Schedule {
	return &curriculum.Schedule{Kind: curriculum.VariableRatio, Value: curriculum.QFrac(num, den, curriculum.NoUnit)}
}

// payHouse has one behaviour: two steps paid by one ratio, a thinned one, one ranked by its turn, one paid each time.
func payHouse() *curriculum.Curriculum {
	up := func() []curriculum.Rule {
		return []curriculum.Rule{rule(curriculum.Advance, streak(3)), rule(curriculum.Ease, missesOf(3, 3))}
	}
	one, two, thin, best, end := turning(step("one", up()...), 30, 60), step("two", up()...), step("thin", up()...), step("best", up()...), step("end", up()...)
	one.Reward, two.Reward = ratioOf(3, 1), ratioOf(6, 2)
	thin.Ramps = []curriculum.Ramp{{Of: curriculum.ThinRamp, Values: []curriculum.LevelValue{{Thin: ratioOf(2, 1)}, {Thin: ratioOf(3, 1)}}}}
	thin.Levels = curriculum.LayOut(thin.Ramps, thin.Raise)
	best.Reward = &curriculum.Schedule{Kind: curriculum.Percentile, Share: curriculum.Percent(60), Window: 4, Measure: "turn"}
	return house(behaviour("spin", one, two, thin, best, end))
}

// What is counted, once more the slow way: the trials under one schedule, from the last one of another on.
func TestRewardsAreCountedForAsLongAsTheScheduleStays(t *testing.T) {
	p := compile(t, payHouse())
	rapid.Check(t, func(t *rapid.T) {
		d := okapi()
		f := p.NewFold()
		var before string
		var state schedules.State
		var values []float64
		n := rapid.IntRange(1, 60).Draw(t, "trials")
		cut := rapid.IntRange(0, n).Draw(t, "cut")
		for i := range n {
			mark := rapid.SampledFrom([]rune("++++++--0hex")).Draw(t, "mark")
			tr := d.mark("spin", mark)
			tr.Rewarded = rapid.SampledFrom([]curriculum.YesNo{curriculum.NotSaid, curriculum.Yes, curriculum.No}).Draw(t, "rewarded")
			if rapid.Bool().Draw(t, "measured") {
				tr.Measures = []curriculum.MeasureValue{{Name: "turn", Value: rapid.SampledFrom([]float64{20, 45, 90}).Draw(t, "turn")}}
			}
			if rapid.IntRange(0, 9).Draw(t, "elsewhere") == 0 {
				tr.Step = rapid.SampledFrom([]string{"one", "end"}).Draw(t, "step")
			}
			at := f.Standing(f.Now())
			here := true
			if len(at.Dogs) > 0 {
				here = tr.Step == "" || tr.Step == at.Dogs[0].Behaviours[0].Step
			} else {
				here = tr.Step != "end"
			}
			run := engine.PayRun{Schedule: *ratioOf(3, 1)}
			if v := f.Dog("okapi", f.Now()); v != nil {
				run = v.Behaviours[0].Pay
			}
			require.NoError(t, f.Take(&d.list[i]))
			if here && mark != 'e' && mark != 'x' {
				if run.Schedule.String() != before {
					state, values, before = schedules.State{}, nil, run.Schedule.String()
				}
				if mark == '+' && run.Schedule.Kind != curriculum.EverySuccess {
					state = state.After([]schedules.Payment{schedules.Unsaid, schedules.Paid, schedules.NotPaid}[tr.Rewarded])
				}
				if v, ok := tr.Measure("turn"); ok && mark != 'h' && run.Schedule.Kind == curriculum.Percentile {
					values = append(values, v)
				}
			}
			got := f.Dog("okapi", d.at).Behaviours[0].Pay
			if got.Schedule.String() == before {
				require.Equal(t, state, got.State)
				require.Equal(t, slices.Clone(values[max(0, len(values)-4):]), got.Values)
			} else {
				require.Zero(t, got.State)
				require.Empty(t, got.Values)
			}
			if i+1 == cut {
				again, err := p.Resume(bytes.NewReader(saved(t, f)))
				require.NoError(t, err)
				require.Equal(t, got, again.Dog("okapi", d.at).Behaviours[0].Pay)
				require.Equal(t, string(saved(t, f)), string(saved(t, again)))
				f = again
			}
		}
	})
}

func TestASavedCountOfRewardsThatDoesNotAddUpIsRefused(t *testing.T) {
	p := compile(t, payHouse())
	f := p.NewFold()
	d := okapi().tally("spin", "+ - + - +")
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
	}
	text := saved(t, f)
	good := []byte(`"pay":{"schedule":"variable ratio 3","successes":3,"rewards":0,"unpaid":3,"unsaid":3}`)
	require.Contains(t, string(text), string(good))
	for _, bad := range []string{
		`"pay":{"schedule":"variable ratio 3","successes":-1,"rewards":0,"unpaid":0,"unsaid":0}`,
		`"pay":{"schedule":"variable ratio 3","successes":3,"rewards":4,"unpaid":0,"unsaid":0}`,
		`"pay":{"schedule":"variable ratio 3","successes":3,"rewards":0,"unpaid":1,"unsaid":2}`,
		`"pay":{"schedule":"variable ratio 3","successes":9,"rewards":9,"unpaid":0,"unsaid":0}`,
		`"pay":{"schedule":"variable ratio 3","successes":3,"rewards":0,"unpaid":3,"unsaid":3,"values":[1]}`,
	} {
		_, err := p.Resume(bytes.NewReader(bytes.Replace(text, good, []byte(bad), 1)))
		require.ErrorContains(t, err, "does not add up", bad)
	}
}

// How a step is paid is no part of what a curriculum means: a saved standing is taken up, the run begins anew.
func TestARunUnderAnotherScheduleBeginsAnew(t *testing.T) {
	p := compile(t, payHouse())
	f := p.NewFold()
	d := okapi().tally("spin", "+ -")
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
	}
	for _, reward := range []*curriculum.Schedule{ratioOf(4, 1), nil} {
		c := payHouse()
		c.Behaviours[0].Steps[0].Reward = reward
		again, err := compile(t, c).Resume(bytes.NewReader(saved(t, f)))
		require.NoError(t, err)
		require.Zero(t, again.Dog("okapi", d.at).Behaviours[0].Pay.State)
	}
}
