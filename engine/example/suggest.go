package example

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
)

// Suggestion is an example that fires a rule that no other did. It was played: it passes, and the rule fires.
type Suggestion struct {
	Behaviour string `json:"behaviour"`
	Step      string `json:"step"`
	Rule      string `json:"rule"`
	File      string `json:"file,omitempty"`
	Line      int    `json:"line"`
	Trials    int    `json:"trials"`
	Text      string `json:"example,omitempty"` // ready to paste; "" where none was found
	None      string `json:"none,omitempty"`    // why none was found

	Example curriculum.Example `json:"-"`
}

// How many states are looked at for one suggestion: in one search, and in all for one rule, which is some tenths of a
// second.
const (
	searchStates = 20_000
	ruleStates   = 60_000
)

// Suggest writes an example for each of the rules: the dog is put at a level of the rule's step and gets the shortest
// history there that fires it. Of several rules in one line of the text, a ladder's, the first gets one and speaks for
// the others, unless everyRule asks for all.
func Suggest(p *engine.Program, rules []Unfired, everyRule bool) []Suggestion {
	out := []Suggestion{}
	done := map[lineOf]bool{}
	s := &suggester{p: p, c: p.Curriculum(), dogs: dogsFor(p.Curriculum()), taken: map[string]bool{}}
	for _, e := range s.c.Examples {
		s.taken[e.Name] = true
	}
	for _, u := range rules {
		r := s.rule(u.at)
		key := lineKey(u.at, r)
		if !everyRule && (done[key] || u.Elsewhere) {
			continue
		}
		done[key] = true
		sg := Suggestion{Behaviour: u.Behaviour, Step: u.Step, Rule: u.Rule, File: u.File, Line: u.Line}
		if e, trials, ok := s.suggest(u.at); ok {
			sg.Example, sg.Trials = e, trials
			sg.Text = s.c.ExampleText(e)
		} else if sg.None = "no history was found that fires it"; s.whole && withinLevel(r) {
			sg.None = "no history at one level fires it: another rule always moves the dog before, or it contradicts itself"
		}
		out = append(out, sg)
	}
	return out
}

// suggester looks for examples.
type suggester struct {
	p     *engine.Program
	c     *curriculum.Curriculum
	dogs  []*curriculum.ExampleDog // to be tried in turn; nil for no `dog` line
	taken map[string]bool          // names of examples
	whole bool                     // the searches for the present rule saw all there is
	left  int                      // states that may still be looked at for it
}

func (s *suggester) rule(at engine.RuleAt) *curriculum.Rule {
	b := s.c.Behaviours[at.Behaviour]
	if at.Step == len(b.Steps) {
		return &b.Lapse[at.Rule]
	}
	return &b.Steps[at.Step].Rules[at.Rule]
}

// suggest is an example that fires the rule.
func (s *suggester) suggest(at engine.RuleAt) (e curriculum.Example, trials int, ok bool) {
	s.whole, s.left = true, ruleStates
	for _, dog := range s.dogs {
		for _, level := range s.levels(at) {
			var best []curriculum.ExampleItem
			for _, by := range variants(s.rule(at)) {
				d := &draft{s: s, at: at, dog: dog, level: level, by: by}
				if items, n, ok := d.find(); ok && (best == nil || n < trials) {
					best, trials = items, n
				}
			}
			if best != nil {
				return curriculum.Example{Name: s.name(at), Items: best}, trials, true
			}
		}
	}
	for _, dog := range s.dogs[:min(len(s.dogs), 2)] {
		d := &draft{s: s, at: at, dog: dog, level: s.levels(at)[0]}
		if items, n, ok := d.pattern(); ok {
			return curriculum.Example{Name: s.name(at), Items: items}, n, true
		}
	}
	return e, 0, false
}

// levels are the levels of the rule's step at which it is tried, the likeliest first.
func (s *suggester) levels(at engine.RuleAt) []int {
	b := s.c.Behaviours[at.Behaviour]
	if at.Step == len(b.Steps) {
		return []int{0}
	}
	n := len(b.Steps[at.Step].Levels)
	switch b.Steps[at.Step].Rules[at.Rule].Word {
	case curriculum.Ease, curriculum.Split:
		if n > 1 {
			return []int{1, n - 1, 0} // an easier one of the same step, and room between them
		}
	}
	return slices.Compact([]int{0, n - 1})
}

