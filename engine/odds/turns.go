package odds

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// defaultSession is how many trials of a behaviour a session has where nothing bounds it.
const defaultSession = 10

// sessionsFor settles what the question leaves open: trials of a session from the narrowest bound that the curriculum
// puts on a behaviour, and the places and handlers that the rules ask for, taking turns.
func sessionsFor(c *curriculum.Curriculum, b *curriculum.Behaviour, s *curriculum.Step, rules []curriculum.Rule, q *Question) Sessions {
	out := q.Sessions
	if out.Trials == 0 {
		out.Trials = boundOf(c, b, s)
	}
	asks := asked{q: q, c: c}
	for i := range rules {
		asks.of(rules[i].When)
	}
	if out.Places == nil && (asks.places > 0 || len(asks.atPlaces) > 0) {
		out.Places = turns("place", asks.places, asks.atPlaces, s.Places, c.Places)
	}
	if out.Handlers == nil && (asks.handlers > 0 || len(asks.byHandlers) > 0) {
		out.Handlers = turns("handler", asks.handlers, asks.byHandlers, nil, c.Handlers)
	}
	return out
}

// turns is a list of names to go through: all of those the step lists; else those that the rules name, and as many
// declared ones as they ask for.
func turns(what string, many int, named, listed, declared []string) []string {
	if len(listed) > 0 {
		return listed
	}
	out := slices.Clone(named)
	for _, d := range declared {
		if len(out) < many && !slices.Contains(out, d) {
			out = append(out, d)
		}
	}
	for len(out) < many {
		out = append(out, fmt.Sprintf("%s-%d", what, len(out)+1))
	}
	return out
}

// boundOf is the narrowest bound on the trials of a behaviour in a session, or defaultSession.
func boundOf(c *curriculum.Curriculum, b *curriculum.Behaviour, s *curriculum.Step) int {
	n := 0
	bound := func(v int) {
		if v > 0 && (n == 0 || v < n) {
			n = v
		}
	}
	if len(c.Sessions) > 0 && c.Sessions[0].Name == "" {
		bound(c.Sessions[0].MaxPerBehaviour)
		bound(c.Sessions[0].MaxTrials)
		for _, k := range c.Sessions[0].Impact {
			if b != nil && slices.Contains(b.Kinds, curriculum.Impact) {
				bound(k.N)
			}
		}
	}
	var caps []curriculum.Cap
	if b != nil {
		caps = append(caps, b.Caps...)
	}
	for _, cap := range append(caps, s.Caps...) {
		if cap.Of == curriculum.CapTrials && cap.Per == curriculum.PerSession {
			bound(cap.N)
		}
	}
	if n == 0 {
		return defaultSession
	}
	return n
}

// asked is which places and handlers criteria ask for.
type asked struct {
	q                    *Question
	c                    *curriculum.Curriculum
	places, handlers     int // different ones
	atPlaces, byHandlers []string
	shares               bool // whole-session shares stand among them
	counts               bool // and what counts from before the level was entered
}

func (a *asked) of(c curriculum.Criterion) {
	for p := range curriculum.Parts(c) {
		switch p := p.(type) {
		case curriculum.Window:
			a.qualifiers(p.Qualify)
		case curriculum.InSessionCount:
			a.expression(p.Where)
		case curriculum.SessionShare:
			a.shares = true
			a.qualifiers(p.Qualify)
		case curriculum.Eased:
			a.counts = true
		case curriculum.After:
			a.counts = a.counts || p.AtStep
		case curriculum.Repeated:
			switch p.Over {
			case curriculum.Places:
				a.places = max(a.places, p.N)
			case curriculum.Handlers:
				a.handlers = max(a.handlers, p.N)
			}
		case curriculum.Holds:
			a.expression(p.Expr)
		}
	}
}

func (a *asked) qualifiers(q curriculum.Qualifiers) {
	a.expression(q.Where)
	a.expression(q.Among)
}

func (a *asked) expression(e *curriculum.Expression) {
	if e == nil {
		return
	}
	prog, err := expression.Compile(e.Text, expression.Env{Measures: a.c.Measures, Functions: a.q.Functions})
	if err != nil {
		return // the machine says what is wrong with it
	}
	for _, l := range prog.Literals() {
		switch {
		case l.Fact == "place" && !slices.Contains(a.atPlaces, l.Value):
			a.atPlaces = append(a.atPlaces, l.Value)
		case l.Fact == "handler" && !slices.Contains(a.byHandlers, l.Value):
			a.byHandlers = append(a.byHandlers, l.Value)
		}
	}
}
