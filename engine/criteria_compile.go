package engine

import (
	"fmt"

	"example.com/rung/curriculum"
)

// criteria compiles the criteria of one stage (or of the stop rules of one behaviour) and gathers their tracks.
type criteria struct {
	c         *compiler
	tracks    []*track
	keys      map[string]*track
	scope     scope  // of what is compiled now
	of        string // tells the tracks of one step's skip rules from another's
	word      curriculum.RuleWord
	faults    []fault
	divisions []*division
	grouped   bool      // inside a group: what counts from entry cannot stand here
	entry     *criteria // of stop rules: where what counts from entry is kept

	negated    bool // under a `not`
	conditions bool // some were compiled
	eases      bool // eases are asked for
}

// fault is what is wrong with a criterion, or what cannot be evaluated yet.
type fault struct {
	code    string
	feature string
	text    string
	next    string // what to do about it
}

func (cs *criteria) fault(code, feature, format string, args ...any) *fault {
	cs.faults = append(cs.faults, fault{code, feature, fmt.Sprintf(format, args...), ""})
	return &cs.faults[len(cs.faults)-1]
}

// fix says what to do about a fault.
func (f *fault) fix(next string) { f.next = next }

func (cs *criteria) compile(c curriculum.Criterion) node {
	if !cs.allowed(c) {
		return node{op: opOr}
	}
	if cs.grouped {
		switch c := c.(type) {
		case curriculum.InSessionCount:
			if cs.scope == sinceEntry {
				return cs.inside(c, func(sub *criteria) node {
					sub.scope = inSession
					defer func() { sub.scope = sinceEntry }()
					return sub.compile(c)
				})
			}
		case curriculum.InSession:
			return cs.inside(c, func(sub *criteria) node { return sub.compile(c.Is) })
		}
	}
	switch c := c.(type) {
	case curriculum.Window:
		return cs.window(c)
	case curriculum.InSessionCount:
		cs.atLeastOne(c, c.N)
		defer cs.narrow()()
		tr := cs.track(counting(c.Count, curriculum.Qualifiers{Where: c.Where}), 0, c.N)
		return node{op: opCounted, track: tr, k: c.N, source: c}
	case curriculum.Done:
		cs.atLeastOne(c, c.N)
		tr := cs.track(trackShape{fills: attempts, counts: attempts, done: true}, 0, c.N)
		return node{op: opCounted, track: tr, k: c.N, source: c}
	case curriculum.InSession:
		defer cs.narrow()()
		return cs.compile(c.Is)
	case curriculum.After:
		return cs.after(c)
	case curriculum.Eased:
		return cs.eased(c)
	case curriculum.FirstTrial:
		return cs.firstTrial(c)
	case curriculum.Holds:
		return node{op: opHolds, cond: cs.condition(c.Expr), source: c}
	case curriculum.Confidence:
		return cs.confidence(c)
	case curriculum.Sequential:
		return cs.sequential(c)
	case curriculum.Not:
		defer func(before bool) { cs.negated = before }(cs.negated)
		cs.negated = true
		return node{op: opNot, kids: []node{cs.compile(c.Is)}, source: c}
	case curriculum.And:
		return node{op: opAnd, kids: cs.all(c, c.All), source: c}
	case curriculum.Or:
		return node{op: opOr, kids: cs.all(c, c.Any), source: c}
	case curriculum.Named:
		return cs.compile(c.Is)
	case nil:
		cs.fault(CodeBroken, "", "a rule without a criterion").fix("give the rule a criterion")
	case curriculum.Repeated:
		return cs.repeated(c)
	case curriculum.Statistic:
		return cs.statistic(c)
	case curriculum.SessionShare:
		return cs.share(c)
	default:
		cs.fault(CodeBroken, fmt.Sprintf("%T", c), "a criterion of the unknown type %T", c).fix("use the types of package curriculum")
	}
	return node{op: opOr}
}

// allowed refuses criteria that cannot stand where this one does: under skip, or in groups.
func (cs *criteria) allowed(c curriculum.Criterion) bool {
	if cs.scope == sinceMove {
		switch c.(type) {
		case curriculum.InSessionCount, curriculum.InSession, curriculum.Holds, curriculum.Eased, curriculum.FirstTrial, curriculum.Repeated,
			curriculum.Statistic, curriculum.SessionShare, curriculum.Confidence, curriculum.Sequential:
			cs.fault(CodeBroken, curriculum.CriterionText(c), "`skip` takes counts of trials only, not %q", curriculum.CriterionText(c)).fix("write a count, such as 3 in a row or 4 of last 5")
			return false
		}
	}
	if cs.grouped {
		switch c.(type) {
		case curriculum.After, curriculum.Eased, curriculum.FirstTrial:
			cs.fault(CodeBroken, curriculum.CriterionText(c), "%q counts from entry and cannot stand inside groups", curriculum.CriterionText(c)).fix("put it beside with and: 4 of last 5 in 3 places and after 20 trials")
			return false
		}
	}
	return true
}

