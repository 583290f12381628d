package proof

import (
	"fmt"
	"math"

	"example.com/rung/curriculum"
)

const (
	codeOutOfReach = "out-of-reach"
	codeNoWayOn    = "no-way-on"
)

var reachCodes = []codeEntry{
	{
		Code: codeOutOfReach, Severity: Error, Title: "a rule that the session's limits keep from ever holding",
		Means: "The rule counts more trials in one session (or day, or more places) than a session, the behaviour or the step may have. " +
			"It never holds, so the dog stands there for good. Raise the limit, or ask for fewer.",
		Faulty:   "rung 1\nbehaviour settle {\n  at most 8 trials a session\n  step go \"lies down within 3 s\" {\n    advance when 9 of last 10 in this session\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  at most 8 trials a session\n  step go \"lies down within 3 s\" {\n    advance when 7 of last 8 in this session\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeNoWayOn, Severity: Error, Title: "a step that no dog leaves upwards",
		Means: "The step has no advance rule. What comes after it is never reached, and if it is the last one the behaviour is never kept, " +
			"so that its reviews never fall due and whoever waits for it waits for good.",
		Faulty:   "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    flag when after 40 trials\n  }\n  step stay \"stays 5 s\" {\n    advance when 4 of last 5\n    ease when 3 misses of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step stay \"stays 5 s\" {\n    advance when 4 of last 5\n    ease when 3 misses of last 5\n  }\n}\n",
	},
}

var reachChecks = []check{
	{[]string{codeOutOfReach}, (*subject).outOfReach},
	{[]string{codeNoWayOn}, (*subject).noWayOn},
}

// room is how many trials of a step a session and a day have, 0 where nothing limits them, and where that was said.
type room struct {
	session, day     int
	sessionAt, dayAt curriculum.Pos
	places, handlers int // different ones that its trials can have
}

// roomOf is the room of a step. Of several kinds of session the roomiest counts: any of them may be held.
func (s *subject) roomOf(p place) room {
	var r room
	for i, x := range s.c.Sessions {
		n := least(x.MaxTrials, x.MaxPerBehaviour)
		for _, k := range x.Impact { // the whole week's may be of one behaviour, in one session
			if is(p.b, curriculum.Impact) {
				n = least(n, k.N)
			}
		}
		if i == 0 || r.session > 0 && (n == 0 || n > r.session) {
			r.session, r.sessionAt = n, orPos(x.LimitsPos, x.Pos)
		}
	}
	aDay := 0
	for _, c := range append(append([]curriculum.Cap(nil), p.b.Caps...), p.step.Caps...) {
		switch {
		case c.Of == curriculum.CapTrials && c.Per == curriculum.PerSession && (r.session == 0 || c.N < r.session):
			r.session, r.sessionAt = c.N, c.Pos
		case c.Of == curriculum.CapTrials && c.Per == curriculum.PerDay && (r.day == 0 || c.N < r.day):
			r.day, r.dayAt = c.N, c.Pos
		case c.Of == curriculum.CapSessions && c.Per == curriculum.PerDay && (aDay == 0 || c.N < aDay):
			aDay = c.N
		}
	}
	if n := aDay * r.session; n > 0 && (r.day == 0 || n < r.day) {
		r.day, r.dayAt = n, r.sessionAt
	}
	if r.day > 0 && (r.session == 0 || r.day < r.session) {
		r.session, r.sessionAt = r.day, r.dayAt
	}
	r.places, r.handlers = len(s.c.Places), len(s.c.Handlers)
	if len(p.step.Places) > 0 {
		r.places = len(p.step.Places)
	}
	return r
}

// least is the smaller of two limits of which 0 means none.
func least(a, b int) int {
	if a == 0 || b != 0 && b < a {
		return b
	}
	return a
}

// barrier is why a criterion can never hold.
type barrier struct {
	text, help string
	at         curriculum.Pos
}

// barrier is why a criterion can never hold in that room, or nil.
func (r room) barrier(c curriculum.Criterion) *barrier {
	switch c := c.(type) {
	case curriculum.Named:
		return r.barrier(c.Is)
	case curriculum.And:
		for _, x := range c.All {
			if b := r.barrier(x); b != nil {
				return b
			}
		}
	case curriculum.Or:
		var first *barrier
		for _, x := range c.Any {
			b := r.barrier(x)
			if b == nil {
				return nil
			}
			if first == nil {
				first = b
			}
		}
		return first
	case curriculum.InSession:
		return r.within(fewest(c.Is), r.session, "session", r.sessionAt)
	case curriculum.InSessionCount:
		return r.within(c.N, r.session, "session", r.sessionAt)
	case curriculum.SessionShare:
		return r.within(c.MinTrials, r.session, "session", r.sessionAt)
	case curriculum.Repeated:
		return r.repeated(c)
	}
	return nil
}

func (r room) repeated(c curriculum.Repeated) *barrier {
	switch c.Over {
	case curriculum.Sessions:
		return r.within(fewest(c.Is), r.session, "session", r.sessionAt)
	case curriculum.Days:
		return r.within(fewest(c.Is), r.day, "day", r.dayAt)
	case curriculum.Places:
		if c.N > r.places {
			return &barrier{text: fmt.Sprintf("it asks for %d places, and the step has %d", c.N, r.places), help: "ask for fewer places, or name more"}
		}
	case curriculum.Handlers:
		if c.N > r.handlers {
			return &barrier{text: fmt.Sprintf("it asks for %d handlers, and %d are declared", c.N, r.handlers), help: "ask for fewer handlers, or declare more"}
		}
	}
	return nil
}

