package example

import (
	"cmp"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Side is one side of a criterion, or of one that is joined in it, that no example showed. What is written once counts
// once: in a ladder's line for all behaviours that climb it, inside a named criterion for all rules that use it.
type Side struct {
	Behaviour string `json:"behaviour"` // of the first such rule that fired
	Step      string `json:"step"`
	Rule      string `json:"rule"`
	Criterion string `json:"criterion,omitempty"` // the named criterion inside which the part is written; "" for the rule itself
	Part      string `json:"part"`                // the criterion, spelled out
	Never     string `json:"never"`               // held, or failed
	File      string `json:"file,omitempty"`      // where the part is written: in the rule, or in the named criterion
	Line      int    `json:"line"`

	spots []spot // every rule that has it, in the order of the curriculum
}

// The sides of a criterion.
const (
	Held   = "held"
	Failed = "failed"
)

// spot is a part of a rule's criterion, by its number in Program.Parts.
type spot struct {
	at engine.RuleAt
	of int
}

// sides is what was seen of one criterion.
type sides struct{ held, failed bool }

func (s sides) and(o sides) sides { return sides{s.held || o.held, s.failed || o.failed} }

func (s sides) shown(side string) bool {
	if side == Held {
		return s.held
	}
	return s.failed
}

// at is the side in one of the rules that have it, as a goal.
func (s *Side) at(of spot) goal { return goal{at: of.at, side: s.Never, part: of.of} }

// written is how a part of a rule's criterion is written.
type written struct {
	text string               // spelled out
	name string               // the innermost named criterion that it is inside of
	nth  int                  // its number there, or in the rule
	is   curriculum.Criterion // with what is asked around it
}

// partsOf are the parts of a criterion, one for each of Program.Parts.
func partsOf(when curriculum.Criterion) (out []written) {
	count := map[string]int{}
	var walk func(c curriculum.Criterion, inside, name string, session bool)
	walk = func(c curriculum.Criterion, inside, name string, session bool) {
		switch c := c.(type) {
		case curriculum.Named: // where it stands it is a part of what is around it; what it joins is inside of it
			walk(c.Is, inside, c.Name, session)
			return
		case curriculum.InSession:
			walk(c.Is, inside, name, true)
			return
		}
		w := written{text: curriculum.CriterionText(c), name: inside, nth: count[inside], is: c}
		if session {
			w.is = curriculum.InSession{Is: c}
		}
		count[inside]++
		out = append(out, w)
		var kids []curriculum.Criterion
		switch c := c.(type) {
		case curriculum.Not:
			kids = []curriculum.Criterion{c.Is}
		case curriculum.And:
			kids = c.All
		case curriculum.Or:
			kids = c.Any
		}
		for _, k := range kids {
			walk(k, cmp.Or(name, inside), "", session)
		}
	}
	walk(when, "", "", false)
	return out
}

// sideKey tells sides apart: parts that are written in one place are one.
type sideKey struct {
	line lineOf // of the rule, or of the named criterion
	name string
	text string // of a part inside a name
	nth  int
}

func (r *ruled) sideKey(of int) sideKey {
	w := &r.written[of]
	if w.name == "" {
		return sideKey{line: r.line, nth: w.nth}
	}
	return sideKey{line: lineOf{pos: r.names[w.name]}, name: w.name, text: w.text, nth: w.nth}
}

// unshown are the sides that no rule showed, of parts that stand in a rule that fired. What provably no history can show
// is listed apart.
func unshown(all []ruled) (missing, impossible []Side) {
	missing, impossible = []Side{}, []Side{}
	type stands struct {
		r  *ruled
		of int
	}
	seen := map[sideKey]sides{}
	where := map[sideKey][]stands{}
	for i := range all {
		r := &all[i]
		for of := range r.written {
			k := r.sideKey(of)
			if r.parts != nil {
				seen[k] = seen[k].and(r.parts[of])
			}
			where[k] = append(where[k], stands{r, of})
		}
	}
	for i := range all {
		r := &all[i]
		if !r.fired {
			continue
		}
		for of := range r.written {
			k := r.sideKey(of)
			for _, side := range []string{Held, Failed} {
				if seen[k].shown(side) {
					continue
				}
				s := r.side(of, side)
				possible := false
				for _, w := range where[k] {
					s.spots = append(s.spots, spot{w.r.unfired.at, w.of})
					possible = possible || !w.r.prover.never(w.r.unfired.at, w.r.written[w.of].is, side)
				}
				if possible {
					missing = append(missing, s)
				} else {
					impossible = append(impossible, s)
				}
			}
			seen[k] = sides{true, true} // listed once
		}
	}
	return missing, impossible
}

func (r *ruled) side(of int, side string) Side {
	u, w := &r.unfired, &r.written[of]
	s := Side{Behaviour: u.Behaviour, Step: u.Step, Rule: u.Rule, Criterion: w.name, Part: w.text, Never: side, File: u.File, Line: u.Line}
	if w.name != "" {
		s.File, s.Line = r.names[w.name].File, r.names[w.name].Line
	}
	return s
}

// namedAt is where the named criteria of a curriculum stand.
func namedAt(c *curriculum.Curriculum) map[string]curriculum.Pos {
	out := map[string]curriculum.Pos{}
	for i := range c.Criteria {
		out[c.Criteria[i].Name] = c.Criteria[i].Pos
	}
	return out
}

// asksForPlaces reports whether a criterion counts places or handlers.
func asksForPlaces(c curriculum.Criterion) bool {
	return curriculum.AnyPart(c, func(p curriculum.Criterion) bool {
		r, ok := p.(curriculum.Repeated)
		return ok && (r.Over == curriculum.Places || r.Over == curriculum.Handlers)
	})
}

// closes reports whether a criterion waits for the close of a session.
func closes(c curriculum.Criterion) bool {
	return curriculum.AnyPart(c, func(p curriculum.Criterion) bool { _, share := p.(curriculum.SessionShare); return share })
}

var moving = []curriculum.RuleWord{curriculum.Advance, curriculum.Ease, curriculum.Split}

func moves(w curriculum.RuleWord) bool { return slices.Contains(moving, w) }
