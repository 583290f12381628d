package naive

import (
	"math/big"

	"example.com/rung/curriculum"
)

// varies: a level with ramps that vary asks for all values of ref: of those ramps any between the least and the most of
// their set, of the others its own.
func (p *progress) varies(step int, g *rung, ref curriculum.LevelRef) bool {
	some := false
	for _, v := range ref {
		if low, high, _, ok := p.between(step, g, v); ok {
			if x := v.Quantity.Base(); x.Cmp(low) < 0 || x.Cmp(high) > 0 {
				return false
			}
			some = true
		} else if !g.level.Meets(curriculum.LevelRef{v}) {
			return false
		}
	}
	return some
}

// between is the least and the most that a ramp asks for at a level, and its full value; ok is false for a ramp that
// does not vary. Three tenths and twelve tenths, to the nearest grain (ties to the smaller, one grain at least), not
// across the full value and not beyond the ramp's last.
func (p *progress) between(step int, g *rung, v curriculum.NamedValue) (low, high, full *big.Rat, ok bool) {
	for _, r := range p.b.Steps[step].Ramps {
		own, has := g.level.Get(r.Of)
		if r.Of != v.Of || !r.Varied || r.Falling || !has || own.Name != "" || own.Thin != nil || own.Quantity.Num <= 0 || v.Quantity.IsZero() ||
			v.Quantity.Unit.Dimension() != own.Quantity.Unit.Dimension() {
			continue
		}
		full = own.Quantity.Base()
		tenths := func(n int64) *big.Rat {
			x := new(big.Rat).Mul(full, big.NewRat(n, 10))
			if r.Grain.IsZero() {
				return x
			}
			grain := r.Grain.Base()
			grains := new(big.Rat).Quo(x, grain)
			// the smaller of the two nearest whole numbers where both are as near
			k := new(big.Int).Div(new(big.Int).Sub(new(big.Int).Mul(big.NewInt(2), grains.Num()), grains.Denom()), new(big.Int).Mul(big.NewInt(2), grains.Denom()))
			if new(big.Rat).Sub(grains, new(big.Rat).SetInt(k)).Cmp(big.NewRat(1, 2)) > 0 {
				k.Add(k, big.NewInt(1))
			}
			if k.Sign() <= 0 {
				k.SetInt64(1)
			}
			return new(big.Rat).Mul(grain, new(big.Rat).SetInt(k))
		}
		low, high = tenths(3), tenths(12)
		if low.Cmp(full) > 0 {
			low = full
		}
		if high.Cmp(full) < 0 {
			high = full
		}
		if last := r.Values[len(r.Values)-1].Quantity.Base(); last.Cmp(full) >= 0 && high.Cmp(last) > 0 {
			high = last
		} else if last.Cmp(full) < 0 {
			high = full
		}
		return low, high, full, true
	}
	return nil, nil, nil, false
}

// short: the trial was asked for less than the full value of a ramp that varies at its level.
func (l *line) short() bool {
	if l.rung == nil {
		return false
	}
	for _, v := range l.t.Level {
		if _, _, full, ok := l.of.between(l.step, l.rung, v); ok && v.Quantity.Base().Cmp(full) < 0 {
			return true
		}
	}
	return false
}
