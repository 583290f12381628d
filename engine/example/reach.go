package example

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// reach is what an example is about: it would go the same way if the curriculum had nothing else.
type reach struct {
	whole      bool  // all of it: a plan looks at everything, and a sign may lock anything
	behaviours []int // otherwise, in order
}

// looker is an example that looks at some rule, with its number.
type looker struct {
	script
	reach
	key string // equal for equal reaches
	nth int
}

// whoLooks says for each rule which examples, of those that pass, look at it.
func whoLooks(p *engine.Program, opts Options) map[engine.RuleAt][]*looker {
	out := map[engine.RuleAt][]*looker{}
	for i, s := range casesOf(p.Curriculum(), opts.Only) {
		run := play(p, s, opts.Dogs, newCoverage(p))
		if !run.Passed {
			continue
		}
		l := &looker{script: s, reach: reachOf(p.Curriculum(), s), nth: i}
		l.key = fmt.Sprint(l.reach)
		for at := range run.looked {
			out[at] = append(out[at], l)
		}
	}
	return out
}

// reachOf is the reach of an example: the behaviours that it names.
func reachOf(c *curriculum.Curriculum, s script) (out reach) {
	names := map[string]bool{}
	for i := range s.items {
		switch item := &s.items[i]; {
		case item.Sign != nil, item.Clear != nil, item.Expect != nil && item.Expect.Plan:
			return reach{whole: true}
		case item.Start != nil:
			names[item.Start.Behaviour] = true
		case item.Trials != nil:
			names[item.Trials.Behaviour] = true
		case item.Expect != nil:
			names[item.Expect.Behaviour] = true
		}
	}
	for i, b := range c.Behaviours {
		if slices.ContainsFunc(append([]string{b.Name}, b.Formerly...), func(n string) bool { return names[n] && c.Behaviour(n) == b }) {
			out.behaviours = append(out.behaviours, i)
		}
	}
	return out
}

// applyWithin is the curriculum with the change made and some of its behaviours alone. What these need is there too, but
// nothing has ever happened to it, so that it needs nothing itself: it is not begun, and opens no door.
func (ch *change) applyWithin(c *curriculum.Curriculum, within []int) *curriculum.Curriculum {
	out := *c
	out.Behaviours, out.Examples, out.Signs = nil, nil, nil
	needed := map[*curriculum.Behaviour]bool{}
	for _, i := range within {
		for _, n := range c.Behaviours[i].Needs {
			needed[c.Behaviour(n.Other)] = true // of a need of the dog itself nil
		}
	}
	for i, b := range c.Behaviours {
		in := slices.Contains(within, i)
		if !in && !needed[b] {
			continue
		}
		nb := *b
		if in {
			nb = *ch.changed(i, b)
		} else {
			nb.Needs = nil
		}
		nb.NeverWith, nb.Pairs, nb.BetterAfter, nb.BetterPos = nil, nil, nil, nil // which only plans look at
		out.Behaviours = append(out.Behaviours, &nb)
	}
	return &out
}
