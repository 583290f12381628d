package example

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
)

// goal is what an example is to show: that a rule fires, or one side of a part of its criterion.
type goal struct {
	at   engine.RuleAt
	side *Side // nil for the rule
}

// reached reports whether a run showed it.
func (g goal) reached(cov *coverage) bool {
	t := cov.seen[g.at]
	switch {
	case t == nil:
		return false
	case g.side == nil:
		return t.fired
	case g.side.Never == Held:
		return t.parts[g.side.of].held
	}
	return t.parts[g.side.of].failed
}

// draft is an example in the making.
type draft struct {
	s *suggester
	goal
	dog   *curriculum.ExampleDog
	level int
	by    variant
	lead  *lead // nil where it begins with a start

	items   []curriculum.ExampleItem
	place   string
	handler string
	trials  int
	stands  int // the step at which the dog stands
}

// variant is a way to look for what fires a rule that is noted: one alternative of its criterion instead of all, and
// without minding the moves that come before.
type variant struct {
	when  curriculum.Criterion // nil for the rule's own
	alone bool
}

// variants are the ways to look for what reaches a goal, and of several the shortest is taken.
func (s *suggester) variants(g goal) []variant {
	r := s.rule(g.at)
	if r.Word != curriculum.StopToday && r.Word != curriculum.Flag {
		return []variant{{}}
	}
	look := alternatives(r.When)
	if g.side != nil {
		look = []curriculum.Criterion{nil}
	}
	var out []variant
	for _, c := range look {
		out = append(out, variant{when: c})
		if r.Word == curriculum.StopToday { // it looks at the whole session, whatever moves the dog
			out = append(out, variant{when: c, alone: true})
		}
	}
	return out
}

func alternatives(c curriculum.Criterion) []curriculum.Criterion {
	switch c := c.(type) {
	case curriculum.Named:
		return alternatives(c.Is)
	case curriculum.Or:
		var out []curriculum.Criterion
		for _, p := range c.Any {
			out = append(out, alternatives(p)...)
		}
		return out
	}
	return []curriculum.Criterion{c}
}

func (d *draft) b() *curriculum.Behaviour { return d.s.c.Behaviours[d.at.Behaviour] }

// find writes the example and plays it; ok is false where it does not reach the goal.
func (d *draft) find() (items []curriculum.ExampleItem, trials int, ok bool) {
	const mostEases = 6
	for eased := range mostEases {
		d.begin()
		if !d.history(eased) {
			if !asksForEases(d.s.rule(d.at).When) {
				return nil, 0, false
			}
			continue
		}
		if items, ok := d.played(); ok {
			return items, d.trials, true
		}
		if !asksForEases(d.s.rule(d.at).When) {
			return nil, 0, false
		}
	}
	return nil, 0, false
}

// starts puts the dog where the rule is looked at, and where the behaviour's firm needs ask.
func (d *draft) starts() {
	b := d.b()
	asked := map[*curriculum.Behaviour]curriculum.Need{}
	var firm func(b *curriculum.Behaviour)
	firm = func(b *curriculum.Behaviour) {
		for _, n := range b.Needs {
			other := d.s.c.Behaviour(n.Other)
			if !n.Firmly || other == nil {
				continue
			}
			if before, again := asked[other]; again && !further(other, n, before) {
				continue
			}
			asked[other] = n
			firm(other)
		}
	}
	firm(b)
	for _, other := range d.s.c.Behaviours {
		if n, ok := asked[other]; ok && other != b {
			d.items = append(d.items, curriculum.ExampleItem{Start: &curriculum.ExampleStart{Behaviour: other.Name, Step: n.Step, Level: n.Level, Kept: n.Step == ""}})
		}
	}
	start := &curriculum.ExampleStart{Behaviour: b.Name}
	switch {
	case d.at.Step == len(b.Steps):
		start.Kept = true
	case d.s.rule(d.at).Word == curriculum.Skip:
		start.Step = b.Steps[0].Name
	default:
		start.Step, start.Level = b.Steps[d.at.Step].Name, curriculum.LevelRef(b.Steps[d.at.Step].Levels[d.level].Values)
		if d.level == 0 {
			start.Level = nil
		}
	}
	d.items = append(d.items, curriculum.ExampleItem{Start: start})
}

// further reports whether a need asks for more of a behaviour than another.
func further(of *curriculum.Behaviour, a, b curriculum.Need) bool {
	at := func(n curriculum.Need) (step, level int) {
		if n.Step == "" {
			return len(of.Steps), 0
		}
		step = of.Step(n.Step)
		if step < 0 {
			return step, 0
		}
		return step, slices.IndexFunc(of.Steps[step].Levels, func(l curriculum.Level) bool { return l.Meets(n.Level) })
	}
	aStep, aLevel := at(a)
	bStep, bLevel := at(b)
	return aStep > bStep || aStep == bStep && aLevel > bLevel
}

