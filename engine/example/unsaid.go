package example

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// wordsInExpression finds what a condition asks for, outside of what it compares with.
var wordsInExpression = regexp.MustCompile(`"[^"]*"|'[^']*'|[A-Za-z_][A-Za-z_0-9.]*`)

// unsaid is what the rules where the behaviour stands ask for and none of its trials says: it meets no rule that asks.
func (d *diagnosis) unsaid() (out []string) {
	b := d.p.Curriculum().Behaviour(d.e.Behaviour)
	if b == nil || d.e.Plan {
		return nil
	}
	var mine []played
	for _, t := range d.end.played {
		if d.p.Curriculum().Behaviour(t.line.Behaviour) == b {
			mine = append(mine, t)
		}
	}
	last := &d.stood[len(d.stood)-1]
	step := b.Step(last.Step)
	if len(mine) == 0 || step < 0 {
		return nil
	}
	rules := b.Steps[step].Rules
	if last.State == curriculum.Kept {
		rules = b.Lapse
	}
	c := d.p.Curriculum()
	said := func(does func(played) bool) bool { return slices.ContainsFunc(mine, does) }
	for _, name := range asksFor(c, rules) {
		switch name {
		case "place":
			if !said(func(t played) bool { return t.place != "" }) {
				out = append(out, "no trial says where, which a rule there asks for: begin with a line such as session in "+declared(c.Places, "NAME"))
			}
		case "handler":
			if !said(func(t played) bool { return t.handler != "" }) {
				out = append(out, "no trial says with whom, which a rule there asks for: begin with a line such as session with "+declared(c.Handlers, "NAME"))
			}
		default:
			if !said(func(t played) bool { return measured(t.mark, name) }) {
				out = append(out, fmt.Sprintf("no trial says its %s, which a rule there asks for: write it behind the marks, such as +(%s %s)", name, name, unitOf(c, name)))
			}
		}
	}
	return out
}

// declared is the last of some names, which is seldom the easiest place or the trainer.
func declared(names []string, otherwise string) string {
	if len(names) == 0 {
		return otherwise
	}
	return names[len(names)-1]
}

func measured(m curriculum.Mark, name string) bool {
	return slices.ContainsFunc(m.Measures, func(v curriculum.MeasureValue) bool { return v.Name == name })
}

// unitOf is one unit of a measure.
func unitOf(c *curriculum.Curriculum, name string) string {
	for i := range c.Measures {
		if c.Measures[i].Name == name {
			return "1 " + string(c.Measures[i].Unit)
		}
	}
	if name == "distance" {
		return "1 m"
	}
	return "1 s"
}

// asksFor lists the measures that rules ask for, and place and handler, in the order of the text.
func asksFor(c *curriculum.Curriculum, rules []curriculum.Rule) (out []string) {
	add := func(name string) {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	words := func(e *curriculum.Expression) {
		if e == nil {
			return
		}
		for _, w := range wordsInExpression.FindAllString(e.Text, -1) {
			i := slices.IndexFunc(c.Measures, func(m curriculum.Measure) bool { return strings.ReplaceAll(m.Name, "-", "_") == w })
			if i >= 0 {
				add(c.Measures[i].Name)
			} else if slices.Contains([]string{"place", "handler", "latency", "duration", "distance"}, w) {
				add(w)
			}
		}
	}
	qualifiers := func(q curriculum.Qualifiers) {
		if q.Within != nil {
			add("latency")
		}
		if q.Holding != nil {
			add("duration")
		}
		words(q.Where)
		words(q.Among)
	}
	for i := range rules {
		for part := range curriculum.Parts(rules[i].When) {
			switch part := part.(type) {
			case curriculum.Window:
				qualifiers(part.Qualify)
			case curriculum.SessionShare:
				qualifiers(part.Qualify)
			case curriculum.InSessionCount:
				words(part.Where)
			case curriculum.Holds:
				words(part.Expr)
			case curriculum.Statistic:
				add(part.Measure)
			case curriculum.Repeated:
				if part.Over == curriculum.Places {
					add("place")
				}
				if part.Over == curriculum.Handlers {
					add("handler")
				}
			}
		}
	}
	return out
}