func (r room) within(needs, limit int, what string, at curriculum.Pos) *barrier {
	if limit == 0 || needs <= limit {
		return nil
	}
	return &barrier{
		text: fmt.Sprintf("it takes at least %s in one %s, and at most %d are allowed", plural(needs, "trial"), what, limit),
		help: fmt.Sprintf("allow %d trials a %s, or ask for no more than %d", needs, what, limit), at: at,
	}
}

// fewest is the smallest number of trials after which a criterion can hold, as far as that is known.
func fewest(c curriculum.Criterion) int {
	switch c := c.(type) {
	case curriculum.Window:
		switch {
		case c.Twice:
			return 2 * c.N
		case c.Each, c.AtMost:
			return c.N
		}
		return c.K
	case curriculum.InSessionCount:
		return c.N
	case curriculum.Done:
		return c.N
	case curriculum.InSession:
		return fewest(c.Is)
	case curriculum.Repeated:
		return c.N * fewest(c.Is)
	case curriculum.SessionShare:
		return c.N * max(1, c.MinTrials)
	case curriculum.FirstTrial:
		return c.N
	case curriculum.Statistic:
		return c.N
	case curriculum.Confidence:
		return fewestSure(c)
	case curriculum.After:
		if c.Unit == curriculum.AfterTrials && !c.AtStep { // trials at the step may be from earlier levels
			return c.N
		}
	case curriculum.Named:
		return fewest(c.Is)
	case curriculum.And:
		n := 0
		for _, x := range c.All {
			n = max(n, fewest(x))
		}
		return n
	case curriculum.Or:
		n := -1
		for _, x := range c.Any {
			if m := fewest(x); n < 0 || m < n {
				n = m
			}
		}
		return max(n, 0)
	}
	return 0
}

// fewestSure is how many successes without a miss show the share: share^n <= 1 - confidence.
func fewestSure(c curriculum.Confidence) int {
	share, _ := c.Share.Rat().Float64()
	sure, _ := c.Confidence.Rat().Float64()
	if share <= 0 || share >= 1 || sure <= 0 || sure >= 1 {
		return 0
	}
	n := math.Ceil(math.Log(1-sure)/math.Log(share) - 1e-9)
	return min(int(n), c.N)
}

// outOfReach looks at every rule for what its session has no room for.
func (s *subject) outOfReach() {
	for _, p := range s.places() {
		r := s.roomOf(p)
		for i := range p.step.Rules {
			rule := &p.step.Rules[i]
			b := r.barrier(rule.When)
			if b == nil {
				continue
			}
			f := p.finding(codeOutOfReach, rule.Pos, "this %s rule can never hold: %s", rule.Word, b.text)
			f.Help, f.Answer = b.help, Disproved
			if b.at.Line > 0 {
				f.Related = []Related{{b.at, "the limit stands here"}}
			}
			s.reportFollowed(f, s.stranded(p, rule))
		}
	}
}

// neverHolds reports whether a rule is one that outOfReach or joinedDogs reports: nothing more need be said about it.
func (s *subject) neverHolds(p place, rule *curriculum.Rule) bool {
	return s.dead[rule] || s.roomOf(p).barrier(rule.When) != nil
}

// stranded says what is never reached where a step's advance can never hold.
func (s *subject) stranded(p place, rule *curriculum.Rule) string {
	if rule.Word != curriculum.Advance || p.skipped() {
		return ""
	}
	for _, r := range p.rules(curriculum.Advance) {
		if r != rule && !s.neverHolds(p, r) {
			return ""
		}
	}
	return s.never(p)
}

// never says in words what is out of reach of a dog that does not leave a step.
func (s *subject) never(p place) string {
	out := ", so " + p.b.Name
	if p.last() {
		out += " is never kept"
	} else {
		out += " never gets past " + p.step.Name
	}
	for _, b := range s.c.Behaviours {
		for _, n := range b.Needs {
			if n.Other == "" || s.c.Behaviour(n.Other) != p.b {
				continue
			}
			i := p.b.Step(n.Step)
			if further := i == p.i && len(n.Level) > 0 && !p.step.Levels[0].Meets(n.Level); n.Step == "" || i > p.i || further {
				out += ", and " + b.Name + ", which waits for it, never begins"
				return out
			}
		}
	}
	return out
}

// noWayOn looks for steps without an advance rule.
func (s *subject) noWayOn() {
	for _, p := range s.places() {
		if p.has(curriculum.Advance) {
			continue
		}
		if p.last() {
			if len(p.b.Review) == 0 && len(p.b.Lapse) == 0 && s.never(p) == ", so "+p.b.Name+" is never kept" {
				continue // worked for as long as the dog lives: somebody may well mean that
			}
		} else if p.skipped() {
			continue
		}
		f := p.finding(codeNoWayOn, p.step.Pos, "%s has no advance rule%s", p.step.Name, s.never(p))
		f.Help, f.Answer = "say when it is good enough: advance when ...", Disproved
		s.report(f)
	}
}

// skipped reports whether a dog can get past the step by a skip to a later one.
func (p place) skipped() bool {
	for _, st := range p.b.Steps[p.i+1:] {
		for _, r := range st.Rules {
			if r.Word == curriculum.Skip {
				return true
			}
		}
	}
	return false
}
