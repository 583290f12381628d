package dsl

import (
	"math/big"

	"example.com/rung/curriculum"
)

// maxLevels is how many levels the ramps of one step may make together. A step has rarely more than thirty; each level
// costs a few hundred bytes and a machine of its own when a curriculum is checked.
const maxLevels = 10_000

// The whole of a curriculum has limits too, since a short text can climb a long ladder many times. A large house has a
// few thousand levels in some hundred steps.
const (
	maxAllLevels = 200_000
	maxAllSteps  = 20_000
	maxPieces    = 100
	maxClimbed   = 16 << 20 // bytes of ladders, written out
)

// ramp resolves `ramp NAME values`.
func (r *resolver) ramp(c *ctx, d *stepDraft, n *rampStmt) {
	of, at, ok := r.name(c, n.Of)
	if !ok || r.levelCount > maxAllLevels {
		d.rampFault = true
		return
	}
	if of == curriculum.ThinRamp || of == curriculum.PieceRamp {
		r.fault(at, "ramp-name", of)
		d.rampFault = true
		return
	}
	dim, measured := r.measureDimension(of)
	ramp := curriculum.Ramp{Of: of, Varied: n.Varied != nil, Measured: measured, Pos: c.pos(n.Span())}
	if n.To != nil && n.By != nil && len(n.Values) > 0 {
		ramp.Values, ok = r.stairs(c, n, of, dim)
	} else {
		ramp.Values, ok = r.rampValues(c, n.Values, of, dim)
	}
	if !ok || len(ramp.Values) == 0 {
		d.rampFault = true
		return
	}
	first, last := ramp.Values[0], ramp.Values[len(ramp.Values)-1]
	numeric := first.Name == ""
	ramp.Falling = numeric && last.Quantity.Cmp(first.Quantity) < 0
	if n.Grain != nil {
		ramp.Grain, ok = r.grain(c, *n.Grain, numeric, first.Quantity.Unit.Dimension(), of)
		d.rampFault = d.rampFault || !ok
	}
	if ramp.Varied && !ramp.Varies() {
		key := "varied-falls"
		if !numeric {
			key = "varied-names"
		}
		r.fault(c.spot(spanOf(*n.Varied)), key, of)
		d.rampFault = true
	}
	d.step.Ramps = append(d.step.Ramps, ramp)
}

func (r *resolver) grain(c *ctx, v value, numeric bool, dim curriculum.Dimension, of string) (curriculum.Quantity, bool) {
	if !numeric {
		r.fault(c.spot(v.Span), "grain-names", of)
		return curriculum.Quantity{}, false
	}
	return r.positive(c, v, dim, "the grain of "+of)
}

// rampValues resolves a list: all names, or all amounts of one dimension that go one way. dim is "" where the thing is
// no measure and may have any.
func (r *resolver) rampValues(c *ctx, values []value, of string, dim curriculum.Dimension) ([]curriculum.LevelValue, bool) {
	var got []value
	var at []spot
	known := len(values) > 0
	for _, v := range values {
		v, s, ok := r.value(c, v)
		known = known && ok && (v.Number != "" || v.Name != "")
		got, at = append(got, v), append(at, s)
	}
	if !known {
		return nil, false
	}
	names := got[0].Number == ""
	for i, v := range got {
		if (v.Number == "") != names {
			r.fault(at[i], "ramp-mixed", of, valueText(v)).relate(at[0], "first-value")
			return nil, false
		}
	}
	if names {
		return r.rampNames(got, at, of, dim)
	}
	return r.rampAmounts(got, at, of, dim)
}

func (r *resolver) rampNames(got []value, at []spot, of string, dim curriculum.Dimension) ([]curriculum.LevelValue, bool) {
	if dim != "" {
		r.fault(at[0], "ramp-measure-names", of, unitsOf(dim))
		return nil, false
	}
	var out []curriculum.LevelValue
	first := map[string]spot{}
	for i, v := range got {
		if before, twice := first[v.Name]; twice {
			r.doubled("level", v.Name, at[i], before)
			return nil, false
		}
		first[v.Name] = at[i]
		out = append(out, curriculum.LevelValue{Name: v.Name})
	}
	return out, true
}

func (r *resolver) rampAmounts(got []value, at []spot, of string, dim curriculum.Dimension) ([]curriculum.LevelValue, bool) {
	if dim == "" { // the first value with a unit says what is meant
		for i, v := range got {
			q, ok := r.anyQuantity(v, at[i])
			if !ok {
				return nil, false
			}
			if dim == "" || dim == curriculum.Number {
				dim = q.Unit.Dimension()
			}
		}
	}
	var out []curriculum.LevelValue
	for i, v := range got {
		q, ok := r.quantityOf(v, at[i], dim, of)
		if !ok {
			return nil, false
		}
		out = append(out, curriculum.LevelValue{Quantity: q})
	}
	return out, r.oneWay(out, at, of)
}

