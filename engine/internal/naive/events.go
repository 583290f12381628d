package naive

import (
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// Lock is a sign that was seen and not cleared. No behaviours means all. Written is the undeclared name that was taken
// for it. A strange one, which nothing declares, locks nothing; its behaviour is where it was seen.
type Lock struct {
	Strange    bool
	Sign       string
	Written    string
	At         time.Time
	By, Note   string
	Behaviours []string
}

func (r *Reader) signSeen(d *dog, e curriculum.Event) {
	l := Lock{Sign: e.Sign, At: e.At, By: e.By, Note: e.Note}
	var s *curriculum.Sign
	if i := slices.IndexFunc(r.c.Signs, func(s curriculum.Sign) bool { return s.Name == e.Sign }); i >= 0 {
		s = &r.c.Signs[i]
	} else {
		r.report(UnknownSign, e.Line)
		if s = r.meant(e.Sign); s == nil {
			l.Strange = true
			if e.Behaviour != "" {
				l.Behaviours = []string{r.c.Behaviour(e.Behaviour).Name}
			}
			d.locks = append(d.locks, l)
			return
		}
		l.Sign, l.Written = s.Name, e.Sign
	}
	switch s.Locks {
	case curriculum.LockEverything:
	case curriculum.LockBehaviour:
		if e.Behaviour != "" {
			l.Behaviours = []string{r.c.Behaviour(e.Behaviour).Name}
		}
	case curriculum.LockNamed:
		l.Behaviours = s.Only
	default:
		return // ends work for the session, locks nothing
	}
	d.locks = append(d.locks, l)
}

// signCleared: a clear that names a behaviour lifts the lock of that behaviour alone. Both names of a sign will do.
func (r *Reader) signCleared(d *dog, e curriculum.Event) {
	d.locks = slices.DeleteFunc(d.locks, func(l Lock) bool {
		alone := e.Behaviour != "" && len(l.Behaviours) == 1 && l.Behaviours[0] == r.c.Behaviour(e.Behaviour).Name
		return (l.Sign == e.Sign || l.Written == e.Sign) && (e.Behaviour == "" || alone)
	})
}

// moveByHand may be made in any state, begins the behaviour and ends kept.
func (r *Reader) moveByHand(d *dog, p *progress, e curriculum.Event) {
	at := e.At
	m := Move{Rule: "hand", From: p.place(), By: e.By, At: &at}
	if e.Kept {
		p.keep()
	} else {
		p.kept = false
		step := p.b.Step(e.Step)
		to := p.steps[step][0]
		if len(e.Level) > 0 {
			for _, g := range p.steps[step] {
				if g.level.Meets(e.Level) {
					to = g
					break
				}
			}
		}
		p.goTo(step, to)
	}
	p.enter(e.At)
	if d.present != nil && !d.present.closed {
		p.byHand = append(p.byHand, handMove{d.present, len(d.lines)})
	}
	m.To = p.place()
	p.moves = append(p.moves, m)
}
