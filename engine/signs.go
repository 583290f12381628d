package engine

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// lock is a sign that was seen and is not cleared.
type lock struct {
	sign       string
	written    string // how the log has it, where it was taken for sign
	at         time.Time
	by, note   string
	behaviours []int // none: everything
}

func (l *lock) covers(b int) bool { return len(l.behaviours) == 0 || slices.Contains(l.behaviours, b) }

func (l *lock) named(sign string) bool { return l.sign == sign || l.written == sign }

// SignText is the sign, and how the log has it where it was taken for a declared one.
func (l Lock) SignText() string {
	if l.Written == "" {
		return l.Sign
	}
	return fmt.Sprintf("%s (written %s)", l.Sign, l.Written)
}

// SignText is the sign, and in what it was seen.
func (s StrangeSign) SignText() string {
	if s.Behaviour == "" {
		return s.Sign
	}
	return s.Sign + " in " + s.Behaviour
}

// sign does what the curriculum says of a welfare sign. One that does not say which behaviour it was seen in locks
// everything, since a lock too many costs a question and one too few an animal's welfare. For the same reason a name
// that is not declared is taken for the sign that was probably meant.
func (f *Fold) sign(d *dog, e *curriculum.Event, b *behaviour, ln line) {
	l := lock{sign: e.Sign, at: e.At, by: e.By, note: e.Note}
	s := f.p.signs[e.Sign]
	if s == nil {
		if s = f.meant(e.Sign, ln); s == nil {
			strange := StrangeSign{Sign: e.Sign, At: e.At, By: e.By, Note: e.Note}
			if b != nil {
				strange.Behaviour = b.src.Name
			}
			d.strange = append(d.strange, strange)
			return
		}
		l.sign, l.written = s.Name, e.Sign
	}
	switch s.Locks {
	case curriculum.LockBehaviour:
		if b != nil {
			l.behaviours = []int{b.index}
		}
	case curriculum.LockNamed:
		for _, name := range s.Only {
			if bi, ok := f.p.names[name]; ok {
				l.behaviours = append(l.behaviours, bi)
			}
		}
	case curriculum.EndBehaviour:
		f.end(d, b)
		return
	case curriculum.EndSession:
		f.end(d, nil)
		return
	}
	d.locks = append(d.locks, l)
}

// meant is the declared sign that an undeclared one is taken for, nil for none; either is reported.
func (f *Fold) meant(name string, ln line) *curriculum.Sign {
	s := f.p.meantSign(name)
	if s == nil {
		f.report(ln, CodeUndeclaredSign, "the curriculum declares no sign %q and none like it, so it locks nothing and stands on every plan until a named person clears it; mend its name, or declare it", name)
		return nil
	}
	does := "locks as that does until a named person clears it"
	if stops(s.Locks) >= stops(curriculum.EndSession) {
		does = "ends work as that does"
	}
	f.report(ln, CodeUndeclaredSign, "the curriculum declares no sign %q: it is taken for %q and %s; mend its name, or declare it", name, s.Name, does)
	return s
}

// lettersASlip is the letters of a sign's name for which one more slip is forgiven: less readily than in a hint, since
// sneezing is no bleeding.
const lettersASlip = 7

// meantSign is the declared sign that a name was probably meant for, capitals apart: one that it begins with, a last e
// apart (limping, freezing), or one that is few slips away. Of several the one that stops most comes first, then the
// fewest slips, then the order of the text.
func (p *Program) meantSign(word string) (found *curriculum.Sign) {
	best := 0
	word = strings.ToLower(word)
	signs := p.Curriculum().Signs
	for i := range signs {
		name := strings.ToLower(signs[i].Name)
		n, near := curriculum.Slips(word, name)
		near = near && n <= 1+len(word)/lettersASlip
		if stem := strings.TrimSuffix(name, "e"); len(stem) > 2 && strings.HasPrefix(word, stem) {
			n, near = 0, true
		}
		rank := stops(signs[i].Locks)<<32 + n
		if near && (found == nil || rank < best) {
			found, best = &signs[i], rank
		}
	}
	return found
}

// stops ranks what a sign does, what stops most first.
func stops(e curriculum.SignEffect) int {
	return slices.Index([]curriculum.SignEffect{curriculum.LockEverything, curriculum.LockNamed, curriculum.LockBehaviour, curriculum.EndSession, curriculum.EndBehaviour}, e)
}

// end ends a behaviour for the open session, or the whole session where none is named.
func (f *Fold) end(d *dog, b *behaviour) {
	switch {
	case d.cur == nil || !d.cur.open:
	case b == nil:
		d.cur.ended = true
	default:
		d.cur.work(d.state(b)).stopped = true
	}
}

// clear lifts the locks of a sign, or those on one behaviour. A sign that was taken for a declared one is cleared under
// either name, a strange one under its own.
func (f *Fold) clear(d *dog, e *curriculum.Event, b *behaviour, ln line) {
	before := len(d.locks) + len(d.strange)
	d.locks = slices.DeleteFunc(d.locks, func(l lock) bool {
		return l.named(e.Sign) && (b == nil || slices.Equal(l.behaviours, []int{b.index}))
	})
	d.strange = slices.DeleteFunc(d.strange, func(s StrangeSign) bool {
		return s.Sign == e.Sign && (b == nil || s.Behaviour == b.src.Name)
	})
	var names []string
	for i := range d.locks {
		names = append(names, d.locks[i].sign)
	}
	for i := range d.strange {
		names = append(names, d.strange[i].Sign)
	}
	switch {
	case len(d.locks)+len(d.strange) < before:
	case slices.ContainsFunc(d.locks, func(l lock) bool { return l.named(e.Sign) && l.covers(b.index) }):
		f.report(ln, CodeNothingToClear, "the sign %q locks more than %s, so a clear for %[2]s alone lifts nothing: leave the behaviour out to lift it all", e.Sign, b.src.Name)
	default:
		f.report(ln, CodeNothingToClear, "%s has no lock by the sign %q to clear%s", d.name, e.Sign, near(e.Sign, names))
	}
}

// whileLocked reports a trial of a behaviour that a sign locks, once a session.
func (f *Fold) whileLocked(d *dog, st *state, s *session, ln line) {
	for i := range d.locks {
		if l := &d.locks[i]; l.covers(st.b.index) {
			if w := s.work(st); !w.locked {
				w.locked = true
				f.report(ln, CodeTrainedLocked, "%s was trained though the sign %q locks it and nobody cleared it", st.b.src.Name, l.sign)
			}
			return
		}
	}
}
