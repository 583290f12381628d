package proof

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// What is asked of the dog in several places: by the needs of one behaviour, by a rule beside them, and by behaviours that
// have to come before. Each may be met by some dog, and all of it by none.

// maxKinds bounds the dogs and ages that are tried; conditions that tell more apart are not somebody's house rules.
const maxKinds = 200_000

// lives works out how young each kind of dog can stand at each step.
type lives struct {
	s     *subject
	herd  *herd
	known map[*curriculum.Expression]asks
	ages  map[stand]int
}

// stand is a dog at a step of a behaviour; the number of its steps stands for kept.
type stand struct {
	dog  int // of the herd
	b    *curriculum.Behaviour
	step int
}

// joinedDogs reports needs and rules that no dog meets beside what else is asked of it.
func (s *subject) joinedDogs() {
	l := s.lives()
	if l == nil {
		return
	}
	for _, b := range s.c.Behaviours {
		l.door(b)
	}
	l.rules()
}

// lives is nil where nothing is asked of dogs, or more than can be told apart.
func (s *subject) lives() *lives {
	l := &lives{s: s, known: map[*curriculum.Expression]asks{}, ages: map[stand]int{}}
	var all []*expression.Program
	add := func(e *curriculum.Expression) {
		if p, ok := s.dogOnly(e); ok {
			l.known[e] = p.Holds
			all = append(all, p)
		}
	}
	for _, p := range s.places() {
		for i := range p.step.Rules {
			for _, e := range expressionsOf(p.step.Rules[i].When) {
				add(e)
			}
		}
	}
	for _, b := range s.c.Behaviours {
		for _, n := range b.Needs {
			add(n.Dog)
		}
	}
	if len(all) == 0 {
		return nil
	}
	if l.herd = newHerd(all...); len(l.herd.dogs)*len(l.herd.dogs[0].ages)*len(l.herd.weights) > maxKinds {
		return nil
	}
	return l
}

// needs are what a behaviour asks of a dog that begins it, or of one that has: only what it needs firmly.
func (l *lives) needs(b *curriculum.Behaviour, begun bool) (out []asks) {
	for _, n := range b.Needs {
		if n.Dog != nil && l.known[n.Dog] != nil && (n.Firmly || !begun) {
			out = append(out, l.known[n.Dog])
		}
	}
	return out
}

// age is how young, in days, a dog can be at a step: never, where none gets there.
func (l *lives) age(at stand) int {
	if age, ok := l.ages[at]; ok {
		return age
	}
	l.ages[at] = 0 // a circle of needs is another finding
	out := never
	if at.step == 0 {
		from := 0
		for _, e := range l.s.edges(at.b) {
			from = max(from, l.age(stand{at.dog, e.to, reachedBy(e)}))
		}
		out = l.herd.first(&l.herd.dogs[at.dog], from, l.needs(at.b, false)...)
	} else {
		before := stand{at.dog, at.b, at.step - 1}
		for _, r := range (place{at.b, at.b.Steps[at.step-1], at.step - 1}).rules(curriculum.Advance) {
			out = min(out, l.passes(before, r))
		}
		if at.step < len(at.b.Steps) && (place{at.b, at.b.Steps[at.step], at.step}).has(curriculum.Skip) {
			out = min(out, l.age(stand{at.dog, at.b, 0}))
		}
	}
	l.ages[at] = out
	return out
}

// reachedBy is the step at which a need is met; the number of steps where the behaviour must be kept.
func reachedBy(e edge) int {
	if i := e.to.Step(e.need.Step); e.need.Step != "" && i >= 0 {
		return i
	}
	return len(e.to.Steps)
}

// passes is how young a dog can be when a rule of a step holds of it.
func (l *lives) passes(at stand, r *curriculum.Rule) int {
	from := l.age(at)
	d, needs := &l.herd.dogs[at.dog], l.needs(at.b, true)
	for _, c := range joined(r.When) { // what is asked of the trials counted, the dog met when they were
		for _, e := range counted(c) {
			from = max(from, l.herd.first(d, from, append(needs, l.known[e])...))
		}
	}
	return l.herd.first(d, from, append(needs, l.now(r.When))...)
}

