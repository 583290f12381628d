package odds

import "example.com/rung/curriculum"

// holdsAt are the chances of success at which an advance and an ease are equally likely to come first, and a better dog
// is more likely to advance. It is the principle of up-and-down staircases (H. Levitt, J. Acoust. Soc. Am. 49:467-477,
// 1971): on a fine ramp, where one level is hardly harder than the last, a dog stays about where its chance is this.
func (s *stay) holdsAt(d Dog) ([]float64, error) {
	up, down := false, false
	for _, r := range s.rules {
		up, down = up || r.Word == curriculum.Advance, down || r.Word == curriculum.Ease
	}
	if !up || !down {
		return nil, nil
	}
	// rises is how much likelier an advance comes first than an ease
	rises := func(p float64) (float64, error) {
		d.Chance = p
		c, err := s.chain(d)
		if err != nil {
			return 0, err
		}
		t, err := c.Times()
		if err != nil {
			return 0, err
		}
		v := 0.0
		for i, r := range s.rules {
			switch r.Word {
			case curriculum.Advance:
				v += t.Ends[i].Chance
			case curriculum.Ease:
				v -= t.Ends[i].Chance
			}
		}
		return v, nil
	}
	const looks = 12
	var out []float64
	before, low := 0.0, 0.0
	for i := 0; i <= looks; i++ {
		p := .01 + .98*float64(i)/looks
		v, err := rises(p)
		if err != nil {
			return nil, err
		}
		if i > 0 && before < 0 && v >= 0 {
			root, err := crossing(rises, low, p, before, v)
			if err != nil {
				return nil, err
			}
			out = append(out, chance(root))
		}
		before, low = v, p
	}
	return out, nil
}

// crossing finds where f, below nought at lo and not at hi, crosses it, to ten decimals: the false position with the
// Illinois weight (M. Dowell and P. Jarratt, BIT 11:168-174, 1971), halving where that is slow.
func crossing(f func(float64) (float64, error), lo, hi, atLo, atHi float64) (float64, error) {
	side := 0
	for i := 0; hi-lo > 1e-11 && i < 200; i++ {
		mid := hi - atHi*(hi-lo)/(atHi-atLo)
		if i%8 == 7 || !(mid > lo && mid < hi) {
			mid = (lo + hi) / 2
		}
		v, err := f(mid)
		if err != nil {
			return 0, err
		}
		switch {
		case v == 0:
			return mid, nil
		case v < 0:
			lo, atLo = mid, v
			if side == -1 {
				atHi /= 2
			}
			side = -1
		default:
			hi, atHi = mid, v
			if side == 1 {
				atLo /= 2
			}
			side = 1
		}
	}
	return (lo + hi) / 2, nil
}
