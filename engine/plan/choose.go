package plan

import "sort"

// choice is a set of candidates with their trials, and the running sums that the limits are held against.
type choice struct {
	n      []int // trials of each candidate, 0 for those left out
	food   []*food
	opens  int // candidate in the opening place, -1 where it is free
	closes int
	slots  int // places filled
	time, trials, behaviours, fresh, pieces, energy, extras,
	blocks int
	value float64
}

func (s *choice) clone() *choice {
	t := *s
	t.n, t.food = append([]int(nil), s.n...), append([]*food(nil), s.food...)
	return &t
}

// better compares two choices: filled places first, then points.
func (s *choice) better(o *choice) bool {
	if s.slots != o.slots {
		return s.slots > o.slots
	}
	return s.value > o.value+1e-9
}

// exchanges bounds the search for a better set; everyday days need a handful.
const exchanges = 40

// choose finds the set of candidates and their trials.
func (b *builder) choose() *choice {
	if b.foods.none != "" {
		return b.empty()
	}
	var best *choice
	for _, o := range b.slotted(b.s.OpensWith.Behaviour, b.s.OpensWith.Known) {
		for _, cl := range b.slotted(b.s.ClosesWith.Behaviour, b.s.ClosesWith.Known) {
			s := b.empty()
			if !b.open(s, o, cl) {
				continue
			}
			for first := -1; first < len(b.cands); first++ {
				if t := b.from(s, first); t != nil && (best == nil || t.better(best)) {
					best = t
				}
			}
		}
	}
	best = b.exchange(best)
	if best.behaviours == 0 {
		b.fill(best, true)
	}
	b.treat(best)
	return best
}

// from fills up a choice that begins with one candidate, or with none for -1; nil where it cannot.
func (b *builder) from(s *choice, first int) *choice {
	t := s.clone()
	if first >= 0 {
		c := b.cands[first]
		if t.n[first] > 0 || c.role == roleKnown || !b.set(t, first, c.least) {
			return nil
		}
	}
	b.fill(t, false)
	return t
}

func (b *builder) empty() *choice {
	s := &choice{n: make([]int, len(b.cands)), food: make([]*food, len(b.cands)), opens: -1, closes: -1}
	for i := range s.food {
		s.food[i] = b.foods.usual
	}
	return s
}

// mostSlotted is how many behaviours are tried in the opening and in the closing place.
const mostSlotted = 4

// slotted is the candidates for a place of the session, best first, and -1 for leaving it free.
func (b *builder) slotted(name string, known bool) []int {
	var out []int
	for _, finished := range []bool{true, false} {
		for i, c := range b.cands {
			if name != "" && c.name() == name || name == "" && known && c.finished == finished && (finished || c.steady) {
				out = append(out, i)
			}
		}
		if len(out) > 0 {
			break
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		x, y := b.cands[out[i]], b.cands[out[j]]
		if x.points != y.points {
			return x.points > y.points
		}
		return x.v.LastTrained.Before(y.v.LastTrained)
	})
	if len(out) > mostSlotted {
		out = out[:mostSlotted]
	}
	return append(out, -1)
}

// open puts candidates into the first and last place; false where they do not fit.
func (b *builder) open(s *choice, o, cl int) bool {
	if o >= 0 {
		if !b.set(s, o, b.cands[o].least) {
			return false
		}
		s.opens = o
		s.slots++
	}
	switch {
	case cl < 0:
	case cl == o:
		c := b.cands[o]
		if c.most < 2 || !b.set(s, o, max(c.least, 2)) {
			return false
		}
		s.closes = cl
		s.slots++
		b.recount(s)
		return b.within(s) == ""
	default:
		if !b.set(s, cl, b.cands[cl].least) {
			return false
		}
		s.closes = cl
		s.slots++
	}
	return true
}

// fill adds trials and behaviours as long as any fits, the best points a second first. Where single is set, a behaviour
// may come in with fewer trials than usual.
func (b *builder) fill(s *choice, single bool) {
	for {
		at, to, rate := -1, 0, 0.0
		for i, c := range b.cands {
			n := s.n[i] + 1
			if s.n[i] == 0 {
				if c.role == roleKnown {
					continue
				}
				if n = c.least; single {
					n = 1
				}
			}
			if n > c.most || s.n[i] == 0 && b.barred(s, i) >= 0 {
				continue
			}
			k := b.cost(c, s.food[i])
			gain := c.gain(n) - c.gain(s.n[i]) + b.pairGain(s, i)
			if r := gain / float64(k.time[n]-k.time[s.n[i]]+1); r > rate && b.fits(s, i, n) == "" {
				at, to, rate = i, n, r
			}
		}
		if at < 0 {
			return
		}
		b.set(s, at, to)
	}
}

// pairGain is what a new candidate adds by having its partners in.
func (b *builder) pairGain(s *choice, i int) float64 {
	v := 0.0
	if s.n[i] == 0 {
		for _, j := range b.cands[i].partners {
			if s.n[j] > 0 {
				v += 2 * pointsPair
			}
		}
	}
	return v
}

