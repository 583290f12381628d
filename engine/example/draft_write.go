package example

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
)

// write turns a history into lines. A place or handler of its own begins a session.
func (d *draft) write(m *automaton.Machine, history []int, step string) bool {
	letters := m.Letters()
	var line *curriculum.ExampleTrials
	if n := len(d.items); n > 0 && d.items[n-1].Trials != nil && d.items[n-1].Trials.Step == step && len(d.items[n-1].Trials.Level) == 0 {
		line = d.items[n-1].Trials
	}
	session := func(s curriculum.ExampleSession) {
		d.items, line = append(d.items, curriculum.ExampleItem{Session: &s}), nil
		d.place, d.handler = s.Place, s.Handler
	}
	var pending *curriculum.ExampleSession
	for _, li := range history {
		l := &letters[li]
		if !l.IsTrial() {
			if pending == nil {
				pending = &curriculum.ExampleSession{}
			}
			if l.Edge != automaton.SessionEnd {
				pending.AfterDays = 1
			}
			continue
		}
		c := d.writable(l.Cases)
		if c == nil {
			return false
		}
		if pending == nil && d.trials > 0 && (c.Place != d.place || c.Handler != d.handler) || d.trials == 0 && c.Place+c.Handler != "" {
			pending = &curriculum.ExampleSession{}
		}
		at := step
		if len(c.Level) > 0 { // a value below the full one is named, and with it the step
			at = d.b().Steps[min(d.stands, len(d.b().Steps)-1)].Name
		}
		switch {
		case pending != nil && line != nil && c.Place == d.place && c.Handler == d.handler:
			line.Marks = append(line.Marks, barOf(pending))
		case pending != nil:
			pending.Place, pending.Handler = c.Place, c.Handler
			session(*pending)
		}
		pending = nil
		if line == nil || line.Level.String() != c.Level.String() {
			line = &curriculum.ExampleTrials{Behaviour: d.b().Name, Step: at, Level: c.Level}
			d.items = append(d.items, curriculum.ExampleItem{Trials: line})
		}
		t := c.Trial(nil)
		mark := curriculum.Mark{Outcome: t.Outcome, Measures: t.Measures, Rewarded: t.Rewarded}
		switch {
		case t.Early:
			mark.Help = curriculum.EarlyHelp
		case len(t.Help) > 0:
			mark.Help = curriculum.LateHelp
		}
		line.Marks = append(line.Marks, mark)
		d.trials++
	}
	if pending != nil && line != nil {
		line.Marks = append(line.Marks, barOf(pending))
	} else if pending != nil {
		session(*pending)
	}
	return true
}

// barOf is the bar for a session at the same place.
func barOf(s *curriculum.ExampleSession) curriculum.Mark {
	if s.AfterDays > 0 {
		return curriculum.Mark{Bar: curriculum.DayBar}
	}
	return curriculum.Mark{Bar: curriculum.SessionBar}
}

// writable is the case of a letter that an example can say, in the session's place if there is one.
func (d *draft) writable(cases []automaton.Case) *automaton.Case {
	var found *automaton.Case
	for i := range cases {
		c := &cases[i]
		if c.Prompted || c.Assumed != 0 || slices.ContainsFunc(c.Measures, func(v curriculum.MeasureValue) bool { return v.Value < 0 }) {
			continue
		}
		if c.Place == d.place && c.Handler == d.handler {
			return c
		}
		if found == nil {
			found = c
		}
	}
	return found
}

// played plays the draft, adds what comes of it as its expectation, and reports whether the rule fired.
func (d *draft) played() ([]curriculum.ExampleItem, bool) {
	cov := newCoverage(d.s.p)
	cov.in = map[engine.RuleAt]bool{}
	sc := script{items: d.items}
	pl := newPlayer(d.s.p, sc, nil)
	pl.fold.Watch(cov)
	pl.items(d.items)
	s, ok := pl.fold.Of(pl.dog.Name, d.b().Name, pl.now) // closes what is over
	if !ok || len(pl.failures) > 0 || !d.reached(cov) {
		return nil, false
	}
	e := curriculum.Expectation{Behaviour: d.b().Name}
	switch word := d.s.rule(d.at).Word; {
	case cov.seen[d.at].fired && (word == curriculum.StopToday || word == curriculum.Flag):
		e.Noted = string(word)
		if word == curriculum.StopToday {
			e.Noted = "stop"
		}
	case s.State == curriculum.Kept:
		e.State = curriculum.Kept
	default:
		e.Step, e.Level = s.Step, d.levelRef(s)
	}
	if _, ok := pl.meets(&e); !ok {
		return nil, false
	}
	return append(slices.Clone(d.items), curriculum.ExampleItem{Expect: &e}), true
}

// levelRef is the level where a behaviour stands, its values in the order of the step's ramps.
func (d *draft) levelRef(s engine.BehaviourStanding) curriculum.LevelRef {
	l := levelOf(s.Level)
	inOrder(d.s.c, s.Behaviour, s.Step, l.Values)
	return curriculum.LevelRef(l.Values)
}
