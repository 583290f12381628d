package dsl

import (
	"strings"

	"example.com/rung/curriculum"
)

// levelRef resolves a level of a step, or a part of one. In examples loose leaves room for what a split puts in.
func (r *resolver) levelRef(c *ctx, d *stepDraft, parts []levelPart, loose bool) (curriculum.LevelRef, bool) {
	if len(parts) == 0 {
		return nil, true
	}
	if d.rampFault {
		return nil, false
	}
	loose = loose && hasSplit(d)
	var ref curriculum.LevelRef
	ok := true
	for i := range parts {
		v, good := r.levelPart(c, d, &parts[i], loose)
		if !good {
			ok = false
			continue
		}
		for _, before := range ref {
			if before.Of == v.Of {
				r.fault(c.spot(parts[i].Span()), "line-doubled", v.Of)
				ok = false
			}
		}
		ref = append(ref, v)
	}
	if !ok || loose {
		return ref, ok
	}
	if r.compared += len(d.step.Levels); len(ref) == 1 || r.compared > maxCompared {
		return ref, true // every value of a ramp is in some level
	}
	for _, l := range d.step.Levels {
		if l.Meets(ref) {
			return ref, true
		}
	}
	span := Span{parts[0].Span().From, parts[len(parts)-1].Span().To}
	r.fault(c.spot(span), "level-together", d.name, ref.String())
	return ref, false
}

func hasSplit(d *stepDraft) bool {
	for _, l := range d.lines {
		if n, ok := l.stmt.(*ruleStmt); ok && n.Word.Value == "split" {
			return true
		}
	}
	return false
}

func (r *resolver) levelPart(c *ctx, d *stepDraft, p *levelPart, loose bool) (curriculum.NamedValue, bool) {
	none := curriculum.NamedValue{}
	switch {
	case p.Piece != nil:
		if !loose {
			r.fault(c.spot(p.Span()), "level-piece", d.name)
			return none, false
		}
		return curriculum.NamedValue{Of: curriculum.PieceRamp, LevelValue: curriculum.LevelValue{Name: p.Piece.Text}}, true
	case p.Thin != nil:
		s, ok := r.schedule(c, p.Thin)
		if !ok {
			return none, false
		}
		v := curriculum.NamedValue{Of: curriculum.ThinRamp, LevelValue: curriculum.LevelValue{Thin: s}}
		return v, r.listedValue(c, d, v, c.spot(p.Span()), c.spot(p.Span()), loose)
	case p.Of == nil:
		return none, false
	}
	of, at, ok := r.name(c, *p.Of)
	if !ok {
		return none, false
	}
	got, vAt, ok := r.value(c, p.Value)
	if !ok {
		return none, false
	}
	ramp := rampOf(d, of)
	if ramp == nil {
		r.noRamp(d, of, at)
		return none, false
	}
	v := curriculum.NamedValue{Of: of}
	first := ramp.Values[0]
	switch {
	case got.Number == "" && got.Name == "":
		return none, false
	case first.Name != "" && got.Number != "", first.Name == "" && got.Number == "":
		r.levelUnlisted(d, ramp, valueText(got), vAt)
		return none, false
	case first.Name != "":
		v.LevelValue.Name = got.Name
	default:
		if v.LevelValue.Quantity, ok = r.quantityOf(got, vAt, first.Quantity.Unit.Dimension(), of); !ok {
			return none, false
		}
	}
	return v, r.listedValue(c, d, v, at, vAt, loose)
}

// maxCompared is how many levels are compared in one run with references to several ramps at once; what is left then
// is let pass and never matches.
const maxCompared = 2_000_000

// lists is the set of a ramp's values.
func (d *stepDraft) lists(ramp *curriculum.Ramp) map[string]bool {
	if d.values == nil {
		d.values = map[string]map[string]bool{}
	}
	set := d.values[ramp.Of]
	if set == nil {
		set = map[string]bool{}
		for _, v := range ramp.Values {
			set[valueKey(v)] = true
		}
		d.values[ramp.Of] = set
	}
	return set
}

// valueKey is the same text for equal values.
func valueKey(v curriculum.LevelValue) string {
	switch {
	case v.Thin != nil:
		s := *v.Thin
		return string(s.Kind) + " " + s.Value.Base().RatString() + " " + s.Share.String() + " " + itoa(s.Window) + " " + s.Measure
	case v.Name != "":
		return v.Name
	}
	return string(v.Quantity.Unit.Dimension()) + " " + v.Quantity.Base().RatString()
}

func rampOf(d *stepDraft, of string) *curriculum.Ramp {
	for i := range d.step.Ramps {
		if d.step.Ramps[i].Of == of {
			return &d.step.Ramps[i]
		}
	}
	return nil
}

func (r *resolver) noRamp(d *stepDraft, of string, at spot) {
	var known []string
	for _, ramp := range d.step.Ramps {
		known = append(known, ramp.Of)
	}
	if len(known) == 0 {
		r.fault(at, "level-none", d.name).relate(d.at, "declared-here", d.name)
		return
	}
	r.unknown("ramp of step "+d.name, of, at, known, "one-of", strings.Join(known, ", "))
}

// listedValue reports a value that the ramp does not list.
func (r *resolver) listedValue(_ *ctx, d *stepDraft, v curriculum.NamedValue, ofAt, vAt spot, loose bool) bool {
	ramp := rampOf(d, v.Of)
	if ramp == nil {
		r.noRamp(d, v.Of, ofAt)
		return false
	}
	if loose && v.LevelValue.Thin == nil && v.LevelValue.Name == "" {
		return true
	}
	if d.lists(ramp)[valueKey(v.LevelValue)] {
		return true
	}
	r.levelUnlisted(d, ramp, v.LevelValue.String(), vAt)
	return false
}

func (r *resolver) levelUnlisted(d *stepDraft, ramp *curriculum.Ramp, value string, at spot) {
	values := make([]string, len(ramp.Values))
	for i, v := range ramp.Values {
		values[i] = v.String()
	}
	if len(values) > 8 {
		values = append(append(values[:6:6], "..."), values[len(values)-1])
	}
	dd := r.fault(at, "level-unlisted", d.name, ramp.Of, value).help("levels-are", strings.Join(values, ", "))
	if near := curriculum.Nearest(value, values); near != "" && ramp.Values[0].Name != "" {
		dd.help("did-you-mean", near).replace(near)
	}
}