// oneWay checks that values strictly rise or strictly fall.
func (r *resolver) oneWay(values []curriculum.LevelValue, at []spot, of string) bool {
	way := 0
	for i := 1; i < len(values); i++ {
		step := values[i].Quantity.Cmp(values[i-1].Quantity)
		switch {
		case step == 0:
			r.fault(at[i], "ramp-same", values[i].String(), of).relate(at[i-1], "value-before")
			return false
		case way == 0:
			way = step
		case step != way:
			r.fault(at[i], "ramp-order", values[i].String(), values[i-1].String(), of, map[int]string{1: "rise", -1: "fall"}[way])
			return false
		}
	}
	return true
}

// stairs resolves `ramp NAME a to b by c`.
func (r *resolver) stairs(c *ctx, n *rampStmt, of string, dim curriculum.Dimension) ([]curriculum.LevelValue, bool) {
	from, fromAt, ok := r.value(c, n.Values[0])
	_, toAt, ok2 := r.value(c, *n.To)
	_, byAt, ok3 := r.value(c, *n.By)
	if !ok || !ok2 || !ok3 {
		return nil, false
	}
	if dim == "" {
		q, ok := r.anyQuantity(from, fromAt)
		if !ok {
			return nil, false
		}
		dim = q.Unit.Dimension()
	}
	a, ok := r.quantityOf(from, fromAt, dim, of)
	b, ok2 := r.quantity(c, *n.To, dim, of)
	by, ok3 := r.positive(c, *n.By, dim, of)
	if !ok || !ok2 || !ok3 {
		return nil, false
	}
	gap := new(big.Rat).Sub(b.Base(), a.Base())
	steps := new(big.Rat).Quo(new(big.Rat).Abs(gap), by.Base())
	switch {
	case gap.Sign() == 0:
		r.fault(toAt, "ramp-same", b.String(), of)
		return nil, false
	case steps.Cmp(big.NewRat(maxLevels-1, 1)) > 0:
		r.fault(byAt, "levels-many", itoa(maxLevels))
		return nil, false
	case !steps.IsInt():
		r.fault(byAt, "ramp-end", a.String(), by.String(), b.String())
		return nil, false
	}
	count := int(steps.Num().Int64())
	stride := by.Base()
	if gap.Sign() < 0 {
		stride.Neg(stride)
	}
	var out []curriculum.LevelValue
	at := a.Base()
	for i := range count + 1 {
		q, ok := curriculum.FromBase(at, a.Unit)
		if i == count {
			q, ok = b, true
		}
		if !ok {
			return nil, false
		}
		out = append(out, curriculum.LevelValue{Quantity: q})
		at = new(big.Rat).Add(at, stride)
	}
	return out, true
}

// rewardAndThin reports a step that says twice how it is rewarded.
func (r *resolver) rewardAndThin(d *stepDraft) {
	var reward, thin *stepLine
	for i, l := range d.lines {
		switch l.stmt.(type) {
		case *rewardStmt:
			reward = &d.lines[i]
		case *thinStmt:
			thin = &d.lines[i]
		}
	}
	if reward != nil && thin != nil {
		r.fault(reward.c.spot(reward.stmt.Span()), "reward-and-thin").relate(thin.c.spot(thin.stmt.Span()), "thin-here")
	}
}

// layOut makes the step's list of levels.
func (r *resolver) layOut(c *ctx, d *stepDraft, n *raiseStmt) {
	s := d.step
	if n != nil {
		s.Raise = curriculum.Raise{OneAtATime: true, Pos: c.pos(n.Span())}
		if n.Lower != nil {
			s.Raise.LowerBy = r.levels(c, *n.Lower)
		}
		if len(s.Ramps) < 2 && !d.rampFault {
			r.warn(c.spot(n.Span()), "raise-alone")
		}
	}
	total := 1
	for _, ramp := range s.Ramps {
		rises := len(ramp.Values) - 1
		if s.Raise.LowerBy > 0 && len(s.Ramps) > 1 {
			rises *= 2
		}
		total += rises
	}
	if total > maxLevels {
		r.fault(d.at, "levels-many", itoa(maxLevels))
		d.rampFault = true
	}
	if !d.rampFault {
		before := r.levelCount
		if r.levelCount += total; r.levelCount > maxAllLevels {
			if before <= maxAllLevels {
				r.fault(d.at, "all-levels", itoa(maxAllLevels))
			}
			d.rampFault = true
		}
	}
	if d.rampFault {
		s.Levels = []curriculum.Level{{}}
		return
	}
	s.Levels = curriculum.LayOut(s.Ramps, s.Raise)
}

// levels is the number in `one level` or `3 levels`.
func (r *resolver) levels(c *ctx, n levels) int {
	if n.N == nil {
		return 1
	}
	k, _ := r.count(c, *n.N, 1)
	return k
}
