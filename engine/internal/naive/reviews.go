package naive

import (
	"example.com/rung/curriculum"
)

// Review is a cold test of a kept behaviour.
type Review struct {
	Trial  string
	Passed bool
}

// gapDays is a gap between reviews in dates, begun days counted whole.
func gapDays(q curriculum.Quantity) int {
	days := 0
	for ; days < 40000; days++ {
		if curriculum.Q(int64(days), curriculum.Day).Base().Cmp(q.Base()) >= 0 {
			break
		}
	}
	return days
}

// reviews scans all the behaviour was through: the reviews made, and the date on which the next is due, 0 where none is.
func (p *progress) reviews(d *dog) (made []Review, due int) {
	if len(p.b.Review) == 0 {
		return nil, 0
	}
	for visit := 1; visit <= p.visit; visit++ {
		since, ok := p.keptOn[visit]
		if !ok {
			continue
		}
		gap := 0
		due = dayOf(since) + gapDays(p.b.Review[gap])
		for _, l := range d.lines {
			if l.of != p || l.visit != visit || !l.what.evidence() || !d.coldFirst(l) || dayOf(l.t.At) < due {
				continue
			}
			passed := l.what == succeeded
			made = append(made, Review{l.t.ID, passed})
			switch {
			case !passed:
				gap = 0
			case gap+1 < len(p.b.Review):
				gap++
			}
			due = dayOf(l.t.At) + gapDays(p.b.Review[gap])
		}
	}
	if !p.kept {
		due = 0
	}
	return made, due
}

// coldFirst: it is the behaviour's first trial of its session but spoiled ones.
func (d *dog) coldFirst(l *line) bool {
	for _, o := range d.lines {
		if o.of == l.of && o.session == l.session && o.what != spoiled {
			return o == l
		}
	}
	return false
}