// name is a name for the example that none has yet.
func (s *suggester) name(at engine.RuleAt) string {
	b, r := s.c.Behaviours[at.Behaviour], s.rule(at)
	what := map[curriculum.RuleWord]string{curriculum.Advance: "goes on", curriculum.Ease: "goes back", curriculum.Split: "gets a level half-way",
		curriculum.StopToday: "is enough for today", curriculum.Flag: "asks for a senior", curriculum.Skip: "skips ahead", curriculum.Lapse: "lapses"}[r.Word]
	name := b.Name + " " + what
	if at.Step < len(b.Steps) {
		name = b.Name + " at " + b.Steps[at.Step].Name + " " + what
	}
	for n := 1; ; n++ {
		full := name
		if n > 1 {
			full = fmt.Sprintf("%s, %d", name, n)
		}
		if !s.taken[full] {
			s.taken[full] = true
			return full
		}
	}
}

// draft is an example in the making.
type draft struct {
	s     *suggester
	at    engine.RuleAt
	dog   *curriculum.ExampleDog
	level int
	by    variant

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

// variants are the ways to look for what fires a rule, and of several the shortest is taken.
func variants(r *curriculum.Rule) []variant {
	if r.Word != curriculum.StopToday && r.Word != curriculum.Flag {
		return []variant{{}}
	}
	var out []variant
	for _, c := range alternatives(r.When) {
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

// find writes the example and plays it; ok is false where it does not fire the rule.
func (d *draft) find() (items []curriculum.ExampleItem, trials int, ok bool) {
	const mostEases = 6
	for eased := range mostEases {
		d.items, d.place, d.handler, d.trials = nil, "", "", 0
		if d.dog != nil {
			d.items = append(d.items, curriculum.ExampleItem{Dog: d.dog})
		}
		d.starts()
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
		ease, ok := d.stay(d.at.Step, d.level, round, func(w curriculum.RuleWord) bool { return w == curriculum.Ease })
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
			if _, ok := d.stay(step, level, 0, func(w curriculum.RuleWord) bool { return w == curriculum.Advance }); !ok {
				return false
			}
			if level++; level == len(b.Steps[step].Levels) {
				step, level = step+1, 0
			}
		}
	}
	took, ok := d.stay(d.at.Step, d.level, eased, nil)
	if ok && r.Word == curriculum.Split && took.Word == curriculum.Ease && took.To == "" && d.level > 0 {
		// the ease alone is listed: what was put in is met on the way up
		_, ok = d.stay(d.at.Step, d.level-1, 0, func(w curriculum.RuleWord) bool { return w == curriculum.Advance })
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
	// other notes end nothing and would only make the search longer
	mine := d.s.rule(d.at)
	var rules []curriculum.Rule
	own := -1
	for i := range st.Rules {
		r := st.Rules[i]
		isMine := want == nil && &st.Rules[i] == mine
		if r.Word == curriculum.Skip || !isMine && (d.by.alone || r.Word == curriculum.StopToday || r.Word == curriculum.Flag) {
			continue
		}
		if isMine && d.by.when != nil {
			r.When = d.by.when
		}
		if isMine {
			own = len(rules)
		}
		rules = append(rules, r)
	}
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
		mark := curriculum.Mark{Outcome: t.Outcome, Measures: t.Measures}
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
		if c.Prompted || c.Rewarded != curriculum.NotSaid || c.Assumed != 0 || slices.ContainsFunc(c.Measures, func(v curriculum.MeasureValue) bool { return v.Value < 0 }) {
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
	if t := cov.seen[d.at]; !ok || len(pl.failures) > 0 || t == nil || !t.fired {
		return nil, false
	}
	e := curriculum.Expectation{Behaviour: d.b().Name}
	switch word := d.s.rule(d.at).Word; {
	case word == curriculum.StopToday || word == curriculum.Flag:
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
func asksForEases(c curriculum.Criterion) (yes bool) {
	eachPart(c, func(c curriculum.Criterion) {
		_, eased := c.(curriculum.Eased)
		yes = yes || eased
	})
	return yes
}
