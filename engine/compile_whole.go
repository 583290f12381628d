package engine

import (
	"fmt"

	"example.com/rung/curriculum"
)

// maxDepth is how deep a criterion may be nested; the reader of texts stops far sooner, and every walk is recursive.
const maxDepth = 1_000

// deep refuses criteria that are nested too deep to be walked through. It says whether there was one.
func (cp *compiler) deep() bool {
	found := false
	look := func(b *curriculum.Behaviour, step string, rules []curriculum.Rule) {
		for i := range rules {
			if !within(rules[i].When, maxDepth) {
				found = true
				cp.refuse(rules[i].Pos, CodeTooLong, "criterion", b.Name, step, "a criterion is nested more than %d deep", maxDepth).fix("write it with fewer not, and, or inside each other")
			}
		}
	}
	for _, b := range cp.c.Behaviours {
		if b == nil {
			continue
		}
		look(b, "", b.Lapse)
		for _, s := range b.Steps {
			if s != nil {
				look(b, s.Name, s.Rules)
			}
		}
	}
	return found
}

// within reports whether a criterion is nested no deeper than so many levels.
func within(c curriculum.Criterion, levels int) bool {
	if levels == 0 {
		return false
	}
	every := func(list []curriculum.Criterion) bool {
		for _, k := range list {
			if !within(k, levels-1) {
				return false
			}
		}
		return true
	}
	switch c := c.(type) {
	case curriculum.Not:
		return within(c.Is, levels-1)
	case curriculum.Named:
		return within(c.Is, levels-1)
	case curriculum.InSession:
		return within(c.Is, levels-1)
	case curriculum.Repeated:
		return within(c.Is, levels-1)
	case curriculum.And:
		return every(c.All)
	case curriculum.Or:
		return every(c.Any)
	}
	return true
}

// whole refuses what a program can write and a text cannot: names that lead nowhere and numbers that mean nothing, where
// neither doors nor rules look.
func (cp *compiler) whole() {
	for i := range cp.c.Signs {
		s := &cp.c.Signs[i]
		for _, name := range s.Only {
			cp.known(s.Pos, "sign", "", name, fmt.Sprintf("the sign %s locks", s.Name))
		}
	}
	for i, s := range cp.c.Sessions {
		if s == nil {
			cp.refuse(curriculum.Pos{}, CodeBroken, "session", "", "", "session %d is nil", i+1).fix("leave it out of the list of sessions")
			continue
		}
		cp.caps("", "", s.Impact)
		if min(s.MaxTrials, s.MaxNew, s.MaxInARow, s.MaxPerBehaviour, s.MaxBehaviours, s.LivelyUpTo) < 0 {
			cp.refuse(s.Pos, CodeBroken, "session", "", "", "a limit of the session is below nought").fix("write the limit as a number of 1 or more, or 0 for none")
		}
	}
	for _, b := range cp.c.Behaviours {
		if b == nil {
			continue
		}
		cp.others(b)
		cp.caps(b.Name, "", b.Caps)
		for _, s := range b.Steps {
			if s != nil {
				cp.caps(b.Name, s.Name, s.Caps)
				cp.levels(b, s)
			}
		}
	}
}

// others looks at what a behaviour says of others, but for its needs.
func (cp *compiler) others(b *curriculum.Behaviour) {
	for i, name := range b.BetterAfter {
		cp.another(b.BetterAt(i), "better after", b, name, "it is better after")
	}
	for _, n := range b.NeverWith {
		o := cp.another(n.Pos, "never with", b, n.Other, "it is never with")
		if o == nil {
			continue
		}
		for _, x := range []*curriculum.Behaviour{b, o} {
			if x.Step(n.Until) < 0 {
				cp.refuse(n.Pos, CodeBroken, "never with", b.Name, "", "it is never with %s until %q, which is no step of %s", n.Other, n.Until, x.Name).fix("name a step that both have, or give each a step of that name")
				break
			}
		}
	}
	for _, n := range b.Pairs {
		if cp.another(n.Pos, "pairs with", b, n.Other, "it is a pair with") != nil && n.Within < 0 {
			cp.refuse(n.Pos, CodeBroken, "pairs with", b.Name, "", "it is a pair with %s within %d steps, which is below nought", n.Other, n.Within).fix("write within 1 step or more")
		}
	}
}

// another is the behaviour of that name, which is to be another one; nil where it is refused.
func (cp *compiler) another(pos curriculum.Pos, feature string, b *curriculum.Behaviour, name, says string) *curriculum.Behaviour {
	if !cp.known(pos, feature, b.Name, name, says) {
		return nil
	}
	if o := cp.c.Behaviour(name); o != b {
		return o
	}
	cp.refuse(pos, CodeBroken, feature, b.Name, "", "%s itself", says).fix("name another behaviour, or leave it out")
	return nil
}

// known refuses the name of a behaviour that is not there.
func (cp *compiler) known(pos curriculum.Pos, feature, behaviour, name, says string) bool {
	if cp.c.Behaviour(name) != nil {
		return true
	}
	cp.refuse(pos, CodeBroken, feature, behaviour, "", "%s %q, which is no behaviour of the curriculum", says, name).fix("name a behaviour that is there, or leave it out")
	return false
}

func (cp *compiler) caps(behaviour, step string, caps []curriculum.Cap) {
	for _, c := range caps {
		if c.N < 1 {
			cp.refuse(c.Pos, CodeBroken, "at most", behaviour, step, "at most %d is less than one", c.N).fix("write at most 1 or more")
		}
	}
}

// levels refuses values of ramps that the step has not, and rewards that are no schedule.
func (cp *compiler) levels(b *curriculum.Behaviour, s *curriculum.Step) {
	pays := func(p *curriculum.Schedule) {
		if p == nil {
			return
		}
		if _, ok := curriculum.ParseSchedule(p.String()); !ok {
			cp.refuse(s.PaidAt, CodeBroken, "reward", b.Name, s.Name, "%q is no reward schedule", p.String()).fix("write its kind and its value, such as variable ratio 2")
		}
	}
	pays(s.Reward)
	ramps := map[string]bool{}
	for i := range s.Ramps {
		ramps[s.Ramps[i].Of] = true
		for j := range s.Ramps[i].Values {
			pays(s.Ramps[i].Values[j].Thin)
		}
	}
	for _, l := range s.Levels {
		for _, v := range l.Values {
			if !ramps[v.Of] {
				cp.refuse(s.Pos, CodeBroken, "level", b.Name, s.Name, "a level has a value of %q, and the step no such ramp", v.Of).fix("leave the levels out, and they are laid out from the ramps")
				return
			}
		}
	}
}
