package engine_test

import (
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

func event(d *diary, e curriculum.Event) *diary {
	e.Dog, e.At, e.Source = d.dog, d.at, "diary"
	d.list = append(d.list, curriculum.Entry{IsEvent: true, Event: e})
	return d
}

func fold(t testing.TB, p *engine.Program, d *diary, dogs ...curriculum.Dog) *engine.Fold {
	t.Helper()
	f := p.NewFold(dogs...)
	for i := range d.list {
		require.NoError(t, f.Take(&d.list[i]))
	}
	return f
}

func codes(f *engine.Fold) (out []string) {
	for _, r := range f.Reports() {
		out = append(out, r.Code)
	}
	return out
}

func TestDoorsOpenAsTheLanguageSays(t *testing.T) {
	spin := func() *curriculum.Behaviour {
		return behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(1, 1)), rule(curriculum.Ease, missesOf(2, 2))), 30, 60), step("alone", rule(curriculum.Advance, last(1, 1)), rule(curriculum.Ease, missesOf(1, 1))))
	}
	deg60 := curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(60, curriculum.Degree)}}}
	for name, c := range map[string]struct {
		need  curriculum.Need
		marks string
		want  curriculum.State
	}{
		"nothing done": {curriculum.Need{Other: "spin", Step: "follow"}, "", curriculum.Waiting},
		"the first step counts from first evidence": {curriculum.Need{Other: "spin", Step: "follow"}, "-", curriculum.Open},
		"void and early help do not begin it":       {curriculum.Need{Other: "spin", Step: "follow"}, "x e o", curriculum.Waiting},
		"a level not reached":                       {curriculum.Need{Other: "spin", Step: "follow", Level: deg60}, "-", curriculum.Waiting},
		"a level reached":                           {curriculum.Need{Other: "spin", Step: "follow", Level: deg60}, "+", curriculum.Open},
		"a later step":                              {curriculum.Need{Other: "spin", Step: "follow", Level: deg60}, "+ +", curriculum.Open},
		"kept":                                      {curriculum.Need{Other: "spin"}, "+ +", curriculum.Waiting},
		"kept at last":                              {curriculum.Need{Other: "spin"}, "+ + +", curriculum.Open},
		"met for good":                              {curriculum.Need{Other: "spin", Step: "alone"}, "+ + -", curriculum.Open},
		"firmly only while so":                      {curriculum.Need{Other: "spin", Step: "alone", Firmly: true}, "+ + -", curriculum.Waiting},
		"an age the dog has":                        {curriculum.Need{Dog: &curriculum.Expression{Text: "age_months >= 12"}}, "+", curriculum.Open},
		"an age the dog has not":                    {curriculum.Need{Dog: &curriculum.Expression{Text: "age_months >= 30"}}, "+", curriculum.Waiting},
	} {
		t.Run(name, func(t *testing.T) {
			mat := behaviour("mat", step("lie"))
			mat.Needs = []curriculum.Need{c.need}
			p := compile(t, house(mat, spin()))
			f := fold(t, p, okapi().tally("spin", c.marks), curriculum.Dog{Name: "okapi", Born: monday.AddDate(-1, 0, -1)})
			v := f.Dog("okapi", f.Now())
			if f.Now().IsZero() {
				v = f.Dog("okapi", monday)
			}
			require.Equal(t, c.want, v.Behaviours[0].State)
			require.Equal(t, c.want == curriculum.Waiting, len(v.Behaviours[0].MissingDoors) > 0)
		})
	}
}

func TestTrialsOfAWaitingBehaviourFeedNoRuleAndAreNotLookedAtAgain(t *testing.T) {
	mat := behaviour("mat", step("lie", rule(curriculum.Advance, last(3, 3))))
	mat.Needs = []curriculum.Need{{Other: "spin"}}
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, last(1, 1)))), mat))
	d := okapi().tally("mat", "+ +").tally("spin", "+").tally("mat", "+ +")
	f := fold(t, p, d)
	s := f.Standing(f.Now()).Dogs[0].Behaviours[1]
	require.Equal(t, curriculum.Working, s.State)
	require.Equal(t, 2, s.Trials)
	require.Equal(t, []string{engine.CodeWaiting, engine.CodeWaiting}, codes(f))
}

