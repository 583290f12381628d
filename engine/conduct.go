package engine

import (
	"errors"
	"math/bits"
	"strings"

	"example.com/rung/curriculum"
)

// How the people work, as far as a log shows it. No rule looks at any of it.

// tooManySpoiled void trials in one session say that something about the session is wrong, not about the dog.
const tooManySpoiled = 3

// Of the newest payLooked trials whose log says whether they were paid, no more than payMost may be misses that were
// paid all the same: 15%. A computer task that students taught found acquisition mostly unharmed up to that share (our
// notes on the literature; the figure is for people, and dogs may be less patient).
const (
	payLooked = 20
	payMost   = 3
)

// paying is which of a dog's newest trials were misses that were paid.
type paying struct {
	bits uint32 // newest lowest
	n    uint8
	told bool // while it goes on
}

// conduct counts a trial by handler and place and watches the session and the pay.
func (f *Fold) conduct(d *dog, st *state, s *session, t *curriculum.Trial, k kind, ln line) {
	h, p := st.handlers.of(t.Handler), st.places.of(t.Place)
	h.trials++
	p.trials++
	if k == void {
		h.spoiled++
		p.spoiled++
		if s.spoiled++; s.spoiled == tooManySpoiled {
			f.report(ln, CodeSpoiledSession, "the third void trial of this session: conditions unsuitable; change the place or the time, or leave it for today")
		}
		return
	}
	if t.Rewarded == curriculum.NotSaid || !evidence.has(k) {
		return
	}
	w := &d.paying
	w.bits <<= 1
	if t.Rewarded == curriculum.Yes && (k == wrong || k == silent) {
		w.bits |= 1
	}
	w.n = min(w.n+1, payLooked)
	n := bits.OnesCount32(w.bits & (1<<payLooked - 1))
	if w.n < payLooked || n <= payMost {
		w.told = false
	} else if !w.told {
		w.told = true
		f.report(ln, CodePaidErrors, "%d of the newest %d trials of %s were misses that were paid; where it is more than 15%%, the dog learns that too: watch the marker", n, payLooked, d.name)
	}
}

func (w *paying) save() string {
	out := make([]byte, w.n)
	for i := range out {
		out[i] = '0' + byte(w.bits>>i&1)
	}
	return string(out)
}

func loadPaying(saved string, told bool) (paying, error) {
	w := paying{n: uint8(len(saved)), told: told}
	if len(saved) > payLooked || strings.Trim(saved, "01") != "" {
		return w, errors.New("a record of pay that does not add up")
	}
	for i := range len(saved) {
		w.bits |= uint32(saved[i]-'0') << i
	}
	return w, nil
}
