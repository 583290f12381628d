package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// expressionsOf lists the conditions in braces of a criterion.
func expressionsOf(c curriculum.Criterion) []*curriculum.Expression {
	var out []*curriculum.Expression
	add := func(es ...*curriculum.Expression) {
		for _, e := range es {
			if e != nil {
				out = append(out, e)
			}
		}
	}
	for p := range curriculum.Parts(c) {
		switch p := p.(type) {
		case curriculum.Window:
			add(p.Qualify.Where, p.Qualify.Among)
		case curriculum.SessionShare:
			add(p.Qualify.Where, p.Qualify.Among)
		case curriculum.InSessionCount:
			add(p.Where)
		case curriculum.Holds:
			add(p.Expr)
		}
	}
	return out
}

// reads lists the facts that a criterion's conditions read: place, latency, dog.age_months and so on. A condition that
// calls a function of the host program, which this package does not know, reads nothing here.
func (s *subject) reads(c curriculum.Criterion) []string {
	var out []string
	for _, e := range expressionsOf(c) {
		out = append(out, s.readsOf(e)...)
	}
	return out
}

func (s *subject) readsOf(e *curriculum.Expression) []string {
	if e == nil {
		return nil
	}
	for _, scope := range []expression.Scope{expression.TrialAndDog, expression.DogOnly} {
		if p, err := expression.Compile(e.Text, expression.Env{Measures: s.c.Measures, Functions: s.options.Functions, Scope: scope}); err == nil {
			return p.Reads()
		}
	}
	return nil
}

// measuresOf lists the measures that a criterion asks for, each once, in its own order.
func (s *subject) measuresOf(c curriculum.Criterion) []string {
	var out []string
	add := func(m string) {
		if !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	for p := range curriculum.Parts(c) {
		var q curriculum.Qualifiers
		switch p := p.(type) {
		case curriculum.Window:
			q = p.Qualify
		case curriculum.SessionShare:
			q = p.Qualify
		case curriculum.Statistic:
			add(p.Measure)
		}
		if q.Within != nil {
			add("latency")
		}
		if q.Holding != nil {
			add("duration")
		}
	}
	for _, fact := range s.reads(c) {
		for _, m := range s.measureNames() {
			if expression.FactName(m) == fact {
				add(m)
			}
		}
	}
	return out
}

// measureNames are the measures that a trial can carry.
func (s *subject) measureNames() []string {
	out := []string{"latency", "duration", "distance"}
	for _, m := range s.c.Measures {
		out = append(out, m.Name)
	}
	return out
}

// place is a step of a behaviour.
type place struct {
	b    *curriculum.Behaviour
	step *curriculum.Step
	i    int
}

func (p place) String() string { return p.b.Name + " at " + p.step.Name }

// finding begins a finding about the step.
func (p place) finding(code string, at curriculum.Pos, format string, args ...any) Finding {
	return Finding{Code: code, Pos: at, Behaviour: p.b.Name, Step: p.step.Name, Text: fmt.Sprintf(format, args...)}
}

// last reports whether it is the behaviour's last step.
func (p place) last() bool { return p.i == len(p.b.Steps)-1 }

// places lists every step of every behaviour, in the order of the text.
func (s *subject) places() []place {
	var out []place
	for _, b := range s.c.Behaviours {
		for i, st := range b.Steps {
			out = append(out, place{b, st, i})
		}
	}
	return out
}

// rules are the step's rules of one word.
func (p place) rules(word curriculum.RuleWord) []*curriculum.Rule {
	var out []*curriculum.Rule
	for i := range p.step.Rules {
		if p.step.Rules[i].Word == word {
			out = append(out, &p.step.Rules[i])
		}
	}
	return out
}

func (p place) has(word curriculum.RuleWord) bool { return len(p.rules(word)) > 0 }

// is reports whether the behaviour counts as that kind of work.
func is(b *curriculum.Behaviour, k curriculum.Kind) bool { return slices.Contains(b.Kinds, k) }

// whole reports whether the curriculum is a whole one, so that what is not in it is missing: it has a name. A text
// without one is part of another, or an exercise.
func (s *subject) whole() bool { return s.c.Name != "" }

// plural is a number with its noun.
func plural(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case strings.HasSuffix(noun, "s"):
		noun += "e"
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
