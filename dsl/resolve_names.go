package dsl

import (
	"example.com/rung/curriculum"
)

// nameKind is what a name was declared as.
type nameKind uint8

const (
	aMarker nameKind = iota
	aFood
	aPlace
	aHandler
	anEquipment
	aMeasure
	aSign
	aCriterion
	aCaution
	aLadder
	aBehaviour
	aSession
)

// nameKindWords say it in messages.
var nameKindWords = [...]string{
	aMarker: "marker", aFood: "food", aPlace: "place", aHandler: "handler", anEquipment: "equipment", aMeasure: "measure",
	aSign: "sign", aCriterion: "criterion", aCaution: "caution", aLadder: "ladder", aBehaviour: "behaviour", aSession: "session",
}

// nameTable is the names of one kind with their first declarations.
type nameTable struct {
	first map[string]spot
	order []string
}

// positions are where the names were first declared, in their order.
func (t *nameTable) positions() []curriculum.Pos {
	var out []curriculum.Pos
	for _, n := range t.order {
		out = append(out, t.first[n].pos())
	}
	return out
}

// declareName notes a name; it reports whether it is the first of its kind.
func (r *resolver) declareName(k nameKind, name string, at spot) bool {
	t := r.names[k]
	if first, ok := t.first[name]; ok {
		r.doubled(nameKindWords[k], name, at, first)
		return false
	}
	t.first[name] = at
	t.order = append(t.order, name)
	return true
}

func (r *resolver) doubled(kind, name string, at, first spot) {
	r.fault(at, "name-doubled", kind, name).relate(first, "first-here")
}

// known reports whether a name of that kind is declared, and reports an error at its place where it is not.
func (r *resolver) known(k nameKind, name string, at spot) bool {
	t := r.names[k]
	if _, ok := t.first[name]; ok {
		return true
	}
	r.unknown(nameKindWords[k], name, at, t.order, "declare-it", nameKindWords[k], name)
	return false
}

// maxNeighbours is among how many names, and for how many faults, the nearest is looked for: more would take longer
// than anyone waits.
const maxNeighbours = 2000

// unknown reports a name that is none of those known, unless its declaration may just have been unreadable. otherwise
// is the help where no known name is near.
func (r *resolver) unknown(kind, name string, at spot, known []string, otherwise string, args ...string) {
	if r.blind || r.lost[name] || name == "" {
		return
	}
	d := r.fault(at, "name-unknown", kind, name)
	if len(known) > maxNeighbours || len(r.diag) > maxNeighbours {
		known = nil
	}
	if near := curriculum.Nearest(name, known); near != "" {
		d.help("did-you-mean", near).replace(near)
		if first, ok := r.firstOf(kind, near); ok {
			d.relate(first, "declared-here", near)
		}
		return
	}
	if otherwise != "" {
		d.help(otherwise, args...)
	}
}

func (r *resolver) firstOf(kind, name string) (spot, bool) {
	for k, w := range nameKindWords {
		if w == kind {
			at, ok := r.names[nameKind(k)].first[name]
			return at, ok
		}
	}
	return spot{}, false
}

// declare goes over all top-level statements and notes every name, so that order has no meaning.
func (r *resolver) declare() {
	for _, t := range r.tops {
		c := t.c.at(t.stmt)
		each := func(k nameKind, n name) { r.declareName(k, n.Text, c.spot(n.Span)) }
		switch s := t.stmt.(type) {
		case *markerStmt:
			each(aMarker, s.Name)
		case *foodStmt:
			each(aFood, s.Name)
		case *namesStmt:
			k := aPlace
			if s.Word.Value == "handler" {
				k = aHandler
			}
			for _, n := range s.Names {
				each(k, n)
			}
		case *equipmentStmt:
			for _, i := range s.Items {
				each(anEquipment, i.Name)
			}
		case *measureStmt:
			each(aMeasure, s.Name)
		case *signStmt:
			for _, n := range s.Names {
				each(aSign, n)
			}
		case *criterionStmt:
			if r.declareName(aCriterion, s.Name.Text, c.spot(s.Name.Span)) {
				r.criteria[s.Name.Text] = &namedCriterionWork{c: c, stmt: s}
			}
		case *cautionStmt:
			each(aCaution, s.Name)
		case *ladderStmt:
			if r.declareName(aLadder, s.Name.Text, c.spot(s.Name.Span)) {
				r.ladders[s.Name.Text] = &ladderWork{c: c, stmt: s, used: map[string]bool{}}
			}
		case *behaviourStmt:
			w := &behaviourWork{c: c, stmt: s, b: &curriculum.Behaviour{Name: s.Name.Text, Pos: c.pos(s.Name.Span)}, steps: map[string]spot{}}
			r.works = append(r.works, w)
			if r.declareName(aBehaviour, s.Name.Text, c.spot(s.Name.Span)) {
				r.behaviours[s.Name.Text] = w
			}
		case *sessionStmt:
			if s.Name != nil {
				each(aSession, *s.Name)
			}
		}
	}
}

// name is what a name stands for: itself, or what was given for a ladder's parameter. ok is false where that is not
// known or was reported.
func (r *resolver) name(c *ctx, n name) (string, spot, bool) {
	at := c.spot(n.Span)
	a := c.params[n.Text]
	if a == nil {
		return n.Text, at, n.Text != ""
	}
	a.used = true
	if a.value == nil {
		return "", at, false
	}
	from := a.at
	from.used = &at
	if a.value.Name == "" {
		r.fault(from, "argument-name", n.Text, valueText(*a.value))
		return "", from, false
	}
	return a.value.Name, from, true
}

// value is what a value stands for: itself, or what was given for a ladder's parameter.
func (r *resolver) value(c *ctx, v value) (value, spot, bool) {
	at := c.spot(v.Span)
	a := c.params[v.Name]
	if v.Name == "" || a == nil {
		return v, at, true
	}
	a.used = true
	if a.value == nil {
		return v, at, false
	}
	from := a.at
	from.used = &at
	return *a.value, from, true
}

// names resolves a list of names in which none may stand twice.
func (r *resolver) nameList(c *ctx, kind string, names []name) []string {
	var out []string
	first := map[string]spot{}
	for _, n := range names {
		text, at, ok := r.name(c, n)
		if !ok {
			continue
		}
		if before, twice := first[text]; twice {
			r.doubled(kind, text, at, before)
			continue
		}
		first[text] = at
		out = append(out, text)
	}
	return out
}

// declaredList is nameList for names that must be declared.
func (r *resolver) declaredList(c *ctx, k nameKind, names []name) []string {
	var out []string
	for _, text := range r.nameList(c, nameKindWords[k], names) {
		if _, ok := r.names[k].first[text]; ok {
			out = append(out, text)
		}
	}
	for _, n := range names {
		if text, at, ok := r.name(c, n); ok {
			r.known(k, text, at)
		}
	}
	return out
}
