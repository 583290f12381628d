package engine

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// trackShape is what tells two tracks apart, but for their scope.
type trackShape struct {
	fills, counts kinds
	invert, done  bool
	first         bool
	measure       string
	count         curriculum.Counted
	qualify       curriculum.Qualifiers
}

// counting is the shape of a track that counts one thing under some qualifiers.
func counting(c curriculum.Counted, q curriculum.Qualifiers) trackShape {
	s := trackShape{fills: evidence, count: c, qualify: q}
	switch c {
	case curriculum.Successes:
		s.counts = 1 << success
		if q.EvenHelped {
			s.counts |= 1 << helped
		}
	case curriculum.Misses:
		s.counts = misses
	case curriculum.WrongOnes:
		s.counts = 1 << wrong
	case curriculum.Silents:
		s.counts = 1 << silent
	case curriculum.HelpedOnes:
		s.counts = 1 << helped
	case curriculum.OptOuts:
		s.fills, s.counts = evidence|1<<optOut, 1<<optOut
	}
	return s
}

// track returns the track of that shape in the present scope, made longer where history or keep ask for it.
func (cs *criteria) track(s trackShape, history, keep int) *track {
	key := fmt.Sprintf("%s%d %d %v %v %d", cs.of, s.fills, s.counts, s.invert, s.first, cs.scope)
	q := s.qualify
	if s.measure != "" {
		key += " " + s.measure
	}
	tr := &track{measure: s.measure, fills: s.fills, counts: s.counts, invert: s.invert, first: s.first, scope: cs.scope, source: trackSource{s.count, s.qualify, s.done}}
	for _, lim := range []struct {
		q  *curriculum.Quantity
		to **float64
	}{{q.Within, &tr.within}, {q.Holding, &tr.hold}} {
		key += "|"
		if lim.q != nil {
			v := lim.q.In(curriculum.Second)
			*lim.to = &v
			key += lim.q.Base().RatString()
		}
	}
	for _, e := range []struct {
		e  *curriculum.Expression
		to **condition
	}{{q.Where, &tr.where}, {q.Among, &tr.among}} {
		key += "|"
		if e.e != nil {
			*e.to = cs.condition(e.e)
			key += strings.TrimSpace(e.e.Text)
		}
	}
	tr.key = key
	if known := cs.keys[key]; known != nil {
		tr = known
	} else {
		cs.keys[key] = tr
		cs.tracks = append(cs.tracks, tr)
	}
	tr.words = max(tr.words, (history+63)/64)
	tr.keep = max(tr.keep, keep)
	return tr
}

func (cs *criteria) condition(e *curriculum.Expression) *condition {
	if e == nil {
		cs.fault(CodeBroken, "{ }", "a condition without a text").fix("write the condition between the braces")
		return nil
	}
	text := strings.TrimSpace(e.Text)
	prog, err := expression.Compile(text, cs.c.env)
	if err != nil {
		cs.fault(CodeBroken, "{ "+text+" }", "{ %s }: %v", text, err).fix("mend what stands between the braces")
		return nil
	}
	cs.conditions = true
	return &condition{prog, text}
}