func TestAFirmDoorPausesABegunBehaviourAndLeavesAKeptOne(t *testing.T) {
	needing := func(name string) *curriculum.Behaviour {
		b := behaviour(name, step("lie", rule(curriculum.Advance, last(2, 2))))
		b.Needs = []curriculum.Need{{Other: "spin", Step: "alone", Firmly: true}}
		return b
	}
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Advance, last(1, 1))), step("alone", rule(curriculum.Ease, missesOf(1, 1)))), needing("mat"), needing("bow"), needing("roll")))
	d := okapi().tally("spin", "+").tally("mat", "+").tally("bow", "++").tally("spin", "-").tally("mat", "+").tally("roll", "+")
	f := fold(t, p, d)
	bs := f.Standing(f.Now()).Dogs[0].Behaviours
	require.Equal(t, []curriculum.State{curriculum.Paused, curriculum.Kept, curriculum.Waiting}, []curriculum.State{bs[1].State, bs[2].State, bs[3].State})
	require.Equal(t, []string{engine.CodeNoStepAfterMove, engine.CodePaused, engine.CodeWaiting}, codes(f))
	d = d.tally("spin", "+").tally("mat", "+")
	f = fold(t, p, d)
	require.Equal(t, curriculum.Kept, f.Standing(f.Now()).Dogs[0].Behaviours[1].State, "the paused trial does not count, the two others do")
}

func TestStopTodayLooksAtTheWholeSessionWhateverMovesComeBetween(t *testing.T) {
	stop := rule(curriculum.StopToday, curriculum.Window{K: 3, N: 3, InARow: true, Count: curriculum.Misses})
	p := compile(t, house(behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(2, 2)), rule(curriculum.Ease, missesOf(2, 2)), stop), 30, 60))))
	f := fold(t, p, okapi().tally("spin", "- - - - | - - - | - - + - "))
	s := f.Standing(f.Now()).Dogs[0].Behaviours[0]
	require.Len(t, s.Noted, 2)
	require.Equal(t, "t3", s.Noted[0].Trial)
	require.Equal(t, "t7", s.Noted[1].Trial)
	f = fold(t, p, okapi().tally("spin", "- - -"))
	require.True(t, f.Dog("okapi", f.Now().Add(29*time.Minute)).Behaviours[0].Stopped)
	require.False(t, f.Dog("okapi", f.Now().Add(30*time.Minute)).Behaviours[0].Stopped, "the session is over")
}

func TestAFlagIsNotedWhenItBeginsToHoldNotWhileItGoesOn(t *testing.T) {
	p := compile(t, house(behaviour("spin", step("follow", rule(curriculum.Flag, missesOf(2, 3))))))
	f := fold(t, p, okapi().tally("spin", "- - - - + + - -"))
	s := f.Standing(f.Now()).Dogs[0].Behaviours[0]
	require.Len(t, s.Noted, 2)
	require.Equal(t, "t8", s.Noted[1].Trial)
}

func TestATrialOfAClosedSessionBelongsToItAndIsReported(t *testing.T) {
	stop := rule(curriculum.StopToday, curriculum.Window{K: 2, N: 2, InARow: true, Count: curriculum.Misses})
	three := rule(curriculum.Advance, curriculum.InSession{Is: last(3, 3)})
	p := compile(t, house(behaviour("spin", step("follow", three, stop, rule(curriculum.Flag, curriculum.After{N: 2, Unit: curriculum.AfterSessions})), step("next"))))
	d := okapi().tally("spin", "+ - | - + + | + - +")
	for i, id := range []string{"morning", "morning", "noon", "noon", "noon", "morning", "morning", "noon"} {
		d.list[i].Trial.Session = id
	}
	f := fold(t, p, d)
	s := f.Standing(f.Now()).Dogs[0].Behaviours[0]
	require.Equal(t, []string{engine.CodeSessionReopened, engine.CodeSessionReopened}, codes(f))
	require.Len(t, s.Moves, 1)
	require.Equal(t, "t8", s.Moves[0].Trial, "noon's + + and the late +")
	require.Empty(t, s.Noted, "- of the morning, then +, then - is no two in a row; never two closed sessions at a trial")
	d.list[5].Trial.Outcome = curriculum.Wrong
	f = fold(t, p, d)
	require.Equal(t, "t6", f.Standing(f.Now()).Dogs[0].Behaviours[0].Noted[0].Trial, "the morning's - and the late one")
}

