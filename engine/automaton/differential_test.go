package automaton_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
	"example.com/rung/engine/internal/naive/cases"
)

// The machine and the engine read the same law apart from each other. They are compared on random rules: random walks of
// the machine are recorded as trials, and the engine must note the same and move at the same trial by the same rule.

// shortTrials counts those that were asked for less than the full value of their level.
var shortTrials atomic.Int64

// everything is all features of the language.
func everything() map[cases.Feature]bool {
	on := map[cases.Feature]bool{}
	for _, f := range cases.All {
		on[f] = true
	}
	on[cases.Away], on[cases.Long] = false, false // not of a stay; windows beyond any budget
	return on
}

type happened struct {
	Trial string
	Rule  string
	Line  int
}

// walk is one comparison.
type walk struct {
	*rand.Rand
	c        *curriculum.Curriculum
	b        *curriculum.Behaviour
	step     int
	level    int
	fresh    bool
	stay     *automaton.Stay
	m        *automaton.Machine
	at       time.Time
	session  int
	trials   []curriculum.Trial
	evidence string // the session's last
	held     map[int]bool
	moves    []happened
	notes    []happened
}

var (
	monday = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	walker = curriculum.Dog{Name: "okapi", Born: time.Date(2025, 1, 10, 0, 0, 0, 0, time.UTC), WeightKg: 5}
)

func (w *walk) run() {
	w.at, w.session, w.held = monday.Add(time.Minute), 1, map[int]bool{}
	s := w.m.Start()
	letters := w.m.Letters()
	skill := []float64{0.2, 0.5, 0.8, 0.97}[w.IntN(4)]
	closes := slices.IndexFunc(letters, func(l automaton.Letter) bool { return l.Edge == automaton.SessionEnd })
	for i := range 60 {
		li := w.IntN(len(letters))
		if l := &letters[li]; w.Float64() < skill && l.IsTrial() && l.Cases[0].Kind != automaton.Success {
			li = w.IntN(len(letters))
		}
		if w.fresh && i == 0 && !letters[li].IsTrial() {
			continue
		}
		var trial *curriculum.Trial
		if letters[li].IsTrial() {
			li, trial = w.trial(li)
		}
		st := w.m.Next(s, li)
		if st.To == automaton.Impossible {
			continue
		}
		if st.To == automaton.Unexplored {
			break // what is seen on the way there is still right, but nothing behind it
		}
		w.take(letters[li].Edge, trial, st)
		if st.To < 0 {
			return
		}
		s = st.To
	}
	if closes >= 0 {
		w.take(automaton.SessionEnd, nil, w.m.Next(s, closes))
	}
}

// trial is a trial of a letter, not always its plainest: measures are moved about, and the letter looked up again.
func (w *walk) trial(li int) (int, *curriculum.Trial) {
	l := &w.m.Letters()[li]
	c := l.Cases[w.IntN(len(l.Cases))]
	if w.IntN(3) == 0 {
		moved := c
		moved.Measures = slices.Clone(c.Measures)
		for i := range moved.Measures {
			moved.Measures[i].Value = float64(w.IntN(50)) / 4
		}
		if again, ok := w.m.LetterOf(&moved); ok { // not so where a mean looks at the values themselves
			li, c = again, moved
		}
	}
	t := c.Trial(w.stay.Prompts)
	if len(t.Level) > 0 {
		shortTrials.Add(1)
	}
	t.ID = fmt.Sprintf("t%d", len(w.trials)+1)
	t.Dog, t.Behaviour, t.At, t.Session = walker.Name, w.b.Name, w.at, fmt.Sprintf("s%d", w.session)
	return li, &t
}