// history writes the trials: as many rounds of easing and coming back as asked for, then what fires the rule.
func (d *draft) history(eased int) bool {
	b, r := d.b(), d.s.rule(d.at)
	if r.Word == curriculum.Skip {
		return d.skip(b, r)
	}
	for round := range eased {
		ease, ok := d.stay(d.at.Step, d.level, round, isEase)
		if !ok {
			return false
		}
		// where the ease leads
		step, level := d.at.Step, d.level-1
		switch to := ease.To; {
		case to != "":
			step = b.Step(to)
			level = len(b.Steps[step].Levels) - 1
			if ease.ToFirst {
				level = 0
			}
		case level < 0 && step > 0:
			step--
			level = len(b.Steps[step].Levels) - 1
		case level < 0:
			level = 0
		}
		for step < d.at.Step || step == d.at.Step && level < d.level {
			if _, ok := d.stay(step, level, 0, isAdvance); !ok {
				return false
			}
			if level++; level == len(b.Steps[step].Levels) {
				step, level = step+1, 0
			}
		}
	}
	took, ok := d.stay(d.at.Step, d.level, eased, nil)
	if ok && d.side == nil && r.Word == curriculum.Split && took.Word == curriculum.Ease && took.To == "" && d.level > 0 {
		// the ease alone is listed: what was put in is met on the way up
		_, ok = d.stay(d.at.Step, d.level-1, 0, isAdvance)
	}
	return ok
}

// stay writes the shortest history at a level that ends in a move of the word wanted, or, where none is, in what
// fires the draft's own rule. It returns the rule that makes the last move, if there is one.
func (d *draft) stay(step, level, eased int, want func(curriculum.RuleWord) bool) (*curriculum.Rule, bool) {
	b := d.b()
	d.stands = step
	st, err := automaton.StayAt(d.s.c, b.Name, step, level)
	if err != nil {
		return nil, false
	}
	mine := d.s.rule(d.at)
	rules, own := d.lookedAt(st.Rules, want == nil)
	st.Rules = rules
	if d.s.left <= 0 {
		d.s.whole = false
		return nil, false
	}
	m, err := automaton.Make(d.s.c, st, automaton.Options{Budget: min(searchStates, d.s.left), Entry: automaton.Entry{Eased: eased}, Dog: d.profile(), Day: FirstDay})
	if err != nil {
		d.s.whole = false
		return nil, false
	}
	d.s.left -= m.Len()
	if !m.Complete() || len(m.Opaque()) > 0 {
		d.s.whole = false
	}
	history, ok := m.Shortest(func(_ automaton.At, s automaton.Step) bool {
		switch {
		case want == nil && d.side != nil:
			return s.Holds>>own&1 != 0
		case want == nil && mine.Word == curriculum.Split:
			return s.SplitDue && s.Holds>>own&1 != 0 && s.Takes >= 0
		case want == nil && (mine.Word == curriculum.StopToday || mine.Word == curriculum.Flag):
			return s.Holds>>own&1 != 0
		case want == nil:
			return s.Takes == int8(own)
		}
		return s.Takes >= 0 && want(rules[s.Takes].Word)
	})
	if !ok {
		return nil, false
	}
	steps := m.Run(history)
	if takes := steps[len(steps)-1].Takes; takes >= 0 {
		return &rules[takes], d.write(m, history, "")
	}
	return mine, d.write(m, history, "")
}

// lookedAt are the rules of a stay that a search minds: its moves and, where the end is wanted, the draft's own rule or,
// in the place of one side of its criterion, a rule that only looks. own is where that stands, or -1.
func (d *draft) lookedAt(all []curriculum.Rule, end bool) (rules []curriculum.Rule, own int) {
	mine := d.s.rule(d.at)
	own = -1
	for i := range all {
		r := all[i]
		isMine := end && d.side == nil && &all[i] == mine
		if isMine {
			own = len(rules)
			if d.by.when != nil {
				r.When = d.by.when
			}
		} else if r.Word == curriculum.Skip || d.by.alone || r.Word == curriculum.StopToday || r.Word == curriculum.Flag {
			continue // other notes end nothing and would only make the search longer
		}
		rules = append(rules, r)
	}
	if end && d.side != nil {
		look := curriculum.Rule{Word: curriculum.Flag, When: d.s.p.Parts(d.at)[d.side.of], Pos: mine.Pos}
		if mine.Word == curriculum.StopToday {
			look.Word = curriculum.StopToday
		}
		if d.side.Never == Failed {
			look.When = curriculum.Not{Is: look.When}
		}
		rules, own = append(rules, look), len(rules)
	}
	return rules, own
}

// profile is the dog as a machine wants it.
func (d *draft) profile() *curriculum.Dog {
	pl := &player{dog: curriculum.Dog{Name: nobody}}
	if d.dog != nil {
		pl.theDog(d.dog, curriculum.Pos{})
	}
	return &pl.dog
}

// skip writes trials at the first level of the rule's step while the dog stands at the behaviour's first.
func (d *draft) skip(b *curriculum.Behaviour, r *curriculum.Rule) bool {
	m, err := automaton.Of(r.When, d.s.c, automaton.Options{Budget: searchStates})
	if err != nil {
		return false
	}
	history, ok := m.Shortest(func(_ automaton.At, s automaton.Step) bool { return s.Takes == 0 })
	return ok && d.write(m, history, b.Steps[d.at.Step].Name)
}

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

// asksForEases reports whether a criterion counts eases.
func asksForEases(c curriculum.Criterion) bool {
	return curriculum.AnyPart(c, func(p curriculum.Criterion) bool { _, eased := p.(curriculum.Eased); return eased })
}