func TestEventsLockMoveAndEnd(t *testing.T) {
	p := compile(t, house(behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(4, 4))), 30, 60), step("alone")), behaviour("mat", step("lie"))))
	d := event(okapi().tally("spin", "+"), curriculum.Event{Kind: curriculum.SignSeen, Sign: "growl", By: "Dov", Note: "at the file"})
	f := fold(t, p, d)
	v := f.Dog("okapi", f.Now())
	require.Len(t, v.Locked, 1)
	require.True(t, v.Behaviours[0].Locked && v.Behaviours[1].Locked)
	d = event(event(d.tally("spin", "++"), curriculum.Event{Kind: curriculum.SignCleared, Sign: "growl", By: "the vet"}), curriculum.Event{Kind: curriculum.SignSeen, Sign: "limp", Behaviour: "spin"})
	f = fold(t, p, d)
	require.Equal(t, []string{engine.CodeTrainedLocked}, codes(f), "trained while locked, said once a session")
	require.Equal(t, 3, f.Standing(f.Now()).Dogs[0].Behaviours[0].Trials, "what was trained is evidence")
	v = f.Dog("okapi", f.Now())
	require.True(t, v.Behaviours[0].Locked)
	require.False(t, v.Behaviours[1].Locked)

	for name, e := range map[string]curriculum.Event{
		"a clear without a name":    {Kind: curriculum.SignCleared, Sign: "limp"},
		"a clear without a sign":    {Kind: curriculum.SignCleared, By: "the vet"},
		"a sign without a name":     {Kind: curriculum.SignSeen},
		"a move without a place":    {Kind: curriculum.HandMove, Behaviour: "spin", By: "Halla"},
		"a move of no behaviour":    {Kind: curriculum.HandMove, Step: "follow", By: "Halla"},
		"a move to no step":         {Kind: curriculum.HandMove, Behaviour: "spin", Step: "fallow", By: "Halla"},
		"a kind nobody knows":       {Kind: "party"},
		"a note on no behaviour":    {Kind: curriculum.NoteTaken, Behaviour: "spim"},
		"a move to no level":        {Kind: curriculum.HandMove, Behaviour: "spin", Step: "follow", Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(45, curriculum.Degree)}}}},
		"an event before the last":  {Kind: curriculum.NoteTaken, At: monday.Add(-time.Hour)},
		"an event without a moment": {Kind: curriculum.NoteTaken, Dog: "bisk"},
	} {
		if e.Dog == "" {
			e.Dog = "okapi"
			if e.At.IsZero() {
				e.At = d.at
			}
		}
		before := f.Standing(d.at).Dogs
		err := f.Note(&e)
		var le *engine.LineError
		require.True(t, errors.As(err, &le), name)
		require.True(t, le.Unusable, name)
		require.Equal(t, before, f.Standing(d.at).Dogs, name)
	}

	d = event(d, curriculum.Event{Kind: curriculum.HandMove, Behaviour: "spin", Step: "follow", Level: curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(60, curriculum.Degree)}}}, By: "Halla", Note: "did it at home"})
	d = event(d, curriculum.Event{Kind: curriculum.HandMove, Behaviour: "mat", Kept: true, By: "Halla"})
	f = fold(t, p, d)
	bs := f.Standing(f.Now()).Dogs[0].Behaviours
	m := bs[0].Moves[0]
	require.Equal(t, engine.Move{Rule: "hand", From: engine.Place{Step: "follow", Level: map[string]string{"turn": "30 deg"}}, To: engine.Place{Step: "follow", Level: map[string]string{"turn": "60 deg"}}, Because: "did it at home", By: "Halla", At: &d.at}, m)
	require.Equal(t, curriculum.Kept, bs[1].State)
	require.True(t, bs[1].Moves[0].To.Kept)
	require.Zero(t, bs[0].Trials)
}

