package engine

import (
	"slices"
	"strings"
	"unicode"

	"example.com/rung/curriculum"
)

// names gathers what a history may name. Present names win over former ones.
func (cp *compiler) names() {
	p, c := cp.p, cp.c
	set := func(lists ...[]string) map[string]bool {
		m := map[string]bool{}
		for _, l := range lists {
			for _, s := range l {
				m[s] = true
			}
		}
		return m
	}
	p.places, p.handlers = set(c.Places), set(c.Handlers)
	p.help = map[string]bool{curriculum.UnnamedHelp: true}
	p.measures = map[string]curriculum.Unit{"latency": curriculum.Second, "duration": curriculum.Second, "distance": curriculum.Metre}
	for _, m := range c.Measures {
		p.measures[m.Name] = m.Unit
	}
	p.signs = map[string]*curriculum.Sign{}
	for i := range c.Signs {
		p.signs[c.Signs[i].Name] = &c.Signs[i]
	}
	cp.declared()
	seen := map[string]bool{}
	for i, b := range c.Behaviours {
		if b == nil {
			continue
		}
		if seen[b.Name] || b.Name == "" {
			cp.refuse(b.Pos, CodeBroken, "behaviour", b.Name, "", "the behaviour is named twice or not at all").fix("give every behaviour a name of its own")
		}
		seen[b.Name] = true
		cp.steps(b)
		p.names[b.Name] = i
		for _, s := range b.Steps {
			if s != nil {
				for _, w := range slices.Concat(s.Prompts, s.Help) {
					p.help[w] = true
				}
			}
		}
	}
	for i, b := range c.Behaviours {
		if b == nil {
			continue
		}
		for _, former := range b.Formerly {
			if _, taken := p.names[former]; !taken {
				p.names[former] = i
			}
		}
	}
}

// spelt refuses a name that no line of a log, an answer or a sheet can carry: with a line break, a tab or another control
// character in it.
func (cp *compiler) spelt(pos curriculum.Pos, what, name string) {
	if strings.ContainsFunc(name, func(r rune) bool { return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' }) {
		cp.refuse(pos, CodeBroken, what, "", "", "the name of a %s, %q, has a line break or another control character in it", what, name).fix("write the name in letters, digits and hyphens")
	}
}

// steps looks at how a behaviour and its steps are called.
func (cp *compiler) steps(b *curriculum.Behaviour) {
	cp.spelt(b.Pos, "behaviour", b.Name)
	for _, s := range b.Steps {
		if s == nil {
			continue
		}
		cp.spelt(s.Pos, "step", s.Name)
		for i := range s.Ramps {
			cp.spelt(s.Ramps[i].Pos, "ramp", s.Ramps[i].Of)
		}
	}
}

// declared looks at how everything else that a log may name is called.
func (cp *compiler) declared() {
	c := cp.c
	for _, x := range c.Places {
		cp.spelt(c.Pos, "place", x)
	}
	for _, x := range c.Handlers {
		cp.spelt(c.Pos, "handler", x)
	}
	for _, x := range c.Measures {
		cp.spelt(x.Pos, "measure", x.Name)
	}
	for _, x := range c.Signs {
		cp.spelt(x.Pos, "sign", x.Name)
	}
	for _, x := range c.Equipment {
		cp.spelt(x.Pos, "piece of equipment", x.Name)
	}
}
