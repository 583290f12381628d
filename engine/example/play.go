package example

import (
	"fmt"
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

const (
	betweenTrials   = 20 * time.Second
	betweenSessions = 31 * time.Minute
	nobody          = "the dog" // the name of a dog that has none
	author          = "the example"
)

// player plays one script on a fold of its own.
type player struct {
	p    *engine.Program
	fold *engine.Fold
	dogs []curriculum.Dog
	dog  curriculum.Dog

	now     time.Time // of the last trial, or when the session began
	session int       // its number
	tried   bool      // there were trials in it
	place   string
	handler string
	played  []played

	expecting bool           // the line before was an expectation
	asked     []string       // behaviours of whose notes something is expected
	noted     map[string]int // how many notes there were at the last lines with `expect`
	failures  []Failure

	replace func(n int, m curriculum.Mark) curriculum.Mark // of the n-th trial, from 1; nil for none
	after   func(pl *player)                               // called after every trial
}

// played is a trial that was played.
type played struct {
	mark curriculum.Mark
	pos  curriculum.Pos
	line *curriculum.ExampleTrials

	place, handler string
}

// play plays a script. Looks at rules are told to cov, if it is not nil.
func play(p *engine.Program, s script, dogs []curriculum.Dog, cov *coverage) Case {
	pl := newPlayer(p, s, dogs)
	run := Case{Name: s.name, Row: s.row, File: s.pos.File, Line: s.pos.Line}
	if cov != nil {
		run.looked = map[engine.RuleAt]bool{}
		cov.in = run.looked
		pl.fold.Watch(cov)
	}
	pl.items(s.items)
	run.Trials, run.Failures, run.Passed = len(pl.played), pl.failures, len(pl.failures) == 0
	return run
}

func newPlayer(p *engine.Program, s script, dogs []curriculum.Dog) *player {
	pl := &player{p: p, dogs: dogs, dog: curriculum.Dog{Name: nobody}, now: FirstDay, session: 1}
	for i := range s.items {
		switch item := &s.items[i]; {
		case item.Dog != nil:
			pl.theDog(item.Dog, item.Pos)
		case item.Expect != nil && item.Expect.Noted != "" && !slices.Contains(pl.asked, item.Expect.Behaviour):
			pl.asked = append(pl.asked, item.Expect.Behaviour)
		}
	}
	pl.fold = p.NewFold(pl.dog)
	return pl
}

// theDog makes the profile of the dog that the example is about.
func (pl *player) theDog(d *curriculum.ExampleDog, pos curriculum.Pos) {
	if d.Profile != "" {
		i := slices.IndexFunc(pl.dogs, func(o curriculum.Dog) bool { return o.Name == d.Profile })
		if i < 0 {
			pl.fail(Failure{Found: fmt.Sprintf("there is no profile of a dog %q: give it with --dogs, or say in the example what matters of the dog", d.Profile)}, pos)
			return
		}
		pl.dog = pl.dogs[i]
	}
	switch {
	case d.AgeMonths > 0:
		pl.dog.Born = FirstDay.AddDate(0, -d.AgeMonths, 0)
	case d.AgeDays > 0:
		pl.dog.Born = FirstDay.AddDate(0, 0, -d.AgeDays)
	}
	if d.WeightKg > 0 {
		pl.dog.WeightKg = d.WeightKg
	}
	if d.AdultWeightKg > 0 {
		pl.dog.AdultWeightKg = d.AdultWeightKg
	}
	if d.Neutered != curriculum.NotSaid {
		pl.dog.Neutered = d.Neutered
	}
	if len(d.Avoid) > 0 {
		pl.dog.Avoid = d.Avoid
	}
	if len(d.Cues) > 0 {
		pl.dog.Cues = d.Cues
	}
}

func (pl *player) fail(f Failure, pos curriculum.Pos) {
	f.File, f.Line, f.Column = pos.File, pos.Line, pos.Column
	pl.failures = append(pl.failures, f)
}

func (pl *player) items(items []curriculum.ExampleItem) {
	for i := range items {
		item := &items[i]
		if item.Expect == nil {
			pl.goesOn()
		}
		switch {
		case item.Start != nil:
			pl.start(item.Start, item.Pos)
		case item.Session != nil:
			pl.begin(item.Session, item.Pos)
		case item.Sign != nil:
			pl.sign(item.Sign, curriculum.SignSeen, item.Pos)
		case item.Clear != nil:
			pl.sign(item.Clear, curriculum.SignCleared, item.Pos)
		case item.Trials != nil:
			pl.trials(item.Trials, item.Pos)
		case item.Expect != nil:
			pl.expect(item.Expect, item.Pos)
			pl.expecting = true
		}
	}
}

// goesOn is called before a line that is no expectation: what was noted so far is behind it.
func (pl *player) goesOn() {
	if !pl.expecting {
		return
	}
	pl.expecting = false
	for _, b := range pl.asked {
		if pl.noted == nil {
			pl.noted = map[string]int{}
		}
		s, _ := pl.fold.Of(pl.dog.Name, b, pl.now)
		pl.noted[b] = len(s.Noted)
	}
}

func (pl *player) start(s *curriculum.ExampleStart, pos curriculum.Pos) {
	e := curriculum.Event{Dog: pl.dog.Name, Behaviour: s.Behaviour, At: pl.now, Kind: curriculum.HandMove, Step: s.Step, Level: s.Level, Kept: s.Kept, By: author}
	if err := pl.fold.Note(&e); err != nil {
		pl.fail(Failure{Found: err.Error()}, pos)
	}
}

// sign is a welfare sign that is seen now, or cleared. A clear where nothing is locked says that the author meant something
// else.
func (pl *player) sign(s *curriculum.ExampleSign, kind curriculum.EventKind, pos curriculum.Pos) {
	before := len(pl.fold.Reports())
	e := curriculum.Event{Dog: pl.dog.Name, Behaviour: s.Behaviour, At: pl.now, Kind: kind, Sign: s.Name, By: s.By}
	if err := pl.fold.Note(&e); err != nil {
		pl.fail(Failure{Found: err.Error()}, pos)
		return
	}
	for _, r := range pl.fold.Reports()[before:] {
		pl.fail(Failure{Found: r.Text}, pos)
	}
}

// bar begins a session at the same place and with the same handler.
func (pl *player) bar(b curriculum.Bar, pos curriculum.Pos) {
	s := &curriculum.ExampleSession{Place: pl.place, Handler: pl.handler}
	if b == curriculum.DayBar {
		s.AfterDays = 1
	}
	pl.begin(s, pos)
}

// begin begins a session.
func (pl *player) begin(s *curriculum.ExampleSession, pos curriculum.Pos) {
	pl.place, pl.handler = s.Place, s.Handler
	before := pl.now
	switch {
	case s.AfterDays > 0:
		y, m, d := pl.now.Date()
		pl.now = time.Date(y, m, d+s.AfterDays, FirstDay.Hour(), 0, 0, 0, time.UTC)
	case pl.tried:
		pl.now = pl.now.Add(betweenSessions)
		if pl.now.Day() != before.Day() {
			pl.fail(Failure{Found: "the day is full: let this session come after 1 day"}, pos)
		}
	default:
		return
	}
	pl.session++
	pl.tried = false
}

func (pl *player) trials(line *curriculum.ExampleTrials, pos curriculum.Pos) {
	for _, m := range line.Marks {
		if m.Bar != curriculum.NoBar {
			pl.bar(m.Bar, pos)
			continue
		}
		n := len(pl.played) + 1
		if pl.replace != nil {
			m = pl.replace(n, m)
		}
		if pl.tried {
			pl.now = pl.now.Add(betweenTrials)
		}
		pl.tried = true
		at := m.Pos
		if at.Line == 0 {
			at = pos
		}
		pl.played = append(pl.played, played{m, at, line, pl.place, pl.handler})
		t := curriculum.Trial{ID: fmt.Sprintf("t%d", n), Dog: pl.dog.Name, Behaviour: line.Behaviour, At: pl.now, Session: fmt.Sprintf("s%d", pl.session),
			Place: pl.place, Handler: pl.handler, Step: line.Step, Level: line.Level, Outcome: m.Outcome, Measures: m.Measures, Rewarded: m.Rewarded}
		if m.Help != curriculum.NoHelp {
			t.Help, t.Early = []string{curriculum.UnnamedHelp}, m.Help == curriculum.EarlyHelp
		}
		if err := pl.fold.Record(&t); err != nil {
			pl.fail(Failure{Found: err.Error()}, at)
		}
		if pl.after != nil {
			pl.after(pl)
		}
	}
}

// expect checks one expectation.
func (pl *player) expect(e *curriculum.Expectation, pos curriculum.Pos) {
	found, ok := pl.meets(e)
	if !ok {
		pl.fail(Failure{Expected: e.String(), Found: found, expected: e}, pos)
	}
}

// meets reports whether an expectation is met now, and if not what is so instead.
func (pl *player) meets(e *curriculum.Expectation) (found string, ok bool) {
	if e.Plan {
		return pl.planned(e)
	}
	s, known := pl.fold.Of(pl.dog.Name, e.Behaviour, pl.now)
	if !known {
		return fmt.Sprintf("no behaviour is called %q", e.Behaviour), false
	}
	switch {
	case e.State != "":
		return standsText(pl.p.Curriculum(), &s), s.State == e.State
	case e.Noted != "":
		return pl.notes(e, &s)
	}
	return standsText(pl.p.Curriculum(), &s), pl.stands(e, &s)
}

// stands reports whether a behaviour stands at the place that is expected.
func (pl *player) stands(e *curriculum.Expectation, s *engine.BehaviourStanding) bool {
	b := pl.p.Curriculum().Behaviour(e.Behaviour)
	return s.State != curriculum.Kept && b.Step(e.Step) == b.Step(s.Step) && levelOf(s.Level).Meets(e.Level)
}

// levelOf is a level from its texts, in no order.
func levelOf(texts map[string]string) curriculum.Level {
	var l curriculum.Level
	for of, text := range texts {
		if v, ok := curriculum.ParseLevelValue(of, text); ok {
			l.Values = append(l.Values, curriculum.NamedValue{Of: of, LevelValue: v})
		}
	}
	return l
}

// notes reports whether a rule was noted since the last lines with `expect`.
func (pl *player) notes(e *curriculum.Expectation, s *engine.BehaviourStanding) (found string, ok bool) {
	var earlier *engine.Noted
	for i := range s.Noted {
		n := &s.Noted[i]
		if n.Rule != e.Noted {
			continue
		}
		if i >= pl.noted[e.Behaviour] {
			return fmt.Sprintf("%s was noted at trial %s: %s", n.Rule, n.Trial[1:], n.Because), !e.Not
		}
		earlier = n
	}
	if earlier != nil {
		return fmt.Sprintf("%s was noted before the last expectations already, at trial %s", e.Noted, earlier.Trial[1:]), e.Not
	}
	return fmt.Sprintf("no %s was noted", e.Noted), e.Not
}

// planned reports whether the next session has, or leaves out, a behaviour.
func (pl *player) planned(e *curriculum.Expectation) (found string, ok bool) {
	next, err := plan.Next(pl.p, pl.fold, plan.Request{Dog: pl.dog.Name, At: pl.now, Place: pl.place, Handler: pl.handler})
	if err != nil {
		return err.Error(), false
	}
	name := e.Behaviour
	if b := pl.p.Curriculum().Behaviour(e.Behaviour); b != nil {
		name = b.Name
	}
	for _, item := range next.Items {
		if item.Behaviour == name {
			return "the plan has it: " + item.Reason, !e.LeftOut
		}
	}
	for _, l := range next.LeftOut {
		if l.Behaviour == name {
			return fmt.Sprintf("the plan leaves it out because %s: %s", l.Code, l.Reason), e.LeftOut && (e.Because == "" || e.Because == string(l.Code))
		}
	}
	return "nothing is planned: " + fmt.Sprint(next.Referral), e.LeftOut && (e.Because == "" || e.Because == string(plan.Locked))
}