// take takes a step: what the machine says happens is written down.
func (w *walk) take(e automaton.Edge, t *curriculum.Trial, st automaton.Step) {
	present := w.evidence
	if t != nil {
		w.trials = append(w.trials, *t)
		w.at = w.at.Add(time.Second)
		present = t.ID
		if t.Outcome != curriculum.OptOut && !(t.Early && slices.Contains(t.Help, curriculum.UnnamedHelp)) {
			w.evidence = t.ID
		}
	}
	rules := w.m.Rules()
	for i, r := range rules {
		if r.Word != curriculum.StopToday && r.Word != curriculum.Flag || st.Looked>>i&1 == 0 {
			continue
		}
		holds := st.Holds>>i&1 != 0
		if holds && !w.held[i] {
			w.notes = append(w.notes, happened{present, string(r.Word), r.Source.Pos.Line})
		}
		w.held[i] = holds
	}
	due := -1
	for i, r := range rules {
		if r.Word != curriculum.Split || st.Looked>>i&1 == 0 {
			continue
		}
		if due < 0 && st.Holds>>i&1 != 0 {
			due = i
			continue
		}
		w.held[i] = false
	}
	if due >= 0 && len(rules[due].Source.Into) == 0 && !w.stay.Room {
		if !w.held[due] {
			w.notes = append(w.notes, happened{present, string(curriculum.Flag), rules[due].Source.Pos.Line})
		}
		w.held[due] = true
	}
	if st.Takes >= 0 {
		r := rules[st.Takes]
		w.moves = append(w.moves, happened{present, string(r.Word), r.Source.Pos.Line})
	}
	switch e {
	case automaton.SessionEnd, automaton.NextDay:
		w.session++
		w.evidence = ""
		for i, r := range rules {
			if r.Word == curriculum.StopToday {
				w.held[i] = false
			}
		}
	}
	if e == automaton.NextDay || e == automaton.Midnight {
		y, m, d := w.at.Date()
		w.at = time.Date(y, m, d+1, 9, 0, 0, 0, time.UTC)
	}
}

// engine folds the same trials, at the level the walk is about.
func (w *walk) engine(p *engine.Program) (moves, notes []happened, err error) {
	f := p.NewFold(walker)
	if !w.fresh {
		before := curriculum.Trial{ID: "before", Dog: walker.Name, Behaviour: w.b.Name, At: monday, Session: "s1", Step: w.b.Steps[0].Name, Outcome: curriculum.Success,
			Level: curriculum.LevelRef{{Of: "duration", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(777, curriculum.Second)}}}}
		if err := f.Record(&before); err != nil {
			return nil, nil, err
		}
		move := curriculum.Event{ID: "move", Dog: walker.Name, Behaviour: w.b.Name, At: monday, Kind: curriculum.HandMove, By: "Halla", Kept: w.step == len(w.b.Steps)}
		if !move.Kept {
			move.Step = w.b.Steps[w.step].Name
			move.Level = curriculum.LevelRef(w.b.Steps[w.step].Levels[w.level].Values)
		}
		if err := f.Note(&move); err != nil {
			return nil, nil, err
		}
	}
	for i := range w.trials {
		if err := f.Record(&w.trials[i]); err != nil {
			return nil, nil, err
		}
	}
	// a session that the walk left open is not closed
	now := f.Now()
	if slices.ContainsFunc(w.m.Letters(), func(l automaton.Letter) bool { return l.Edge == automaton.SessionEnd }) {
		now = now.Add(time.Hour)
	}
	for _, b := range f.Standing(now).Dogs[0].Behaviours {
		if b.Behaviour != w.b.Name {
			continue
		}
		for _, m := range b.Moves {
			if m.Rule != "hand" {
				moves = append(moves, happened{m.Trial, m.Rule, m.Line})
			}
		}
		for _, n := range b.Noted {
			notes = append(notes, happened{n.Trial, n.Rule, n.Line})
		}
	}
	return moves, notes, nil
}

// plain takes out of a curriculum what is no part of a stay: doors and long pauses.
func plain(c *curriculum.Curriculum) *curriculum.Curriculum {
	c = (&cases.Case{Curriculum: c}).Clone().Curriculum
	c.Sessions = nil
	for _, b := range c.Behaviours {
		b.Needs, b.NeverWith = nil, nil
	}
	return c
}

