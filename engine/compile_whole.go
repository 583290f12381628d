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
		for _, name := range b.BetterAfter {
			cp.known(b.Pos, "better after", b.Name, name, "it is better after")
		}
		for i := range b.NeverWith {
			cp.known(b.NeverWith[i].Pos, "never with", b.Name, b.NeverWith[i].Other, "it is never with")
		}
		for i := range b.Pairs {
			cp.known(b.Pairs[i].Pos, "pairs with", b.Name, b.Pairs[i].Other, "it is a pair with")
		}
		cp.caps(b.Name, "", b.Caps)
		for _, s := range b.Steps {
			if s != nil {
				cp.caps(b.Name, s.Name, s.Caps)
				cp.levels(b, s)
			}
		}
	}
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
