package dsl

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// resolveTop resolves what stands at the top level, but for behaviours and what names them.
func (r *resolver) resolveTop() {
	r.out.Places = slices.Clone(r.names[aPlace].order)
	r.out.Handlers = slices.Clone(r.names[aHandler].order)
	r.out.PlacePos, r.out.HandlerPos = r.names[aPlace].positions(), r.names[aHandler].positions()
	for _, t := range r.tops {
		if s, ok := t.stmt.(*measureStmt); ok {
			r.declaredMeasure(t.c.at(s), s)
		}
	}
	r.env = r.environment()
	var titled *spot
	for _, t := range r.tops {
		c := t.c.at(t.stmt)
		switch s := t.stmt.(type) {
		case *curriculumStmt:
			at := c.spot(s.Title.Span)
			if titled != nil {
				r.fault(at, "curriculum-doubled").relate(*titled, "first-here")
				continue
			}
			titled = &at
			r.curriculum(c, s)
		case *markerStmt:
			if r.isFirst(aMarker, s.Name, c) {
				m := curriculum.Marker{Name: s.Name.Text, Releases: s.Effect.Value == "releases", Pos: c.pos(s.Name.Span)}
				for _, q := range r.cues(c, s.Forms) {
					if q.Kind == curriculum.WordCue && m.Text == "" {
						m.Text = q.Text
					} else {
						m.Signals = append(m.Signals, q)
					}
				}
				r.out.Markers = append(r.out.Markers, m)
			}
		case *foodStmt:
			r.food(c, s)
		case *equipmentStmt:
			for _, i := range s.Items {
				if r.isFirst(anEquipment, i.Name, c) {
					e := curriculum.Equipment{Name: i.Name.Text, Pos: c.pos(i.Name.Span)}
					if i.Text != nil {
						e.Text = i.Text.Text
					}
					r.out.Equipment = append(r.out.Equipment, e)
				}
			}
		case *criterionStmt:
			if w := r.criteria[s.Name.Text]; w != nil && w.stmt == s {
				is, _ := r.named(s.Name.Text, c.spot(s.Name.Span))
				r.out.Criteria = append(r.out.Criteria, curriculum.NamedCriterion{Name: s.Name.Text, Is: is, Pos: c.pos(s.Name.Span)})
			}
		case *cautionStmt:
			k := curriculum.Caution{Name: s.Name.Text, Text: s.Text.Text, Pos: c.pos(s.Name.Span)}
			if s.When != nil {
				k.When, _ = r.expression(c, s.When, true)
			}
			if r.isFirst(aCaution, s.Name, c) {
				r.out.Cautions = append(r.out.Cautions, k)
			}
		}
	}
	for _, t := range r.tops {
		if s, ok := t.stmt.(*ladderStmt); ok {
			if l := r.ladders[s.Name.Text]; l != nil && l.stmt == s {
				r.checkLadder(l)
				r.out.Ladders = append(r.out.Ladders, curriculum.Ladder{Name: s.Name.Text, Pos: t.c.pos(s.Name.Span)})
			}
		}
	}
}

// environment is what expressions may name. Their length and depth have been checked before they come here.
func (r *resolver) environment() expression.Env {
	return expression.Env{Measures: r.out.Measures, Functions: r.lim.functions, MaxBytes: r.lim.expressionBytes + 1, MaxDepth: r.lim.nesting, MaxParts: r.lim.expressionNodes}
}

// isFirst reports whether this is the declaration that counts, where a name has several.
func (r *resolver) isFirst(k nameKind, n name, c *ctx) bool {
	first := r.names[k].first[n.Text]
	return first.src == c.src && first.span == n.Span
}

func (r *resolver) curriculum(c *ctx, s *curriculumStmt) {
	r.out.Name, r.out.Pos = s.Title.Text, c.pos(s.Title.Span)
	first := map[string]spot{}
	again := func(at spot, word string) bool {
		before, twice := first[word]
		if twice {
			r.fault(at, "line-doubled", word).relate(before, "first-here")
		} else {
			first[word] = at
		}
		return twice
	}
	for _, stmt := range s.Body {
		if n, ok := stmt.(*courseStmt); ok {
			at := c.at(n).spot(spanOf(n.Word))
			if !again(at, n.Word.Value) {
				r.out.Course = r.course(c.at(n), n)
			}
			continue
		}
		w, ok := stmt.(*wordStmt)
		if !ok || again(c.at(w).spot(spanOf(w.Word)), w.Word.Value) || w.Text == nil {
			continue
		}
		switch w.Word.Value {
		case "edition":
			r.out.Edition = w.Text.Text
		case "for":
			r.out.For = w.Text.Text
		}
	}
}

