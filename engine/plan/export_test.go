package plan

import "example.com/rung/engine"

// Worth is the points of the chosen set and of the best one there is, found by trying every number of trials of every
// candidate (all of which may also be left out); ok is false where that would take too long.
func Worth(p *engine.Program, v *engine.DogView, r Request) (chosen, best float64, ok bool) {
	c := p.Curriculum()
	s, err := r.check(c)
	if err != nil {
		return 0, 0, false
	}
	b := &builder{c: c, v: v, r: r, s: s, plan: &Plan{Dog: v.Dog.Name}}
	b.setLimits()
	b.stock()
	b.gate()
	sizes := 1
	for _, x := range b.cands {
		if sizes *= x.most + 1; sizes > 60_000 {
			return 0, 0, false
		}
	}
	got := b.choose()
	all := b.empty()
	all.opens, all.closes = got.opens, got.closes
	for i := range all.food {
		all.food[i] = b.foods.usual
	}
	var walk func(int)
	walk = func(i int) {
		if i == len(b.cands) {
			b.recount(all)
			if b.within(all) == "" && all.value > best {
				best = all.value
			}
			return
		}
		x := b.cands[i]
		for n := 0; n <= x.most; n++ {
			slot := i == all.opens || i == all.closes
			if n > 0 && n < x.least || n < x.least && slot || n > 0 && x.role == roleKnown && !slot || n == 1 && i == all.opens && i == all.closes {
				continue
			}
			if all.n[i] = n; n > 0 && b.barred(all, i) >= 0 {
				continue
			}
			walk(i + 1)
		}
		all.n[i] = 0
	}
	if b.foods.none == "" {
		walk(0)
	}
	return got.value, best, true
}
