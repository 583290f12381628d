package engine

import (
	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// op is what a node of a compiled criterion asks.
type op uint8

const (
	opWindow        op = iota // at least k of the newest n, whole says n are needed
	opBlock                   // at least k of the n of the block that ends now; twice: and of the block before
	opCounted                 // at least k counted
	opAfterTrials             // k evidence trials since entry
	opAfterStep               // k evidence trials since the step was entered
	opAfterSessions           // k sessions since entry, worked and closed
	opAfterDays               // k dates since entry
	opEased                   // k eases out of the level, the one due now included
	opConfidence              // the newest n reach an exact confidence bound
	opSequential              // all since entry reach a bound of a sequential test
	opRepeated                // came true inside each of k groups
	opInside                  // holds inside the present session alone
	opShare                   // k sessions, the one that closes or all, reach a share
	opStatistic               // a statistic of the newest n successes meets its value
	opHolds                   // the condition holds of the present trial
	opNot
	opAnd
	opOr
)

// node is a compiled criterion.
type node struct {
	op     op
	whole  bool
	twice  bool
	track  *track
	k, n   int
	other  *track // of a confidence bound: the helped ones
	table  []int  // of a confidence bound: successes needed of so many trials
	wald   *wald
	stat   *statistic
	bit    int // of opHolds in a rule that waits for a close
	cond   *condition
	div    *division // of opRepeated and opInside
	inARow bool
	kids   []node
	source curriculum.Criterion
}

// condition is a compiled `{ expr }`.
type condition struct {
	prog *expression.Program
	text string
}

// eval reports whether the criterion holds at the present trial of the state.
func (n *node) eval(f *Fold, st *state) bool {
	switch n.op {
	case opWindow:
		if n.whole {
			if t, _ := n.track.filled(st); t < n.n {
				return false
			}
		}
		return n.track.newest(st, n.n, 0) >= n.k
	case opBlock:
		t, now := n.track.filled(st)
		if f.closing {
			now = st.slots[n.track.at+1+n.track.words] == uint64(f.present.Seq)
		}
		if !now || t%n.n != 0 || n.track.newest(st, n.n, 0) < n.k {
			return false
		}
		return !n.twice || t >= 2*n.n && n.track.newest(st, n.n, n.n) >= n.k
	case opCounted:
		return n.track.counted(st) >= n.k
	case opAfterTrials:
		return int(st.trials) >= n.k
	case opAfterStep:
		return int(st.stepTrials) >= n.k
	case opAfterSessions:
		return int(st.closed) >= n.k
	case opAfterDays:
		return st.entered && int(f.day-st.enteredDay) >= n.k
	case opEased:
		return st.eased()+int(b2u(f.easeDue)) >= n.k
	case opConfidence:
		return n.confident(st)
	case opSequential:
		return n.sequential(st)
	case opRepeated:
		return len(n.repeated(st)) >= n.k
	case opInside:
		in := n.div.here(f, st)
		return n.div.is.eval(f, &in)
	case opStatistic:
		return n.statistical(st)
	case opShare:
		return len(n.shared(f, st)) >= n.k
	case opHolds:
		if f.closing {
			return f.present.met(n.bit)
		}
		return f.holds(n.cond)
	case opNot:
		return !n.kids[0].eval(f, st)
	case opAnd:
		for i := range n.kids {
			if !n.kids[i].eval(f, st) {
				return false
			}
		}
		return true
	case opOr:
		return n.which(f, st) >= 0
	}
	return false
}

// which is the first alternative that holds, or -1.
func (n *node) which(f *Fold, st *state) int {
	for i := range n.kids {
		if n.kids[i].eval(f, st) {
			return i
		}
	}
	return -1
}

// reasons appends the trials that make a criterion true that holds.
func (n *node) reasons(out []mark, f *Fold, st *state) []mark {
	switch n.op {
	case opWindow:
		return n.track.reasons(out, st, n.track.newest(st, n.n, 0))
	case opBlock:
		k := n.track.newest(st, n.n, 0)
		if n.twice {
			k += n.track.newest(st, n.n, n.n)
		}
		return n.track.reasons(out, st, k)
	case opCounted:
		return n.track.reasons(out, st, n.k)
	case opConfidence:
		return n.track.reasons(out, st, n.track.newest(st, n.n, 0))
	case opSequential:
		return n.track.reasons(out, st, n.n)
	case opStatistic:
		return n.track.reasons(out, st, n.n)
	case opShare:
		for _, g := range n.shared(f, st) {
			in := g.state(st.b)
			out = n.track.reasons(out, &in, keptReasons)
		}
	case opRepeated:
		for _, g := range n.repeated(st) {
			out = append(out, g.because...)
		}
	case opInside:
		in := n.div.here(f, st)
		return n.div.is.reasons(out, f, &in)
	case opAnd, opOr:
		for i := range n.kids {
			if n.kids[i].eval(f, st) {
				out = n.kids[i].reasons(out, f, st)
			}
		}
	}
	return out
}

// holds evaluates a condition over the present trial.
func (f *Fold) holds(c *condition) bool {
	holds := c.prog.Holds(&f.facts)
	if f.facts.Fault != nil {
		t := f.facts.Trial
		f.broken(line{t.Source, t.Line, t.Dog}, f.facts.Fault)
		f.facts.Fault = nil
	}
	return holds
}

// broken reports, once for each function, that one of the host program panicked.
func (f *Fold) broken(ln line, e *expression.FunctionError) {
	if !f.trying {
		f.once(ln, CodeFunctionBroke, e.Function, "%v; conditions that call it do not hold then", e)
	}
}
