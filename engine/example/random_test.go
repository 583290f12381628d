package example_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
	"example.com/rung/engine/internal/naive"
	"example.com/rung/engine/internal/naive/cases"
)

// Random examples on random curricula. What they expect comes from engine/internal/naive, a second reading of the law
// that shares no code with the engine, fed with the same history on a clock of this file's own.

func everyFeature() map[cases.Feature]bool {
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	return on
}

func oneOf[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// writer makes a random example line by line and has the naive reader read along.
type writer struct {
	*rand.Rand
	c       *curriculum.Curriculum
	reader  *naive.Reader
	at      time.Time
	session int
	place   string
	handler string
	n       int
	items   []curriculum.ExampleItem
}

const dogsName = "the dog"

func newWriter(seed uint64, c *curriculum.Curriculum) *writer {
	w := &writer{Rand: rand.New(rand.NewPCG(seed, 5)), c: c, at: example.FirstDay, session: 1}
	profile := curriculum.Dog{Name: dogsName}
	if w.IntN(3) > 0 {
		d := &curriculum.ExampleDog{AgeMonths: 1 + w.IntN(30), WeightKg: float64(w.IntN(9))}
		profile.Born, profile.WeightKg = example.FirstDay.AddDate(0, -d.AgeMonths, 0), d.WeightKg
		w.items = append(w.items, curriculum.ExampleItem{Dog: d})
	}
	w.reader = naive.New(c, profile)
	return w
}

func (w *writer) line() {
	b := oneOf(w.Rand, w.c.Behaviours...)
	switch w.IntN(9) {
	case 8:
		w.sign(b)
	case 0:
		s := &curriculum.ExampleSession{AfterDays: oneOf(w.Rand, 0, 0, 1, 2, 30), Place: oneOf(w.Rand, "", "room-a", "yard", "lane"), Handler: oneOf(w.Rand, "", "senior", "owner")}
		w.items = append(w.items, curriculum.ExampleItem{Session: s})
		w.place, w.handler = s.Place, s.Handler
		w.later(s.AfterDays)
	case 1:
		s := &curriculum.ExampleStart{Behaviour: b.Name, Kept: w.IntN(6) == 0}
		if !s.Kept {
			step := oneOf(w.Rand, b.Steps...)
			s.Step = step.Name
			if w.IntN(2) == 0 {
				s.Level = curriculum.LevelRef(oneOf(w.Rand, step.Levels...).Values)
			}
		}
		w.items = append(w.items, curriculum.ExampleItem{Start: s})
		_ = w.reader.Take(curriculum.Entry{IsEvent: true, Event: curriculum.Event{Dog: dogsName, Behaviour: b.Name, At: w.at, Kind: curriculum.HandMove,
			Step: s.Step, Level: s.Level, Kept: s.Kept, By: "Halla"}})
	default:
		tr := w.trials(b)
		w.items = append(w.items, curriculum.ExampleItem{Trials: &tr})
	}
}

// sign sees a sign, or has somebody clear one that locks something.
func (w *writer) sign(b *curriculum.Behaviour) {
	s := &curriculum.ExampleSign{Name: oneOf(w.Rand, w.c.Signs...).Name, Behaviour: oneOf(w.Rand, "", b.Name), By: oneOf(w.Rand, "", "Dov")}
	item, kind := curriculum.ExampleItem{Sign: s}, curriculum.SignSeen
	if locks := w.locks(); len(locks) > 0 && w.IntN(2) == 0 {
		*s = curriculum.ExampleSign{Name: oneOf(w.Rand, locks...).Sign, By: "the vet"}
		item, kind = curriculum.ExampleItem{Clear: s}, curriculum.SignCleared
	}
	w.items = append(w.items, item)
	_ = w.reader.Take(curriculum.Entry{IsEvent: true, Event: curriculum.Event{Dog: dogsName, Behaviour: s.Behaviour, At: w.at, Kind: kind, Sign: s.Name, By: s.By}})
}

// locks are what the naive reader says is locked.
func (w *writer) locks() []naive.Lock {
	if dogs := w.reader.Answers(w.at); len(dogs) > 0 {
		return dogs[0].Locks
	}
	return nil
}

// later is another session, so many days on.
func (w *writer) later(days int) {
	w.session++
	if days > 0 {
		w.at = w.at.Truncate(24*time.Hour).AddDate(0, 0, days).Add(9 * time.Hour)
	} else {
		w.at = w.at.Add(35 * time.Minute)
	}
}

func (w *writer) trials(b *curriculum.Behaviour) curriculum.ExampleTrials {
	tr := curriculum.ExampleTrials{Behaviour: b.Name}
	step, at, _ := w.reader.Where(dogsName, b)
	switch w.IntN(6) {
	case 0:
		tr.Step = b.Steps[step].Name
	case 1:
		tr.Step, tr.Level = b.Steps[step].Name, curriculum.LevelRef(at.Values)
	case 2:
		tr.Step = oneOf(w.Rand, b.Steps...).Name
	}
	good := oneOf(w.Rand, 0.2, 0.5, 0.8, 0.97)
	for range 1 + w.IntN(9) {
		if w.IntN(12) == 0 {
			bar := oneOf(w.Rand, curriculum.SessionBar, curriculum.DayBar)
			tr.Marks = append(tr.Marks, curriculum.Mark{Bar: bar})
			w.later(int(bar - curriculum.SessionBar))
			continue
		}
		m := curriculum.Mark{Outcome: curriculum.Success, Help: oneOf(w.Rand, curriculum.NoHelp, curriculum.NoHelp, curriculum.NoHelp, curriculum.NoHelp, curriculum.LateHelp, curriculum.EarlyHelp)}
		if w.Float64() > good {
			m = curriculum.Mark{Outcome: oneOf(w.Rand, curriculum.Wrong, curriculum.Wrong, curriculum.Silent, curriculum.OptOut, curriculum.Void)}
		}
		for _, name := range []string{"latency", "duration", "turn"} {
			if w.IntN(3) == 0 {
				m.Measures = append(m.Measures, curriculum.MeasureValue{Name: name, Value: float64(w.IntN(8))})
			}
		}
		m.Rewarded = oneOf(w.Rand, curriculum.NotSaid, curriculum.NotSaid, curriculum.Yes, curriculum.No)
		tr.Marks = append(tr.Marks, m)
		w.n++
		t := curriculum.Trial{ID: fmt.Sprint("n", w.n), Dog: dogsName, Behaviour: b.Name, At: w.at, Session: fmt.Sprint("at ", w.session), Place: w.place, Handler: w.handler,
			Step: tr.Step, Level: tr.Level, Outcome: m.Outcome, Measures: m.Measures, Rewarded: m.Rewarded}
		if m.Help != curriculum.NoHelp {
			t.Help, t.Early = []string{curriculum.UnnamedHelp}, m.Help == curriculum.EarlyHelp
		}
		_ = w.reader.Take(curriculum.Entry{Trial: t})
		w.at = w.at.Add(time.Second)
	}
	return tr
}

// expectations are what the naive reader says of a behaviour now, and something else that is not so.
func (w *writer) expectations(b *curriculum.Behaviour) (right, wrong []curriculum.Expectation) {
	for _, s := range w.reader.Answers(w.at)[0].Behaviours {
		if s.Behaviour != b.Name {
			continue
		}
		is := curriculum.Expectation{Behaviour: b.Name, State: s.State}
		right, wrong = append(right, is), append(wrong, curriculum.Expectation{Behaviour: b.Name, State: otherState(w.Rand, s.State)})
		step, at, levels := w.reader.Where(dogsName, b)
		if s.State == curriculum.Kept {
			wrong = append(wrong, curriculum.Expectation{Behaviour: b.Name, Step: b.Steps[len(b.Steps)-1].Name})
			break
		}
		if s.Place.Step == b.Steps[step].Name { // the session's close may have moved it in the answer
			right = append(right, curriculum.Expectation{Behaviour: b.Name, Step: s.Place.Step})
			if len(at.Values) > 0 && maps.Equal(at.Texts(), s.Place.Level) {
				right = append(right, curriculum.Expectation{Behaviour: b.Name, Step: s.Place.Step, Level: curriculum.LevelRef(at.Values)})
				for _, l := range levels {
					if !l.Equal(at) && len(l.Values) > 0 {
						wrong = append(wrong, curriculum.Expectation{Behaviour: b.Name, Step: s.Place.Step, Level: curriculum.LevelRef(l.Values)})
					}
				}
			}
		}
		for _, other := range b.Steps {
			if other.Name != s.Place.Step {
				wrong = append(wrong, curriculum.Expectation{Behaviour: b.Name, Step: other.Name})
			}
		}
	}
	return right, wrong
}

func otherState(r *rand.Rand, s curriculum.State) curriculum.State {
	for {
		if o := oneOf(r, curriculum.Open, curriculum.Waiting, curriculum.Working, curriculum.Kept, curriculum.Lapsed, curriculum.Paused); o != s {
			return o
		}
	}
}

// notes counts the notes of a rule that the naive reader lists.
func (w *writer) notes(b *curriculum.Behaviour) map[string]int {
	n := map[string]int{}
	for _, s := range w.reader.Answers(w.at)[0].Behaviours {
		if s.Behaviour == b.Name {
			for _, note := range s.Noted {
				n[note.Rule]++
			}
		}
	}
	return n
}

func TestRandomExamplesPassWithWhatIsSoAndFailWithWhatIsNot(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	on := everyFeature()
	states, noted, locked := map[curriculum.State]int{}, 0, 0
	for seed := range uint64(500) {
		c := cases.Make(seed, on).Curriculum
		p, err := engine.Compile(c)
		require.NoError(t, err)
		w := newWriter(seed, c)
		b := oneOf(w.Rand, c.Behaviours...)
		var before map[string]int
		for range 2 + w.IntN(12) {
			if w.IntN(4) == 0 {
				right, _ := w.expectations(b)
				e := oneOf(w.Rand, right...)
				w.items = append(w.items, curriculum.ExampleItem{Expect: &e})
				before = w.notes(b)
			}
			w.line()
		}
		right, wrong := w.expectations(b)
		now := w.notes(b)
		for _, rule := range []string{"stop", "flag"} {
			is := now[rule] > before[rule]
			right = append(right, curriculum.Expectation{Behaviour: b.Name, Noted: rule, Not: !is})
			wrong = append(wrong, curriculum.Expectation{Behaviour: b.Name, Noted: rule, Not: is})
			if is {
				noted++
			}
		}
		states[right[0].State]++
		if slices.ContainsFunc(w.items, func(item curriculum.ExampleItem) bool { return item.Sign != nil }) {
			out := curriculum.Expectation{Behaviour: b.Name, Plan: true, LeftOut: true, Because: "locked"}
			if slices.ContainsFunc(w.locks(), func(l naive.Lock) bool { return len(l.Behaviours) == 0 || slices.Contains(l.Behaviours, b.Name) }) {
				locked++
				right = append(right, out)
			} else {
				wrong = append(wrong, out)
			}
		}
		items := w.items
		for i := range right {
			items = append(items, curriculum.ExampleItem{Expect: &right[i]})
		}
		run := func(items []curriculum.ExampleItem) *example.Result {
			copied := *c
			copied.Examples = []curriculum.Example{{Name: "random", Items: items}}
			p2, err := engine.Compile(&copied)
			require.NoError(t, err)
			return example.Run(p2, example.Options{})
		}
		r := run(items)
		if r.Failed > 0 {
			t.Fatalf("seed %d: %+v\n%s\n%v", seed, r.Cases[0].Failures, c.ExampleText(curriculum.Example{Name: "random", Items: items}), cases.Make(seed, on))
		}
		e := oneOf(w.Rand, wrong...)
		r = run(append(w.items[:len(w.items):len(w.items)], curriculum.ExampleItem{Expect: &e}))
		if r.Failed != 1 || len(r.Cases[0].Failures) != 1 {
			t.Fatalf("seed %d: passes with %s\n%s\n%v", seed, e, c.ExampleText(curriculum.Example{Name: "random", Items: w.items}), cases.Make(seed, on))
		}
		if p := r.Cases[0].Failures[0].Parted; p != nil {
			require.Positive(t, p.Trial)
			require.LessOrEqual(t, p.Trial, r.Cases[0].Trials)
		}
		_ = p
	}
	require.Positive(t, noted)
	require.Greater(t, locked, 50)
	for _, s := range []curriculum.State{curriculum.Open, curriculum.Waiting, curriculum.Working, curriculum.Kept, curriculum.Lapsed, curriculum.Paused} {
		require.Positive(t, states[s], s)
	}
}