// counted are the conditions on each of the trials that a criterion counts, of which it takes one at least.
func counted(c curriculum.Criterion) []*curriculum.Expression {
	switch c := c.(type) {
	case curriculum.Named:
		return counted(c.Is)
	case curriculum.Window:
		if !c.AtMost {
			return expressionsOf(c)
		}
	case curriculum.InSession:
		return counted(c.Is)
	case curriculum.Repeated:
		return counted(c.Is)
	case curriculum.InSessionCount:
		return expressionsOf(c)
	}
	return nil
}

// now is what a criterion asks of the dog at the moment at which it holds; nil where that is nothing, or not known.
func (l *lives) now(c curriculum.Criterion) asks {
	switch c := c.(type) {
	case curriculum.Named:
		return l.now(c.Is)
	case curriculum.Holds:
		return l.known[c.Expr]
	case curriculum.Not:
		if h, ok := c.Is.(curriculum.Holds); ok && l.known[h.Expr] != nil {
			return func(f *expression.Facts) bool { return !l.known[h.Expr](f) }
		}
	case curriculum.And:
		return func(f *expression.Facts) bool {
			return !slices.ContainsFunc(c.All, func(x curriculum.Criterion) bool { a := l.now(x); return a != nil && !a(f) })
		}
	case curriculum.Or:
		return func(f *expression.Facts) bool {
			return slices.ContainsFunc(c.Any, func(x curriculum.Criterion) bool { a := l.now(x); return a == nil || a(f) })
		}
	}
	return nil
}

// some reports whether some dog gets to a step, or past a rule of it.
func (l *lives) some(b *curriculum.Behaviour, step int, r *curriculum.Rule) bool {
	for i := range l.herd.dogs {
		at := stand{i, b, step}
		if age := l.age(at); age != never && (r == nil || l.passes(at, r) != never) {
			return true
		}
	}
	return false
}

// asked is one thing that is asked of the dog somewhere.
type asked struct {
	of    *curriculum.Expression
	at    curriculum.Pos
	where string // who asks for it, where that is somebody else
	then  bool   // it is asked at the same time, not before
}

// asksOf are the conditions that a criterion joins with `and`.
func (l *lives) asksOf(r *curriculum.Rule) (out []asked) {
	for _, c := range joined(r.When) {
		if h, ok := c.(curriculum.Holds); ok && l.known[h.Expr] != nil {
			out = append(out, asked{of: h.Expr, at: r.Pos, then: true})
		}
		for _, e := range counted(c) {
			if l.known[e] != nil {
				out = append(out, asked{of: e, at: r.Pos})
			}
		}
	}
	return out
}

// before are the conditions that a dog has met when it begins a behaviour, or comes to a step of it: those of the behaviour
// first.
func (l *lives) before(b *curriculum.Behaviour, step int) []asked {
	var out []asked
	seen := map[stand]bool{}
	var visit func(*curriculum.Behaviour, int)
	visit = func(x *curriculum.Behaviour, upTo int) {
		if seen[stand{0, x, upTo}] {
			return
		}
		seen[stand{0, x, upTo}] = true
		for _, n := range x.Needs {
			if l.known[n.Dog] != nil {
				out = append(out, asked{n.Dog, n.Pos, x.Name, x == b && n.Firmly})
			}
		}
		for i := range upTo {
			rules := (place{x, x.Steps[i], i}).rules(curriculum.Advance)
			if len(rules) != 1 {
				continue // there may be another way on
			}
			for _, a := range l.asksOf(rules[0]) {
				out = append(out, asked{a.of, a.at, x.Name + " at " + x.Steps[i].Name, false})
			}
		}
		for _, e := range l.s.edges(x) {
			visit(e.to, reachedBy(e))
		}
	}
	visit(b, step)
	return out
}

// clash is the first condition that no dog has met which meets another one, then or before.
func (l *lives) clash(own []asked, others []asked) (a, b asked, ok bool) {
	for _, a := range own {
		for _, b := range others {
			holds, before := []asks{l.known[a.of]}, []asks{l.known[b.of]}
			if b.then {
				holds, before = append(holds, before...), nil
			}
			if inOrder := a.then || !b.then; inOrder && a.of != b.of && !l.herd.any(before, holds) {
				return a, b, true
			}
		}
	}
	return a, b, false
}