func (cs *criteria) eased(c curriculum.Eased) node {
	cs.atLeastOne(c, c.N)
	if cs.word == curriculum.Ease || cs.scope == inSession {
		cs.fault(CodeBroken, curriculum.CriterionText(c), "%q cannot stand in an ease rule, nor under `in this session`", curriculum.CriterionText(c)).fix("write it in a split, stop or flag rule, or use misses: ease when 3 misses of last 5")
	}
	cs.eases = true
	return node{op: opEased, k: c.N, source: c}
}

// narrow makes what is compiled until the returned function is called look at one session only.
func (cs *criteria) narrow() func() {
	before := cs.scope
	if before == sinceEntry {
		cs.scope = inSession
	}
	return func() { cs.scope = before }
}

func (cs *criteria) all(of curriculum.Criterion, list []curriculum.Criterion) []node {
	if len(list) == 0 {
		cs.fault(CodeBroken, "", "an empty list of criteria in %T", of).fix("give it criteria to join")
	}
	out := make([]node, len(list))
	for i, c := range list {
		out[i] = cs.compile(c)
	}
	return out
}

func (cs *criteria) atLeastOne(c curriculum.Criterion, n int) {
	if n < 1 {
		cs.fault(CodeBroken, curriculum.CriterionText(c), "%q counts to %d, which is not at least 1", curriculum.CriterionText(c), n).fix("count to 1 or more")
	}
}

func (cs *criteria) window(w curriculum.Window) node {
	text := curriculum.CriterionText(w)
	least := 1
	if w.AtMost {
		least = 0
	}
	switch {
	case w.N < 1 || w.K < least || w.K > w.N:
		cs.fault(CodeBroken, text, "%q asks for %d of %d", text, w.K, w.N).fix("ask for no more than the window holds, and for at least 1")
		return node{op: opOr}
	case w.N > maxWindow:
		cs.fault(CodeTooLong, text, "%q looks at %d trials, the limit is %d", text, w.N, maxWindow).fix("take a shorter window")
		return node{op: opOr}
	case w.AtMost && w.Each || w.Twice && !w.Each:
		cs.fault(CodeBroken, text, "%q mixes forms of windows that do not go together", text).fix("write one of: 4 of last 5, 4 of each 5, 3 in a row, at most 1 wrong of last 4")
		return node{op: opOr}
	}
	q := w.Qualify
	if w.Count != curriculum.Successes && (q.EvenHelped || q.Within != nil || q.Holding != nil) || w.Count == curriculum.OptOuts && q.Among != nil {
		cs.fault(CodeBroken, text, "%q tightens what is not a success", text).fix("behind misses and the like write only where and among, behind opt-outs only where")
		return node{op: opOr}
	}
	shape := counting(w.Count, q)
	n := node{op: opWindow, k: w.K, n: w.N, source: w}
	history := w.N
	switch {
	case w.AtMost:
		shape.invert, n.k, n.whole = true, w.N-w.K, true
	case w.Each:
		n.op, n.twice = opBlock, w.Twice
		if w.Twice {
			history *= 2
		}
	}
	n.track = cs.track(shape, history, history)
	n.track.block = n.track.block || w.Each
	return n
}

func (cs *criteria) after(a curriculum.After) node {
	cs.atLeastOne(a, a.N)
	n := node{k: a.N, source: a}
	if cs.scope == sinceMove && (a.Unit != curriculum.AfterTrials || a.AtStep) {
		cs.fault(CodeBroken, curriculum.CriterionText(a), "%q counts from an entry, and a dog that skips to a step has not entered it", curriculum.CriterionText(a)).fix("count trials of the later step: skip when 4 of last 5")
	}
	switch {
	case a.Unit == curriculum.AfterSessions:
		n.op = opAfterSessions
	case a.Unit == curriculum.AfterDays:
		n.op = opAfterDays
	case a.AtStep:
		n.op = opAfterStep
	case cs.scope == sinceMove:
		n.op, n.track = opCounted, cs.track(trackShape{fills: evidence, counts: evidence}, 0, 0)
	default:
		n.op = opAfterTrials
	}
	if cs.scope == inSession {
		cs.fault(CodeBroken, curriculum.CriterionText(a), "%q counts from the level's entry and cannot stand under `in this session`", curriculum.CriterionText(a)).fix("put it beside with and: 3 in a row in this session and after 20 trials")
	}
	return n
}

// firstTrial is a window over the first trials of sessions. A stop rule too looks at all of them since entry.
func (cs *criteria) firstTrial(c curriculum.FirstTrial) node {
	cs.atLeastOne(c, c.N)
	text := curriculum.CriterionText(c)
	switch {
	case c.N > maxWindow:
		cs.fault(CodeTooLong, text, "%q looks at %d sessions, the limit is %d", text, c.N, maxWindow).fix("ask for fewer sessions")
	case cs.scope == inSession:
		cs.fault(CodeBroken, text, "%q cannot stand under `in this session`", text).fix("take in this session away: a cold test is one trial of each session")
	}
	if len(cs.faults) > 0 {
		return node{op: opOr}
	}
	in := cs
	if cs.entry != nil {
		in = cs.entry
	}
	shape := trackShape{fills: evidence, counts: 1 << success, first: true}
	if c.InARow {
		return node{op: opWindow, k: c.N, n: c.N, track: in.track(shape, c.N, c.N), source: c}
	}
	return node{op: opCounted, k: c.N, track: in.track(shape, 0, c.N), source: c}
}
