package curriculum

import "strings"

// FullValue is the fact, in braces, that a trial asked for the full value of its level where values vary inside it.
const FullValue = "full_value"

// askFull is what every advance out of a level whose values vary needs beside its own criterion: otherwise a dog that
// only manages the short ones would pass.
func askFull() Window {
	return Window{K: 2, N: 3, Qualify: Qualifiers{Among: &Expression{Text: FullValue}}}
}

// atFullValue reports whether only trials at the full value fill the window, which has a spelling of its own.
func (q Qualifiers) atFullValue() bool {
	return q.Among != nil && strings.TrimSpace(q.Among.Text) == FullValue
}

// asksFullValue reports whether a criterion speaks of the full value.
func asksFullValue(c Criterion) bool {
	text := CriterionText(c)
	return strings.Contains(text, FullValue) || strings.Contains(text, "at full value")
}

// AskFullValue adds to the advance rules of a step with a ramp that varies that two of the last three trials at the full
// value, or beyond, succeed. A rule that speaks of the full value itself is left as it is. Package dsl calls it; whoever
// builds a curriculum in Go calls it for the same meaning.
func AskFullValue(s *Step) {
	if s == nil {
		return
	}
	varies := false
	for i := range s.Ramps {
		varies = varies || s.Ramps[i].Varies()
	}
	if !varies {
		return
	}
	for i := range s.Rules {
		r := &s.Rules[i]
		if r.Word != Advance || r.When == nil || asksFullValue(r.When) {
			continue
		}
		if and, ok := r.When.(And); ok {
			r.When = And{All: append(append([]Criterion(nil), and.All...), askFull())}
			continue
		}
		r.When = And{All: []Criterion{r.When, askFull()}}
	}
}