// clashText says of two conditions that no dog meets both.
func clashText(a, b asked) string {
	switch {
	case !b.then && b.where == "":
		return fmt.Sprintf("no dog meets %s that has met %s before", dogText(a.of), dogText(b.of))
	case !b.then:
		return fmt.Sprintf("no dog meets %s that has met %s before, as %s asks for", dogText(a.of), dogText(b.of), b.where)
	case b.where != "":
		return fmt.Sprintf("no dog meets %s and %s, as %s asks for", dogText(a.of), dogText(b.of), b.where)
	}
	return fmt.Sprintf("no dog meets both %s and %s", dogText(a.of), dogText(b.of))
}

const turnOne = "turn one of the comparisons round, or take one of the two conditions out"

// door reports a behaviour that no dog can begin for what is asked of it and before it.
func (l *lives) door(b *curriculum.Behaviour) {
	var own []asked
	for _, n := range b.Needs {
		if l.known[n.Dog] == nil {
			continue
		}
		if !l.herd.any(nil, []asks{l.known[n.Dog]}) {
			return // said of it alone
		}
		own = append(own, asked{n.Dog, n.Pos, "", true})
	}
	if l.some(b, 0, nil) || slices.ContainsFunc(l.s.edges(b), func(e edge) bool { return !l.some(e.to, reachedBy(e), nil) }) {
		return // or said of the one that it waits for
	}
	f := Finding{Code: codeDeadDoor, Pos: b.Pos, Behaviour: b.Name, Answer: Disproved, Help: turnOne}
	f.Text = fmt.Sprintf("no dog meets all that %s asks of it and of what comes before, so it never begins", b.Name)
	slices.Reverse(own) // the later one is reported, with the one before it
	a, o, ok := l.clash(own, own)
	if !ok {
		a, o, ok = l.clash(own, l.before(b, 0))
	}
	if ok {
		f.Pos, f.Text = a.at, clashText(a, o)+", so "+b.Name+" never begins"
		f.Related = []Related{{o.at, "it is asked here"}}
	}
	l.s.report(f)
}

// rules reports rules that no dog meets which stands at their step. What a ladder says for the dogs of one behaviour need
// not hold of those of another that climbs it too.
func (l *lives) rules() {
	dead := map[*curriculum.Rule]bool{}
	l.s.dead = dead
	alive := map[curriculum.Pos]bool{}
	for _, p := range l.s.places() {
		for i := range p.step.Rules {
			r := &p.step.Rules[i]
			switch {
			case r.Word == curriculum.Skip || !l.some(p.b, p.i, nil) || l.some(p.b, p.i, r):
				alive[r.Pos] = true
			case !slices.ContainsFunc(l.asksOf(r), func(a asked) bool { return !l.herd.any(nil, []asks{l.known[a.of]}) }):
				dead[r] = true // else it is said of the condition alone
			}
		}
	}
	for _, p := range l.s.places() {
		advances := p.rules(curriculum.Advance)
		stuck := !slices.ContainsFunc(advances, func(r *curriculum.Rule) bool { return !dead[r] && !l.s.neverHolds(p, r) })
		for i := range p.step.Rules {
			if r := &p.step.Rules[i]; dead[r] && (!alive[r.Pos] || r.Pos.Line == 0 || stuck && r.Word == curriculum.Advance) {
				l.rule(p, r, stuck)
			}
		}
	}
}

func (l *lives) rule(p place, r *curriculum.Rule, stuck bool) {
	own := l.asksOf(r)
	f := p.finding(codeNever, r.Pos, "%s can never hold: no dog that stands here meets what it asks for", ruleText(r))
	f.Answer, f.Help = Disproved, turnOne
	a, o, ok := l.clash(own, own)
	if !ok {
		a, o, ok = l.clash(own, l.before(p.b, p.i))
	}
	if ok {
		f.Text = fmt.Sprintf("%s can never hold: %s", ruleText(r), clashText(a, o))
		if o.at != r.Pos {
			f.Related = []Related{{o.at, "it is asked here"}}
		}
	}
	tail := ""
	if stuck && r.Word == curriculum.Advance && !p.skipped() {
		tail = l.s.never(p)
	}
	l.s.reportFollowed(f, tail)
}
