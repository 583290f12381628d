package example

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// goal is what an example is to show: that a rule fires, or one side of a part of its criterion.
type goal struct {
	at   engine.RuleAt
	side string // Held or Failed; "" for the rule
	part int    // of the criterion, as Program.Parts counts
}

// reached reports whether a run showed it.
func (g goal) reached(cov *coverage) bool {
	t := cov.seen[g.at]
	switch {
	case t == nil:
		return false
	case g.side == "":
		return t.fired
	}
	return t.parts != nil && t.parts[g.part].shown(g.side)
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
	if g.side != "" {
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

// asksForEases reports whether a criterion counts eases.
func asksForEases(c curriculum.Criterion) bool {
	return curriculum.AnyPart(c, func(p curriculum.Criterion) bool { _, eased := p.(curriculum.Eased); return eased })
}