// barred is a chosen candidate that i may not share the session with, or -1.
func (b *builder) barred(s *choice, i int) int {
	for _, j := range b.cands[i].apart {
		if s.n[j] > 0 {
			return j
		}
	}
	return -1
}

// exchange takes trials from one behaviour for the sake of another, in or out, as long as that makes the choice better.
func (b *builder) exchange(s *choice) *choice {
	for range exchanges {
		t := b.exchanged(s)
		if t == nil {
			break
		}
		s = t
	}
	return s
}

// exchanged is a better choice that lies one exchange away, or nil.
func (b *builder) exchanged(s *choice) *choice {
	for from := range b.cands {
		for _, n := range b.fewer(s, from) {
			for to, c := range b.cands {
				if to == from || s.n[to] == 0 && c.role == roleKnown || s.n[to] >= c.most {
					continue
				}
				t := s.clone()
				b.set(t, from, n)
				for _, j := range c.apart {
					if j != t.opens && j != t.closes {
						b.set(t, j, 0)
					}
				}
				if !b.set(t, to, max(c.least, s.n[to]+1)) {
					continue
				}
				b.fill(t, false)
				if t.better(s) {
					return t
				}
			}
		}
	}
	return nil
}

// fewer is the smaller numbers of trials that an exchange tries for a chosen candidate; none where it is left out.
func (b *builder) fewer(s *choice, i int) []int {
	c, n := b.cands[i], s.n[i]
	var out []int
	for _, m := range []int{n - 1, n - 2, n - 3, c.least} {
		if m >= c.least && m < n && (len(out) == 0 || m < out[len(out)-1]) {
			out = append(out, m)
		}
	}
	if n > 0 && i != s.opens && i != s.closes {
		out = append(out, 0)
	}
	return out
}

// treat gives the better food to new and difficult work, in the order of points, where all limits still hold.
func (b *builder) treat(s *choice) {
	if b.foods.better == nil {
		return
	}
	var order []int
	for i, c := range b.cands {
		if s.n[i] > 0 && c.hard {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return b.cands[order[i]].points > b.cands[order[j]].points })
	for _, i := range order {
		before := s.food[i]
		s.food[i] = b.foods.better
		b.recount(s)
		if b.within(s) != "" {
			s.food[i] = before
		}
	}
	b.recount(s)
}

// set gives a candidate n trials; false, and nothing changed, where a limit does not allow it. Fewer always fit.
func (b *builder) set(s *choice, i, n int) bool {
	if n > s.n[i] && (b.fits(s, i, n) != "" || s.n[i] == 0 && b.barred(s, i) >= 0) {
		return false
	}
	s.n[i] = n
	b.recount(s)
	return true
}

// fits is the limit that n trials of a candidate would break, or "".
func (b *builder) fits(s *choice, i, n int) string {
	if n > b.cands[i].most {
		return limitEach
	}
	was := s.n[i]
	t := *s // the sums are copied, the slices shared and put back
	t.n[i] = n
	b.recount(&t)
	t.n[i] = was
	return b.within(&t)
}

// blocksOf is how many items the trials of a candidate will be split into, at most.
func (b *builder) blocksOf(s *choice, i int) int {
	n := s.n[i]
	k := 1
	if r := b.limits.inARow; r > 0 {
		k = (n + r - 1) / r
	}
	if n >= 2 && i == s.opens && i == s.closes || n >= 4 && len(b.cands[i].partners) > 0 {
		k = max(k, 2)
	}
	return k
}

// recount adds up the sums anew.
func (b *builder) recount(s *choice) {
	s.time, s.trials, s.behaviours, s.fresh, s.pieces, s.energy, s.extras, s.blocks, s.value = 0, 0, 0, 0, 0, 0, 0, 0, 0
	for i, c := range b.cands {
		n := s.n[i]
		if n == 0 {
			continue
		}
		f := s.food[i]
		k := b.cost(c, f)
		s.time += k.time[n]
		s.trials += n
		s.behaviours++
		if c.role == roleNew {
			s.fresh++
		}
		s.pieces += k.pieces[n]
		s.energy += k.pieces[n] * f.energy
		if f.extra {
			s.extras += k.pieces[n] * f.energy
		}
		s.blocks += b.blocksOf(s, i)
		s.value += c.gain(n)
		for _, j := range c.partners {
			if s.n[j] > 0 {
				s.value += pointsPair
			}
		}
	}
	if s.blocks > 1 {
		s.time += (s.blocks - 1) * Changeover
	}
}

// within is the first limit that a choice breaks, or "".
func (b *builder) within(s *choice) string {
	l := &b.limits
	over := func(v, most int) bool { return most >= 0 && v > most }
	switch {
	case over(s.fresh, l.fresh):
		return limitNew
	case over(s.behaviours, l.behaviours):
		return limitBehaviours
	case over(s.trials, l.trials):
		return limitTrials
	case over(s.time, l.time):
		return limitMinutes
	case over(s.pieces, l.pieces):
		return limitPieces
	case over(s.energy, l.energy):
		return limitKcal
	case l.extras >= 0 && s.extras > l.extras:
		return limitExtras
	}
	return ""
}
