package engine

import (
	"math/bits"

	"example.com/rung/curriculum"
)

// kind is what a trial is to the rules of its level.
type kind uint8

const (
	success kind = iota
	helped
	wrong
	silent
	optOut
	early // help before any chance: no evidence
	void
)

// kinds is a set of kinds, one bit each.
type kinds uint8

func (s kinds) has(k kind) bool { return s>>k&1 != 0 }

const (
	misses   = kinds(1<<helped | 1<<wrong | 1<<silent)
	evidence = kinds(1<<success) | misses
	attempts = evidence | 1<<early // what `done` counts
)

// scope says when a track begins anew.
type scope uint8

const (
	sinceEntry   scope = iota // at every move
	inSession                 // at every move and at every new session
	wholeSession              // at every new session, whatever moves came between: what `stop today` looks at
	sinceMove                 // at every move; fed by trials at a later step's first level: what `skip` looks at
)

// track is the history of one condition, shared by all windows over it: a bit for each trial that fills it (the newest
// lowest), how many filled it and how many counted, and the ids of those that counted last. Its numbers live in the
// slots of a behaviour's state, from slots[at]: one word of counters, then the history; its ids from marks[ids].
type track struct {
	key     string // its meaning; no two of a stage share one
	fills   kinds
	counts  kinds
	invert  bool   // a bit is set where the trial does not count: "at most k" is "at least n-k of the others"
	block   bool   // behind its history stands which trial filled it last
	measure string // keeps this measure of each instead of a bit, newest at (counted-1) mod words
	first   bool   // filled only by the behaviour's first trial in a session
	among   *condition
	where   *condition
	within  *float64 // latency at most, s
	hold    *float64 // duration at least, s

	scope scope
	at    int // of its first slot
	words int // of history
	ids   int // of its first mark
	keep  int // marks kept

	source trackSource
}

// trackSource is what the track was made from, in the curriculum's terms, for explanations.
type trackSource struct {
	count   curriculum.Counted
	qualify curriculum.Qualifiers
	done    bool
}

// mark is a trial in a ring of reasons: seq orders the trials of a dog.
type mark struct {
	id  string
	seq uint32
}

// The counter word: trials that filled the track in the low 31 bits, whether the present trial is one of them in bit
// 31, trials that counted in the high 32.
const (
	filledMask = 1<<31 - 1
	justFilled = 1 << 31
	oneCounted = 1 << 32
)

// tighten reports whether a trial of a counting kind meets the track's qualifiers.
func (tr *track) tighten(f *Fold, t *curriculum.Trial) bool {
	if tr.within != nil {
		if v, ok := t.Measure("latency"); !ok || v > *tr.within {
			return false
		}
	}
	if tr.hold != nil {
		if v, ok := t.Measure("duration"); !ok || v < *tr.hold {
			return false
		}
	}
	return tr.where == nil || f.holds(tr.where)
}

// take shows the track the present trial. It reports whether the trial filled it, and whether it counted.
func (tr *track) take(f *Fold, st *state, t *curriculum.Trial, k kind) (filled, counted bool) {
	slots := st.slots[tr.at : tr.at+1+tr.words]
	c := slots[0] &^ justFilled
	if !tr.fills.has(k) || tr.first && !f.first || tr.among != nil && !f.holds(tr.among) {
		slots[0] = c
		return false, false
	}
	counted = tr.counts.has(k) && (tr.within == nil && tr.hold == nil && tr.where == nil || tr.tighten(f, t))
	bit := counted != tr.invert
	c = (c + 1) | justFilled
	if bit {
		if tr.keep > 0 {
			st.marks[tr.ids+int(c>>32)%tr.keep] = mark{t.ID, f.seq}
		}
		c += oneCounted
	}
	slots[0] = c
	if tr.block {
		st.slots[tr.at+1+tr.words] = uint64(f.seq)
	}
	if tr.measure != "" {
		tr.keepMeasure(slots, int(c>>32)-1, t)
		return true, counted
	}
	if tr.words == 1 {
		slots[1] = slots[1]<<1 | b2u(bit)
		return true, counted
	}
	carry := b2u(bit)
	for i := 1; i < len(slots); i++ {
		slots[i], carry = slots[i]<<1|carry, slots[i]>>63
	}
	return true, counted
}

func b2u(b bool) uint64 {
	if b {
		return 1
	}
	return 0
}

// filled is how many trials have filled the track since it began; now says whether the present one did.
func (tr *track) filled(st *state) (n int, now bool) {
	c := st.slots[tr.at]
	return int(c & filledMask), c&justFilled != 0
}

// counted is how many trials have counted since the track began.
func (tr *track) counted(st *state) int { return int(st.slots[tr.at] >> 32) }

// among is how many of the newest n trials but skip counted.
func (tr *track) newest(st *state, n, skip int) int {
	if tr.words == 1 {
		h := st.slots[tr.at+1] >> skip
		return bits.OnesCount64(h & (^uint64(0) >> (64 - n)))
	}
	sum := 0
	for i := range tr.words {
		from, to := max(skip-64*i, 0), min(skip+n-64*i, 64)
		if from < to {
			sum += bits.OnesCount64(st.slots[tr.at+1+i] >> from & (^uint64(0) >> (64 - (to - from))))
		}
	}
	return sum
}

// ids appends the marks of the newest n trials that counted to out.
func (tr *track) reasons(out []mark, st *state, n int) []mark {
	c := tr.counted(st)
	n = min(n, c, tr.keep)
	for i := c - n; i < c; i++ {
		out = append(out, st.marks[tr.ids+i%tr.keep])
	}
	return out
}

// size is how many slots the track takes.
func (tr *track) size() int { return 1 + tr.words + int(b2u(tr.block)) }
