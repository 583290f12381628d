package naive

import (
	"time"

	"example.com/rung/curriculum"
)

// state of a behaviour on a date.
func (p *progress) state(r *Reader, d *dog, on time.Time) curriculum.State {
	switch {
	case p.kept:
		return curriculum.Kept
	case p.begun && !r.needsMet(d, p, true, on):
		return curriculum.Paused
	case p.lapsed:
		return curriculum.Lapsed
	case p.begun:
		return curriculum.Working
	case !r.needsMet(d, p, false, on):
		return curriculum.Waiting
	}
	return curriculum.Open
}

// needsMet looks at all doors, or at the firm ones alone.
func (r *Reader) needsMet(d *dog, p *progress, firmOnly bool, on time.Time) bool {
	for _, n := range p.b.Needs {
		if firmOnly && !n.Firmly {
			continue
		}
		if !r.needMet(d, n, on) {
			return false
		}
	}
	return true
}

func (r *Reader) needMet(d *dog, n curriculum.Need, on time.Time) bool {
	if n.Dog != nil {
		return d.profile != nil && evaluate(n.Dog.Text, facts{dog: d.profile, day: on})
	}
	other := d.of(r.c.Behaviour(n.Other))
	if n.Step == "" {
		return other.kept || !n.Firmly && other.everKept
	}
	if other.kept || !n.Firmly && other.everKept {
		return true
	}
	asked := place{step: other.b.Step(n.Step)}
	for _, g := range other.steps[asked.step] {
		if g.level.Meets(n.Level) {
			asked.rung = g
			break
		}
	}
	if n.Firmly {
		return other.begun && !other.before(place{other.step, other.at}, asked)
	}
	for _, s := range other.stood {
		if !other.before(s, asked) {
			return true
		}
	}
	return false
}

// before says whether a comes earlier than b on the way up.
func (p *progress) before(a, b place) bool {
	if a.step != b.step {
		return a.step < b.step
	}
	return p.index(a.step, a.rung) < p.index(b.step, b.rung)
}

func (p *progress) index(step int, g *rung) int {
	for i, h := range p.steps[step] {
		if h == g {
			return i
		}
	}
	return -1
}

// begin: a behaviour has begun with its first evidence or move.
func (p *progress) begin() {
	p.begun = true
	p.stood = append(p.stood, place{p.step, p.at})
}