func TestMeasuresDecideWhatHasNoOutcome(t *testing.T) {
	p := compile(t, house(behaviour("spin", turning(step("follow", rule(curriculum.Advance, last(2, 2))), 30, 60))))
	for name, c := range map[string]struct {
		change func(*curriculum.Trial)
		want   string // advance, hold or unusable
		code   string
	}{
		"enough degrees":          {func(t *curriculum.Trial) { t.Measures = []curriculum.MeasureValue{{Name: "turn", Value: 30}} }, "advance", ""},
		"too few":                 {func(t *curriculum.Trial) { t.Measures = []curriculum.MeasureValue{{Name: "turn", Value: 29.5}} }, "hold", ""},
		"no measure of the level": {func(t *curriculum.Trial) { t.Measures = []curriculum.MeasureValue{{Name: "latency", Value: 1}} }, "unusable", engine.CodeNoOutcome},
		"a written outcome stands": {func(t *curriculum.Trial) {
			t.Outcome = curriculum.Success
			t.Measures = []curriculum.MeasureValue{{Name: "turn", Value: 10}}
		}, "advance", engine.CodeDisagrees},
		"the level named decides": {func(t *curriculum.Trial) {
			t.Level = curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(60, curriculum.Degree)}}}
			t.Measures = []curriculum.MeasureValue{{Name: "turn", Value: 70}}
		}, "hold", ""},
		"a level no step lists": {func(t *curriculum.Trial) {
			t.Outcome = curriculum.Success
			t.Level = curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(45, curriculum.Degree)}}}
		}, "hold", engine.CodeUnlistedLevel},
		"the present level in another unit": {func(t *curriculum.Trial) {
			t.Outcome = curriculum.Success
			t.Level = curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.QFrac(60, 2, curriculum.Degree)}}}
		}, "advance", ""},
		"help by a prompt of the step": {func(t *curriculum.Trial) { t.Outcome = curriculum.Success; t.Help = []string{"word"}; t.Early = true }, "advance", ""},
		"help beyond it":               {func(t *curriculum.Trial) { t.Outcome = curriculum.Success; t.Help = []string{"word", "lure"} }, "hold", ""},
		"early without a word":         {func(t *curriculum.Trial) { t.Outcome = curriculum.Success; t.Early = true }, "hold", ""},
		"a help nobody declared":       {func(t *curriculum.Trial) { t.Outcome = curriculum.Success; t.Help = []string{"shove"} }, "hold", engine.CodeUndeclaredHelp},
		"a place nobody declared":      {func(t *curriculum.Trial) { t.Outcome = curriculum.Success; t.Place = "moon" }, "advance", engine.CodeUndeclaredPlace},
		"a handler nobody declared":    {func(t *curriculum.Trial) { t.Outcome = curriculum.Success; t.Handler = "stranger" }, "advance", engine.CodeUndeclaredHandler},
		"a measure nobody declared": {func(t *curriculum.Trial) {
			t.Outcome = curriculum.Success
			t.Measures = []curriculum.MeasureValue{{Name: "girth", Value: 1}}
		}, "advance", engine.CodeUndeclaredMeasure},
		"no dog":                    {func(t *curriculum.Trial) { t.Dog = "" }, "unusable", engine.CodeNoDog},
		"no time":                   {func(t *curriculum.Trial) { t.At = time.Time{} }, "unusable", engine.CodeNoTime},
		"a time in the year 40,000": {func(t *curriculum.Trial) { t.At = monday.AddDate(38_000, 0, 0) }, "unusable", engine.CodeNoTime},
		"a measure that is no number": {func(t *curriculum.Trial) {
			t.Outcome = curriculum.Success
			t.Measures = []curriculum.MeasureValue{{Name: "latency", Value: math.NaN()}}
		}, "unusable", engine.CodeBadMeasure},
		"a time below nought": {func(t *curriculum.Trial) {
			t.Outcome = curriculum.Success
			t.Measures = []curriculum.MeasureValue{{Name: "latency", Value: -4}}
		}, "unusable", engine.CodeBadMeasure},
		"an outcome out of range":            {func(t *curriculum.Trial) { t.Outcome = 99 }, "unusable", engine.CodeBadOutcome},
		"a behaviour with a slip of the pen": {func(t *curriculum.Trial) { t.Behaviour = "spim" }, "unusable", engine.CodeUnknownBehaviour},
		"a step with a slip of the pen":      {func(t *curriculum.Trial) { t.Step = "folow" }, "unusable", engine.CodeUnknownStep},
		"a time before the last":             {func(t *curriculum.Trial) { t.At = monday.Add(-time.Second) }, "unusable", engine.CodeEarlier},
	} {
		t.Run(name, func(t *testing.T) {
			d := okapi().tally("spin", "+")
			trial := *d.mark("spin", '+')
			trial.Outcome = curriculum.NoOutcome
			c.change(&trial)
			f := p.NewFold()
			require.NoError(t, f.Take(&d.list[0]))
			err := f.Record(&trial)
			got := "hold"
			if len(f.Standing(f.Now()).Dogs[0].Behaviours[0].Moves) > 0 {
				got = "advance"
			}
			var le *engine.LineError
			if errors.As(err, &le) {
				got = "unusable"
				require.Equal(t, c.code == engine.CodeEarlier, errors.Is(err, engine.ErrEarlier))
			}
			require.Equal(t, c.want, got)
			if c.code == "" {
				require.Empty(t, codes(f))
			} else {
				require.Equal(t, []string{c.code}, codes(f))
			}
		})
	}
}

