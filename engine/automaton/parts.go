package automaton

import "encoding/binary"

// part is one thing that is kept of a stay: a window, a counter, groups. Its states are short texts, equal exactly where
// nothing that may follow can tell them apart, or nearly so.
type part interface {
	id() string           // its meaning: parts of one id are one part
	start(e Entry) string // its state when the level is entered
	input(c *Case) string // what it sees of a trial: cases with equal inputs are never told apart
	// trial is the state after a trial, and whether what the part stands for holds at it.
	trial(at, in string) (to string, holds bool)
	// edge is the state after an end of session, or a change of date. The end of a session is looked at before.
	edge(at string, e edge) string
	// close is whether it holds when the session ends, its last evidence being the present trial.
	close(at string) bool
}

// edge is a primitive edge.
type edge uint8

const (
	sessionEnd edge = iota
	dateChange
)

// state writes and reads the states of parts.
type state []byte

func (s state) num(n int) state { return binary.AppendVarint(s, int64(n)) }

func (s state) yes(b bool) state {
	if b {
		return append(s, 1)
	}
	return append(s, 0)
}

func (s state) text(t string) state { return append(s.num(len(t)), t...) }

// reading is a state that is being read.
type reading struct{ s string }

func (r *reading) num() int {
	// binary.Varint of a text, without copying it
	n, shift := uint64(0), 0
	for i := range len(r.s) {
		c := r.s[i]
		n |= uint64(c&0x7f) << shift
		if c < 0x80 {
			r.s = r.s[i+1:]
			break
		}
		shift += 7
	}
	return int(n>>1) ^ -int(n&1)
}

func (r *reading) yes() bool {
	b := r.s[0] != 0
	r.s = r.s[1:]
	return b
}

func (r *reading) text() string {
	n := r.num()
	t := r.s[:n]
	r.s = r.s[n:]
	return t
}

func (r *reading) more() bool { return r.s != "" }

// bit writes a yes or no as an input.
func bit(b bool) string {
	if b {
		return "1"
	}
	return "0"
}

// formula joins parts by and, or and not.
type formula struct {
	op   byte // 'p' a part, 'e' eased so often, '&', '|', '!', 'f' never
	part int
	n    int
	kids []formula
}

// holds works a formula out from what its parts say. eased counts the ease that is due.
func (f *formula) holds(parts func(int) bool, eased int) bool {
	switch f.op {
	case 'p':
		return parts(f.part)
	case 'e':
		return eased >= f.n
	case '!':
		return !f.kids[0].holds(parts, eased)
	case '&':
		for i := range f.kids {
			if !f.kids[i].holds(parts, eased) {
				return false
			}
		}
		return true
	case '|':
		for i := range f.kids {
			if f.kids[i].holds(parts, eased) {
				return true
			}
		}
	}
	return false
}
