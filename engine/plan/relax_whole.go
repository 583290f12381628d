package plan

import (
	"slices"

	"example.com/rung/curriculum"
)

// easeBudget bounds the search for one easing of a limit: that the places can be filled shows early.
const easeBudget = 10_000

// work reports whether a candidate of this day is in for more than an opening or a closing.
func (b *builder) work(in func(i int) bool) bool {
	for i, c := range b.cands {
		if !c.placeOnly() && in(i) {
			return true
		}
	}
	return false
}

func (got *solution) in(i int) bool { return got.option[i].trials > 0 }

func always(int) bool { return true }

// verdict is the answer to a question that a search may leave open.
type verdict int

const (
	no verdict = iota
	yes
	open
)

// whole is whether a session of this day would be whole: with work in it, where this day as it is or so eased has work,
// and with a place filled, where somebody could have it on this day as it is.
func (b *builder) whole(d *terms) verdict {
	t := &builder{c: b.c, v: b.v, r: d.r, s: &d.s, plan: &Plan{Dog: b.plan.Dog}, today: b.today}
	t.setLimits()
	t.stock()
	t.gate()
	if t.foods.none != "" || len(t.cands) == 0 {
		return no
	}
	m := t.restedModel(false)
	lost := func(p, was curriculum.Slot, may []int) bool {
		return !p.IsZero() && len(may) == 0 && len(b.slotted(was)) > 0
	}
	if lost(d.s.OpensWith, b.s.OpensWith, m.opens) || lost(d.s.ClosesWith, b.s.ClosesWith, m.closes) {
		return no
	}
	v := m.reaches(m.askWhole(t, b.work(always) || t.work(always)))
	b.unsure = b.unsure || v == open
	return v
}

// askWhole makes the model ask for a whole session alone, whatever it brings beside, and says what one is worth at least.
func (m *model) askWhole(b *builder, work bool) (least int) {
	alone := len(m.items) == 1
	if alone { // it has every place that it may have, so none of them counts
		m.items[0].placeOnly = m.items[0].placeOnly && len(m.opens)+len(m.closes) == 0
		m.opens, m.closes = nil, nil
	}
	for i := range m.items {
		counts := !work && alone || !b.cands[i].placeOnly()
		for _, options := range [][]option{m.items[i].options, m.items[i].both} {
			for k := range options {
				options[k].value = 0
				if counts && options[k].trials > 0 {
					options[k].value = microPoints
				}
			}
		}
	}
	for i := range m.pairs {
		m.pairs[i].value = 0
	}
	if work || alone {
		least = microPoints
	}
	for _, may := range [][]int{m.opens, m.closes} {
		if len(may) > 0 {
			least += placeValue
		}
	}
	return max(least, 1)
}

// reaches is whether a solution is worth so much. The last question of a model is put only if there is one without it.
func (m *model) reaches(value int) verdict {
	accepts := m.accepts
	m.accepts = nil
	got := m.solveBetween(easeBudget, value-1, value)
	m.accepts = accepts
	if !none(got.option) && accepts != nil && !accepts(got) {
		got = m.solveBetween(easeBudget, value-1, value)
	}
	switch {
	case !none(got.option):
		return yes
	case got.exact:
		return no
	}
	return open
}

// empties is the places of a solution that are empty though somebody could have them.
func (m *model) empties(got *solution) (out []string) {
	if got.opens < 0 && len(m.opens) > 0 {
		out = append(out, "the opening")
	}
	if got.closes < 0 && len(m.closes) > 0 {
		out = append(out, "the closing")
	}
	return out
}

// alone reports whether one run of a behaviour that may have every place asked for is the whole session.
func (m *model) alone(got *solution) bool {
	at, blocks := -1, 0
	for i, o := range got.option {
		if o.blocks > 0 {
			at, blocks = i, blocks+o.blocks
		}
	}
	may := func(list []int) bool { return len(list) == 0 || slices.Contains(list, at) }
	return blocks == 1 && may(m.opens) && may(m.closes)
}