// course is how long a programme lasts and how often it meets.
func (r *resolver) course(c *ctx, n *courseStmt) curriculum.Course {
	out := curriculum.Course{Pos: c.pos(n.Span()), Per: curriculum.PerWeek}
	out.Lasts, _ = r.positive(c, n.Time, curriculum.Time, "the length of a course")
	if n.Sessions != nil {
		out.Sessions, _ = r.count(c, *n.Sessions, 1)
	}
	if n.Per.Value == "day" {
		out.Per = curriculum.PerDay
	}
	return out
}

func (r *resolver) food(c *ctx, s *foodStmt) {
	f := curriculum.Food{Name: s.Name.Text, Pos: c.pos(s.Name.Span)}
	first := map[string]spot{}
	once := func(what string, at Span) bool {
		if before, twice := first[what]; twice {
			r.fault(c.spot(at), "line-doubled", what).relate(before, "first-here")
			return false
		}
		first[what] = c.spot(at)
		return true
	}
	for _, p := range s.Parts {
		switch {
		case p.Amount != nil:
			r.foodAmount(c, &f, p.Amount.value, once)
		case p.EatenIn != nil:
			if once("eaten in", p.Span()) {
				f.EatenIn, _ = r.positive(c, *p.EatenIn, curriculum.Time, "the time to eat a piece")
			}
		case p.Contains != nil:
			if once("contains "+p.Contains.Text, p.Span()) {
				f.Contains = append(f.Contains, p.Contains.Text)
			}
		case p.Extra != nil:
			once("extra", p.Span())
			f.Extra = true
		}
	}
	if r.isFirst(aFood, s.Name, c) {
		r.out.Foods = append(r.out.Foods, f)
	}
}

// foodAmount is the energy or the weight of one piece, told apart by the unit.
func (r *resolver) foodAmount(c *ctx, f *curriculum.Food, v value, once func(string, Span) bool) {
	at := c.spot(v.Span)
	q, ok := r.anyQuantity(v, at)
	if !ok {
		return
	}
	switch q.Unit.Dimension() {
	case curriculum.Mass:
		if once("weight", v.Span) {
			f.Weight, _ = r.positive(c, v, curriculum.Mass, "the weight of a piece")
		}
	default:
		if once("energy", v.Span) {
			f.Energy, _ = r.quantityOf(v, at, curriculum.Energy, "the energy of a piece")
		}
	}
}

func (r *resolver) declaredMeasure(c *ctx, s *measureStmt) {
	if !r.isFirst(aMeasure, s.Name, c) {
		return
	}
	name, at := s.Name.Text, c.spot(s.Name.Span)
	switch {
	case name == "latency" || name == "duration" || name == "distance":
		r.fault(at, "measure-known", name)
		return
	case expression.IsTrialFact(name) || expression.IsWord(name):
		r.fault(at, "measure-fact", name)
	}
	m := curriculum.Measure{Name: name, SmallerIsBetter: s.Smaller != nil, Pos: at.pos()}
	if s.Unit != nil {
		u, ok := curriculum.ParseUnit(s.Unit.Text)
		if !ok {
			near := curriculum.Nearest(s.Unit.Text, unitNames)
			d := r.fault(c.spot(s.Unit.Span), "unit-unknown", s.Unit.Text)
			if near != "" {
				d.help("did-you-mean", near).replace(near)
			} else {
				d.help("units-are", strings.Join(unitNames, ", "))
			}
		}
		m.Unit = u
	}
	r.out.Measures = append(r.out.Measures, m)
	r.units[name] = m.Unit
}

var unitNames = []string{"s", "min", "h", "days", "weeks", "cm", "m", "deg", "kcal", "g", "kg"}

func (r *resolver) sign(c *ctx, s *signStmt) {
	effect := curriculum.LockEverything
	var only []string
	switch {
	case s.LocksIt != nil:
		effect = curriculum.LockBehaviour
	case len(s.Only) > 0:
		effect = curriculum.LockNamed
		only = r.declaredList(c, aBehaviour, s.Only)
	case s.Ends != nil:
		effect = curriculum.EndSession
		if s.Ends.Value == "behaviour" {
			effect = curriculum.EndBehaviour
		}
	}
	for _, n := range s.Names {
		if r.isFirst(aSign, n, c) {
			r.out.Signs = append(r.out.Signs, curriculum.Sign{Name: n.Text, Locks: effect, Only: only, Pos: c.pos(n.Span)})
		}
	}
}
