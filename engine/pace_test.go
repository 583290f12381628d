package engine_test

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// paced is a behaviour with a hold of 2 s, then 5 s, at its first step, and a second behaviour.
func paced(t *testing.T) *engine.Program {
	t.Helper()
	hold := curriculum.Ramp{Of: "duration", Measured: true, Values: []curriculum.LevelValue{{Quantity: curriculum.Q(2, curriculum.Second)}, {Quantity: curriculum.Q(5, curriculum.Second)}}}
	stay := &curriculum.Step{Name: "stay", Ramps: []curriculum.Ramp{hold}, Levels: curriculum.LayOut([]curriculum.Ramp{hold}, curriculum.Raise{}),
		Rules: []curriculum.Rule{{Word: curriculum.Advance, When: curriculum.Done{N: 1000}}}}
	other := &curriculum.Step{Name: "only", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{{Word: curriculum.Advance, When: curriculum.Done{N: 1000}}}}
	p, err := engine.Compile(&curriculum.Curriculum{Name: "pace", Behaviours: []*curriculum.Behaviour{{Name: "mat", Steps: []*curriculum.Step{stay}}, {Name: "touch", Steps: []*curriculum.Step{other}}}})
	require.NoError(t, err)
	return p
}

func TestThePaceIsTheMedianOfTheCyclesOfAStep(t *testing.T) {
	start := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	type trial struct {
		behaviour string
		after     float64 // seconds
		outcome   curriculum.Outcome
		session   string
	}
	mat := func(after float64) trial { return trial{"mat", after, curriculum.Success, ""} }
	for _, k := range []struct {
		name   string
		trials []trial
		want   engine.Pace
	}{
		{"one trial is no cycle", []trial{mat(0)}, engine.Pace{}},
		{"the hold of the level is taken off", []trial{mat(0), mat(9), mat(9)}, engine.Pace{Seconds: 7, Cycles: 2}},
		{"the median of an even number", []trial{mat(0), mat(8), mat(12)}, engine.Pace{Seconds: 8, Cycles: 2}},
		{"a break counts nothing", []trial{mat(0), mat(9), mat(600), mat(9)}, engine.Pace{Seconds: 7, Cycles: 2}},
		{"one long wait moves the median little", []trial{mat(0), mat(9), mat(9), mat(9), mat(9), mat(170)}, engine.Pace{Seconds: 7, Cycles: 5}},
		{"seconds counted by a tally book are no stamps", []trial{mat(0), mat(1), mat(1), mat(1)}, engine.Pace{}},
		{"a miss between breaks the cycle", []trial{mat(0), {"mat", 9, curriculum.Wrong, ""}, mat(9)}, engine.Pace{}},
		{"and so does another behaviour", []trial{mat(0), {"touch", 9, curriculum.Success, ""}, mat(9)}, engine.Pace{}},
		{"and a void trial", []trial{mat(0), {"mat", 9, curriculum.Void, ""}, mat(9)}, engine.Pace{}},
		{"and a new session", []trial{{"mat", 0, curriculum.Success, "a"}, {"mat", 20, curriculum.Success, "b"}, {"mat", 9, curriculum.Success, "b"}}, engine.Pace{Seconds: 7, Cycles: 1}},
		{"the newest fifteen count", append(append([]trial{mat(0)}, times(mat(30), 20)...), times(mat(9), 15)...), engine.Pace{Seconds: 7, Cycles: 15}},
	} {
		t.Run(k.name, func(t *testing.T) {
			p := paced(t)
			f := p.NewFold()
			at := start
			for i, tr := range k.trials {
				at = at.Add(time.Duration(tr.after * float64(time.Second)))
				require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: tr.behaviour, At: at, Outcome: tr.outcome, Session: tr.session}))
				if i == len(k.trials)/2 { // handed on half-way
					var b, again bytes.Buffer
					require.NoError(t, f.Save(&b))
					saved := b.String()
					var err error
					f, err = p.Resume(&b)
					require.NoError(t, err)
					require.NoError(t, f.Save(&again))
					require.Equal(t, saved, again.String())
				}
			}
			require.Equal(t, k.want, f.Dog("okapi", at).Behaviours[0].Pace)
		})
	}
}

func times[T any](v T, n int) (out []T) {
	for range n {
		out = append(out, v)
	}
	return out
}

func TestACopyGoesItsOwnWay(t *testing.T) {
	p := paced(t)
	f := p.NewFold()
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	record := func(f *engine.Fold, n int, o curriculum.Outcome) {
		for i := range n {
			require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: "mat", At: at.Add(time.Duration(9*i) * time.Second), Outcome: o}))
		}
	}
	record(f, 5, curriculum.Success)
	var before, after bytes.Buffer
	require.NoError(t, f.Save(&before))
	c := f.Copy()
	at = at.Add(time.Hour)
	record(c, 12, curriculum.Wrong)
	at = at.Add(time.Hour)
	record(c.Copy(), 12, curriculum.Success)
	require.NoError(t, c.Note(&curriculum.Event{Dog: "okapi", At: at.Add(time.Hour), Behaviour: "mat", Kind: curriculum.HandMove, Step: "stay", Kept: true, By: "Halla"}))
	require.NoError(t, f.Save(&after))
	require.Equal(t, before.String(), after.String())
	require.NotEqual(t, f.Standing(at), c.Standing(at))
}
