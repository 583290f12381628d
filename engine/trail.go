package engine

// trailLength is how many of a behaviour's latest trials are kept for explanations.
const trailLength = 64

// why a trial fed no rule.
type whyNot uint8

const (
	whyFed whyNot = iota
	whyElsewhere
	whyWaiting
	whyPaused
)

// seen is a trial as explanations need it. Bit i of filled and counted belongs to track i: those of the behaviour's stop
// rules, then those of the stage the trial fed. Tracks from 64 on are not explained trial by trial.
type seen struct {
	id      string
	filled  uint64
	counted uint64
	epoch   uint32 // the entry of the level it fed
	sess    uint32
	kind    kind
	why     whyNot
}

func (s *seen) set(track int, filled, counted bool) {
	s.filled |= b2u(filled) << track
	s.counted |= b2u(counted) << track
}

// trail is a ring of the latest trials.
type trail struct {
	ring []seen
	next int // where the next goes
}

func (tr *trail) add(s seen) {
	if len(tr.ring) < trailLength {
		if len(tr.ring) == cap(tr.ring) {
			grown := make([]seen, len(tr.ring), min(trailLength, 16+3*len(tr.ring)))
			copy(grown, tr.ring)
			tr.ring = grown
		}
		tr.ring = append(tr.ring, s)
		return
	}
	tr.ring[tr.next] = s
	tr.next = (tr.next + 1) % trailLength
}

// all lists the trials, oldest first.
func (tr *trail) all() []seen {
	return append(append(make([]seen, 0, len(tr.ring)), tr.ring[tr.next:]...), tr.ring[:tr.next]...)
}