// compare walks every stay of a curriculum; it says what parted, and how much was compared.
func compare(seed uint64, on map[cases.Feature]bool, budget int) (walks, moves, notes int, err error) {
	c := plain(cases.Make(seed, on).Curriculum)
	p, err := engine.Compile(c)
	if err != nil {
		return 0, 0, 0, fmt.Errorf("seed %d: %w", seed, err)
	}
	r := rand.New(rand.NewPCG(seed, 5))
	for _, b := range c.Behaviours {
		for step := 0; step <= len(b.Steps); step++ {
			levels := 1
			if step < len(b.Steps) {
				levels = len(b.Steps[step].Levels)
			}
			level := r.IntN(levels)
			fresh := step == 0 && level == 0 && r.IntN(2) == 0
			stay, err := automaton.StayAt(c, b.Name, step, level)
			if err != nil {
				return walks, moves, notes, err
			}
			m, err := automaton.Make(c, stay, automaton.Options{Budget: budget, Dog: &walker, Day: monday, Entry: automaton.Entry{Fresh: fresh}})
			if err != nil {
				return walks, moves, notes, fmt.Errorf("seed %d, %s step %d: %w", seed, b.Name, step, err)
			}
			if slices.ContainsFunc(m.Assumptions(), func(a string) bool { return strings.Contains(a, "more than half") }) {
				continue // it says of itself that it is not exact
			}
			for range 4 {
				w := &walk{Rand: r, c: c, b: b, step: step, level: level, fresh: fresh, stay: stay, m: m}
				w.run()
				gotMoves, gotNotes, err := w.engine(p)
				walks, moves, notes = walks+1, moves+len(w.moves), notes+len(w.notes)
				if err == nil && (!slices.Equal(gotMoves, w.moves) || !slices.Equal(gotNotes, w.notes)) {
					err = fmt.Errorf("the machine (-) and the engine (+) part:\n%s%s", cmp.Diff(w.moves, gotMoves), cmp.Diff(w.notes, gotNotes))
				}
				if err != nil {
					return walks, moves, notes, fmt.Errorf("seed %d, %s step %d level %d fresh %v\n%s%w", seed, b.Name, step, level, fresh, w.text(), err)
				}
			}
		}
	}
	return walks, moves, notes, nil
}

func (w *walk) text() string {
	var b strings.Builder
	for _, r := range w.m.Rules() {
		fmt.Fprintf(&b, "  line %d: %s when %s (closes: %v)\n", r.Source.Pos.Line, r.Word, r.Text, r.Closes)
	}
	fmt.Fprintf(&b, "  decide %+v\n", w.stay.Decide)
	for _, t := range w.trials {
		fmt.Fprintf(&b, "  %s %s %s %s help %v early %v at %q by %q %v\n", t.ID, t.At.Format("01-02 15:04:05"), t.Session, t.Outcome, t.Help, t.Early, t.Place, t.Handler, t.Measures)
	}
	return b.String()
}

func TestTheMachineAgreesWithTheEngine(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	n := uint64(150)
	if s := os.Getenv("RUNG_CASES"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		require.NoError(t, err)
		n = v
	}
	from := uint64(1)
	if s := os.Getenv("RUNG_SEED"); s != "" {
		v, err := strconv.ParseUint(s, 10, 64)
		require.NoError(t, err)
		from, n = v, v
	}
	walks, moves, notes := 0, 0, 0
	for seed := from; seed <= n; seed++ {
		w, m, k, err := compare(seed, everything(), 1500)
		require.NoError(t, err)
		walks, moves, notes = walks+w, moves+m, notes+k
	}
	t.Logf("%d walks, %d moves, %d notes", walks, moves, notes)
	if n >= 100 && from == 1 {
		require.Positive(t, shortTrials.Load())
	}
}
