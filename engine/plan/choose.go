package plan

import (
	"math"
	"sort"

	"example.com/rung/curriculum"
)

// choice is a set of candidates with their trials, and the sums that the limits are held against.
type choice struct {
	n      []int // trials of each candidate, 0 for those left out
	blocks []int // into how many items they are split
	food   []*food
	opens  int // candidate in the opening place, -1 where it is free
	closes int
	time, trials, behaviours, fresh, impact, pieces, energy, extras, runs,
	surplus int
	rests int // breaks between the items
}

// choose finds the set of candidates and their trials.
func (b *builder) choose() *choice {
	s := b.empty()
	if b.foods.none != "" || len(b.cands) == 0 {
		b.plan.Clash = b.clash(&solution{opens: -1, closes: -1}, &model{}, false)
		return s
	}
	few := false
	m, got := b.solveDay(few)
	if none(got.option) {
		few = true
		m, got = b.solveDay(few)
	}
	b.plan.Clash = b.clash(got, m, few)
	s = b.chosen(got)
	b.settleRests(s)
	b.treat(s)
	b.plan.Choice = &Choice{Points: points(got.value), AtMost: points(got.atMost), Exact: got.exact}
	return s
}

// points is a value of the model in points, to three decimals.
func points(value int) float64 { return math.Round(float64(value)/microPoints*1000) / 1000 }

func none(options []option) bool {
	for _, o := range options {
		if o.trials > 0 {
			return false
		}
	}
	return true
}

func (b *builder) empty() *choice {
	s := &choice{n: make([]int, len(b.cands)), blocks: make([]int, len(b.cands)), food: make([]*food, len(b.cands)), opens: -1, closes: -1}
	for i := range s.food {
		s.food[i] = b.foods.usual
	}
	return s
}

// slotted is the candidates that may have a place of the session, best first.
func (b *builder) slotted(p curriculum.Slot) []int {
	var out []int
	for _, finished := range []bool{true, false} {
		for i, c := range b.cands {
			if p.Behaviour != "" && c.name() == p.Behaviour || p.Behaviour == "" && p.Known && c.finished == finished && (finished || c.steady) {
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
	return out
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
		if !b.settleRests(s) || b.within(s) != "" {
			s.food[i] = before
			b.settleRests(s)
		}
	}
	b.recount(s)
}

// fits is the limit that n trials of a candidate would break, or "".
func (b *builder) fits(s *choice, i, n int) string {
	if n > b.cands[i].most {
		return limitEach
	}
	t := *s // the sums are copied, the slices shared and put back
	was, runs := s.n[i], s.blocks[i]
	t.n[i], t.blocks[i] = n, max(runs, b.runs(n))
	b.recount(&t)
	t.n[i], t.blocks[i] = was, runs
	return b.within(&t)
}

// recount adds up the sums anew.
func (b *builder) recount(s *choice) {
	s.time, s.trials, s.behaviours, s.fresh, s.impact, s.pieces, s.energy, s.extras, s.runs, s.surplus = 0, 0, 0, 0, 0, 0, 0, 0, 0, 0
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
		if c.is(curriculum.Impact) {
			s.impact += n
		}
		s.pieces += k.pieces[n]
		s.energy += k.pieces[n] * f.energy
		if f.extra {
			s.extras += k.pieces[n] * f.energy
		}
		s.runs += s.blocks[i]
		s.surplus += n * c.surplus
	}
	if s.runs > 1 {
		s.time += (s.runs - 1) * Changeover
	}
	rest, _, _ := b.restLength()
	s.time += s.rests * rest
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
	case over(s.impact, l.impact):
		return limitImpact
	case over(s.trials, l.trials):
		return limitTrials
	case over(s.time, l.time):
		return limitMinutes
	case over(s.pieces, l.pieces):
		return limitPieces
	case over(s.energy, l.energy):
		return limitKcal
	case over(s.extras, l.extras):
		return limitExtras
	case !b.s.Success.IsZero() && s.surplus > 0:
		return limitSuccess
	}
	return ""
}
