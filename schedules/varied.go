package schedules

import (
	"errors"
	"math/big"
	"slices"
)

// ErrValue is returned for values that are not above nought.
var ErrValue = errors.New("values that vary need a full value above nought, and a grain and a limit not below it")

// fractions of the full value, in tenths: four of seven are easier than it, two are it, one is beyond. That holds and
// distances vary so that waiting is not always harder is common practice; the set is the house's own, no source.
var fractions = [...]int64{3, 5, 6, 8, 10, 10, 12}

// Values is a list of values around a full one, such as the seconds of holds of which the full ones are 10 s. Make one
// with Varied.
type Values struct {
	full *big.Rat
	list []*big.Rat // ascending
}

// Varied is the values 0.3, 0.5, 0.6, 0.8, 1, 1 and 1.2 times the full one, each rounded to a multiple of the grain (the
// smallest difference worth making; ties to the smaller, never to nought) and none above most. The full value itself is
// not rounded. A nil grain rounds nothing, a nil most bounds nothing.
func Varied(full, grain, most *big.Rat) (*Values, error) {
	if full == nil || full.Sign() <= 0 || grain != nil && grain.Sign() <= 0 || most != nil && most.Cmp(full) < 0 {
		return nil, ErrValue
	}
	v := &Values{full: new(big.Rat).Set(full)}
	for _, tenths := range fractions {
		x := new(big.Rat).Mul(full, big.NewRat(tenths, 10))
		if grain != nil && tenths != 10 {
			x = rounded(x, grain)
			if tenths < 10 && x.Cmp(full) > 0 || tenths > 10 && x.Cmp(full) < 0 {
				x.Set(full) // a grain as coarse as the value itself
			}
		}
		if most != nil && x.Cmp(most) > 0 {
			x.Set(most)
		}
		v.list = append(v.list, x)
	}
	slices.SortFunc(v.list, (*big.Rat).Cmp)
	return v, nil
}

// rounded is x as the nearest multiple of the grain, ties to the smaller, at least one grain.
func rounded(x, grain *big.Rat) *big.Rat {
	n := new(big.Rat).Quo(x, grain)
	down := floor(n)
	if n.Sub(n, big.NewRat(int64(down), 1)).Cmp(big.NewRat(1, 2)) > 0 {
		down++
	}
	return new(big.Rat).Mul(grain, big.NewRat(int64(max(down, 1)), 1))
}

// made is the values, none for nil as for the zero Values.
func (v *Values) made() *Values {
	if v == nil {
		return new(Values)
	}
	return v
}

// Full is the full value.
func (v *Values) Full() *big.Rat {
	v = v.made()
	if v.full == nil {
		return new(big.Rat)
	}
	return new(big.Rat).Set(v.full)
}

// List is the whole list, ascending.
func (v *Values) List() []*big.Rat { return copied(v.made().list) }

// Mean is the exact mean of the list: 0.771 times the full value where nothing is rounded or bounded.
func (v *Values) Mean() *big.Rat {
	v = v.made()
	sum := new(big.Rat)
	for _, x := range v.list {
		sum.Add(sum, x)
	}
	return sum.Quo(sum, big.NewRat(int64(max(len(v.list), 1)), 1))
}

// Draw is the values of the next n trials after the first `done`: the list is shuffled anew each time it is used up, and
// with the same seed the draw goes on where an earlier session left it.
func (v *Values) Draw(done, n int, seed uint64) []*big.Rat {
	v = v.made()
	done, n = max(done, 0), max(n, 0)
	var out []*big.Rat
	for len(out) < n && len(v.list) > 0 {
		round, at := done/len(v.list), done%len(v.list)
		list := v.List()
		source(seed+uint64(round), streamValues).Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		list = list[at:min(len(list), at+n-len(out))]
		out = append(out, list...)
		done += len(list)
	}
	return out
}

func copied(list []*big.Rat) []*big.Rat {
	out := make([]*big.Rat, len(list))
	for i, x := range list {
		out[i] = new(big.Rat).Set(x)
	}
	return out
}
