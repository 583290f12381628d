package engine

import (
	"math/big"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

// VariedValues is the set of values that a ramp varies over at a level, nil where it does not vary there: those of
// schedules.Varied, none above the ramp's last value.
func VariedValues(r *curriculum.Ramp, at curriculum.Level) *schedules.Values {
	if r == nil || !r.Varies() {
		return nil
	}
	full, ok := at.Get(r.Of)
	if !ok || full.Quantity.IsZero() {
		return nil
	}
	var grain *big.Rat
	if !r.Grain.IsZero() {
		grain = r.Grain.Base()
	}
	most := r.Values[len(r.Values)-1].Quantity.Base()
	if most.Cmp(full.Quantity.Base()) < 0 {
		most = full.Quantity.Base()
	}
	v, err := schedules.Varied(full.Quantity.Base(), grain, most)
	if err != nil {
		return nil
	}
	return v
}

// span is what a ramp that varies asks for at a level, in base units.
type span struct {
	of                string
	least, full, most *big.Rat
}

// spans are a level's ramps that vary.
func spans(s *curriculum.Step, l curriculum.Level) []span {
	var out []span
	for i := range s.Ramps {
		if v := VariedValues(&s.Ramps[i], l); v != nil {
			list := v.List()
			out = append(out, span{s.Ramps[i].Of, list[0], v.Full(), list[len(list)-1]})
		}
	}
	return out
}

// asks reports whether ref names values that the level may ask for: of a ramp that varies any between its least and its
// most, of any other the level's own. short says that some value is below the full one.
func (l *level) asks(ref curriculum.LevelRef) (ok, short bool) {
next:
	for i := range ref {
		for _, s := range l.spans {
			if s.of != ref[i].Of || ref[i].Name != "" || ref[i].Thin != nil || ref[i].Quantity.IsZero() {
				continue
			}
			full, _ := l.values.Get(s.of)
			if full.Quantity.Unit.Dimension() != ref[i].Quantity.Unit.Dimension() {
				continue
			}
			v := ref[i].Quantity.Base()
			if v.Cmp(s.least) < 0 || v.Cmp(s.most) > 0 {
				return false, false
			}
			short = short || v.Cmp(s.full) < 0
			continue next
		}
		if !meets(l, ref[i:i+1]) {
			return false, false
		}
	}
	return true, short
}

// askedBars are a level's bars with the values that ref asks for in place of its own.
func (l *level) askedBars(ref curriculum.LevelRef, units map[string]curriculum.Unit) []bar {
	if len(l.spans) == 0 || len(ref) == 0 {
		return l.bars
	}
	out := append([]bar(nil), l.bars...)
	for i := range out {
		for _, v := range ref {
			if v.Of == out[i].measure && !v.Quantity.IsZero() {
				out[i].value = v.Quantity.In(units[v.Of])
			}
		}
	}
	return out
}
