package engine

import (
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// stand notes where a begun behaviour stands for the doors of others that are met for good.
func (d *dog) stand(st *state) {
	for _, n := range st.b.asks {
		if st.reaches(n) {
			d.met[n.id/64] |= 1 << (n.id % 64)
		}
	}
}

// reaches reports whether the dog stands at the place that a need names, or later.
func (st *state) reaches(n *need) bool {
	switch {
	case st.kept() || n.ord == keptOrd || st.stage != n.stage:
		return st.kept() || n.ord != keptOrd && st.stage > n.stage
	case st.own == nil:
		return st.level >= n.level
	}
	for i, l := range st.levels(st.sg()) {
		if meets(l, n.src.Level) {
			return st.level >= i
		}
	}
	return false
}

// meets reports whether a door is met on a date.
func (f *Fold) meets(d *dog, n *need, day time.Time) bool {
	if n.dog != nil {
		facts := expression.Facts{Dog: d.profile, Day: day}
		holds := n.dog.prog.Holds(&facts)
		if facts.Fault != nil {
			f.broken(line{dog: d.name}, facts.Fault)
		}
		return holds
	}
	if !n.src.Firmly {
		return d.met[n.id/64]>>(n.id%64)&1 != 0
	}
	other := d.states[n.other]
	return other != nil && other.begun && other.reaches(n)
}

// open reports whether all doors are met, or only the firm ones.
func (f *Fold) open(d *dog, b *behaviour, day time.Time, firmOnly bool) bool {
	for i := range b.needs {
		if n := &b.needs[i]; (n.src.Firmly || !firmOnly) && !f.meets(d, n, day) {
			return false
		}
	}
	return true
}

// stateOf is where a behaviour stands with a dog; st may be nil.
func (f *Fold) stateOf(d *dog, b *behaviour, st *state, day time.Time) curriculum.State {
	begun := st != nil && st.begun
	switch {
	case begun && st.kept():
		return curriculum.Kept
	case !begun && !f.open(d, b, day, false):
		return curriculum.Waiting
	case !begun:
		return curriculum.Open
	case b.firm && !f.open(d, b, day, true):
		return curriculum.Paused
	case st.lapsed:
		return curriculum.Lapsed
	}
	return curriculum.Working
}

// missing lists the doors that are not met, in words.
func (f *Fold) missing(d *dog, b *behaviour, begun bool, day time.Time) []string {
	var out []string
	for i := range b.needs {
		n := &b.needs[i]
		if begun && !n.src.Firmly || f.meets(d, n, day) {
			continue
		}
		switch {
		case n.dog != nil:
			out = append(out, dogDoor(n.dog.text, d.profile, day))
		case n.ord == keptOrd:
			out = append(out, n.src.Other+" kept")
		default:
			text := n.src.Other + " at " + n.src.Step
			if len(n.src.Level) > 0 {
				text += " " + n.src.Level.String()
			}
			out = append(out, text)
		}
	}
	return out
}