func TestNothingAtAllIsAnErrorAndNoPanic(t *testing.T) {
	p := compile(t, house(behaviour("spin", step("a", rule(curriculum.Advance, last(1, 1))))))
	f := p.NewFold()
	var le *engine.LineError
	require.ErrorAs(t, f.Record(nil), &le)
	require.ErrorAs(t, f.Note(nil), &le)
	require.ErrorAs(t, f.Take(nil), &le)
	_, err := p.Resume(nil)
	require.ErrorContains(t, err, "no saved standing")
}

func TestAReportOnALevelThatIsNotThereSaysWhichThereAre(t *testing.T) {
	q := func(n int64, u curriculum.Unit) curriculum.LevelRef {
		return curriculum.LevelRef{{Of: "turn", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(n, u)}}}
	}
	for name, c := range map[string]struct {
		level curriculum.LevelRef
		want  string
	}{
		"the unit is missing":      {q(60, curriculum.NoUnit), "follow has no level turn 60 (did you mean turn 60 deg?)"},
		"a value between":          {q(45, curriculum.Degree), "follow has no level turn 45 deg (there are 30 deg, 60 deg, 90 deg)"},
		"another ramp, misspelled": {curriculum.LevelRef{{Of: "trun", LevelValue: q(30, curriculum.Degree)[0].LevelValue}}, `follow has no level trun 30 deg (did you mean "turn"?)`},
	} {
		t.Run(name, func(t *testing.T) {
			s := step("follow", rule(curriculum.Advance, last(2, 2)))
			turning(s, 30, 60, 90)
			f := compile(t, house(behaviour("spin", s, step("next")))).NewFold()
			d := okapi().tally("spin", "+")
			d.list[0].Trial.Step, d.list[0].Trial.Level = "follow", c.level
			require.NoError(t, f.Take(&d.list[0]))
			require.Len(t, f.Reports(), 1)
			require.Contains(t, f.Reports()[0].Text, c.want)
		})
	}
}
