package engine

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// sameness tells what two standings of one meaning have in common, however each spells it.
type sameness struct {
	reasons map[string]bool // every reason that the rules as they are spelled now can give
}

// oneReason reports whether two reasons may be one. A reason in no rule's present spelling was written before the text
// was respelled; the meaning is the same, so no difference can be read from it.
func (s *sameness) oneReason(a, b string) bool {
	return a == b || !s.reasons[a] || !s.reasons[b]
}

// same reports whether two moves are one and made for one reason.
func (s *sameness) same(m, o *Move) bool {
	if m.id() != o.id() || m.shape() != o.shape() || m.By != o.By || !slices.Equal(m.Trials, o.Trials) {
		return false
	}
	if m.Rule == ruleHand {
		return m.Because == o.Because
	}
	return s.oneReason(m.Because, o.Because)
}

// reasons are all that the program's rules can give as the reason of a move or note.
func (p *Program) reasons() map[string]bool {
	out := map[string]bool{}
	for _, r := range p.rules {
		for part := -1; part < len(r.when.kids); part++ {
			because := r.because(part)
			out[because], out[because+noRoom] = true, true
		}
	}
	for _, a := range p.away {
		out[awayText(a)] = true
	}
	return out
}

// present is a standing with behaviours and steps under their present names.
func (p *Program) present(s *Standing) *Standing {
	out := *s
	out.Dogs = slices.Clone(s.Dogs)
	for i := range out.Dogs {
		d := &out.Dogs[i]
		d.Behaviours = slices.Clone(d.Behaviours)
		for j := range d.Behaviours {
			p.presentNames(&d.Behaviours[j])
		}
	}
	return &out
}

func (p *Program) presentNames(s *BehaviourStanding) {
	bi, ok := p.names[s.Behaviour]
	if !ok {
		return
	}
	b := p.behaviours[bi]
	s.Behaviour, s.Step = b.src.Name, b.presentStep(s.Step)
	s.Moves = slices.Clone(s.Moves)
	for i := range s.Moves {
		m := &s.Moves[i]
		m.From.Step, m.To.Step = b.presentStep(m.From.Step), b.presentStep(m.To.Step)
	}
}

func (b *behaviour) presentStep(name string) string {
	if i, ok := b.steps[name]; ok {
		return b.stages[i].step.Name
	}
	return name
}

// levelKey is a level for comparing: quantities by what they are, not by how they are spelled.
func levelKey(level map[string]string) string {
	var parts []string
	for _, of := range sortedKeys(level) {
		text := level[of]
		if v, ok := curriculum.ParseLevelValue(of, text); ok && !v.Quantity.IsZero() {
			text = v.Quantity.Base().RatString() + " " + string(v.Quantity.Unit.Dimension())
		}
		parts = append(parts, of+" "+text)
	}
	return strings.Join(parts, ", ")
}
