package naive

import (
	"math/big"

	"example.com/rung/curriculum"
)

// look is what a criterion is looked at over: the lines that count from the start it counts from, the present trial
// and the present session.
type look struct {
	r       *Reader
	d       *dog
	p       *progress
	lines   []*line // none of them void
	present *line
	session *session
	word    curriculum.RuleWord
	easeDue bool
}

// sinceEntry is every trial that fed the present level since it was entered.
func (p *progress) sinceEntry(d *dog) []*line { return p.stay(d, p.visit) }

// stay is every trial that fed the level of one stay.
func (p *progress) stay(d *dog, visit int) []*line {
	var out []*line
	for _, l := range d.lines {
		if l.of == p && l.visit > 0 && l.visit == visit {
			out = append(out, l)
		}
	}
	return out
}

// fedInSession is every trial of the session that fed its level at the time, whatever moves came between.
func (p *progress) fedInSession(d *dog, s *session) []*line {
	var out []*line
	for _, l := range d.lines {
		if l.of == p && l.visit > 0 && l.session == s {
			out = append(out, l)
		}
	}
	return out
}

func only(lines []*line, keep func(*line) bool) []*line {
	var out []*line
	for _, l := range lines {
		if keep(l) {
			out = append(out, l)
		}
	}
	return out
}

func isEvidence(l *line) bool { return l.what.evidence() }

// holds says whether a criterion holds now.
func (k look) holds(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return k.window(c)
	case curriculum.InSessionCount:
		n := 0
		for _, l := range k.inPresentSession().lines {
			if k.counts(l, c.Count, curriculum.Qualifiers{Where: c.Where}) {
				n++
			}
		}
		return n >= c.N
	case curriculum.Done:
		return len(only(k.lines, func(l *line) bool { return l.what != left })) >= c.N
	case curriculum.InSession:
		return k.inPresentSession().holds(c.Is)
	case curriculum.Repeated:
		return k.repeated(c)
	case curriculum.SessionShare:
		return k.share(c)
	case curriculum.FirstTrial:
		return k.firstTrial(c)
	case curriculum.Confidence:
		return k.confidence(c)
	case curriculum.Sequential:
		return k.sequential(c)
	case curriculum.Statistic:
		return k.statistic(c)
	case curriculum.After:
		return k.after(c)
	case curriculum.Eased:
		return k.eased() >= c.N
	case curriculum.Holds:
		return k.expression(c.Expr, k.present)
	case curriculum.Named:
		return k.holds(c.Is)
	case curriculum.Not:
		return !k.holds(c.Is)
	case curriculum.And:
		for _, p := range c.All {
			if !k.holds(p) {
				return false
			}
		}
		return true
	case curriculum.Or:
		for _, p := range c.Any {
			if k.holds(p) {
				return true
			}
		}
		return false
	}
	panic("naive: a criterion without a meaning")
}

func (k look) inPresentSession() look {
	k.lines = only(k.lines, func(l *line) bool { return l.session == k.session })
	return k
}

// counts says whether a trial is one of what is counted.
func (k look) counts(l *line, of curriculum.Counted, q curriculum.Qualifiers) bool {
	ok := false
	switch of {
	case curriculum.Successes:
		ok = l.what == succeeded || q.EvenHelped && l.what == helped
	case curriculum.Misses:
		ok = l.what.miss()
	case curriculum.WrongOnes:
		ok = l.what == didWrong
	case curriculum.Silents:
		ok = l.what == wasSilent
	case curriculum.HelpedOnes:
		ok = l.what == helped
	case curriculum.OptOuts:
		ok = l.what == left
	}
	if ok && q.Within != nil {
		v, recorded := l.t.Measure("latency")
		ok = recorded && exactly(v).Cmp(inUnit(*q.Within, curriculum.Second)) <= 0
	}
	if ok && q.Holding != nil {
		v, recorded := l.t.Measure("duration")
		ok = recorded && exactly(v).Cmp(inUnit(*q.Holding, curriculum.Second)) >= 0
	}
	if ok && q.Where != nil {
		ok = k.expression(q.Where, l)
	}
	return ok
}

// window: k of the last n, blocks and streaks.
func (k look) window(w curriculum.Window) bool {
	filled := only(k.lines, func(l *line) bool {
		in := l.what.evidence() || w.Count == curriculum.OptOuts && l.what == left
		return in && (w.Qualify.Among == nil || k.expression(w.Qualify.Among, l))
	})
	enough := func(lines []*line) bool {
		n := len(only(lines, func(l *line) bool { return k.counts(l, w.Count, w.Qualify) }))
		return w.AtMost && n <= w.K || !w.AtMost && n >= w.K
	}
	t := len(filled)
	switch {
	case w.Each && (t == 0 || t%w.N != 0 || filled[t-1] != k.present):
		return false
	case w.Each && w.Twice:
		return t >= 2*w.N && enough(filled[t-w.N:]) && enough(filled[t-2*w.N:t-w.N])
	case w.Each:
		return enough(filled[t-w.N:])
	case w.AtMost && t < w.N:
		return false
	}
	return enough(filled[max(0, t-w.N):])
}

// repeated: came true inside each of so many different sessions, places, handlers or days.
func (k look) repeated(c curriculum.Repeated) bool {
	var order []any // different ones, by the last evidence in them
	groups := map[any][]*line{}
	for _, l := range k.lines {
		key := groupOf(l, c.Over)
		if key == nil {
			continue
		}
		groups[key] = append(groups[key], l)
		if l.what.evidence() {
			order = append(only2(order, key), key)
		}
	}
	came := func(key any) bool {
		g := groups[key]
		for i := range g {
			then := k
			then.lines, then.present, then.session = g[:i+1], g[i], g[i].session
			if then.holds(c.Is) {
				return true
			}
		}
		return false
	}
	if c.InARow {
		if len(order) < c.N {
			return false
		}
		for _, key := range order[len(order)-c.N:] {
			if !came(key) {
				return false
			}
		}
		return true
	}
	n := 0
	for key := range groups {
		if came(key) {
			n++
		}
	}
	return n >= c.N
}

func only2(keys []any, but any) []any {
	var out []any
	for _, k := range keys {
		if k != but {
			out = append(out, k)
		}
	}
	return out
}

// groupOf is the session, place, handler or day of a trial; nil where it recorded none.
func groupOf(l *line, over curriculum.Over) any {
	switch over {
	case curriculum.Places:
		if l.t.Place == "" {
			return nil
		}
		return l.t.Place
	case curriculum.Handlers:
		if l.t.Handler == "" {
			return nil
		}
		return l.t.Handler
	case curriculum.Days:
		return dayOf(l.t.At)
	}
	return l.session
}

// sessionsWorked is the sessions with evidence since entry, by the last evidence in them.
func (k look) sessionsWorked() []*session {
	var order []*session
	for _, l := range only(k.lines, isEvidence) {
		kept := order[:0:0]
		for _, s := range order {
			if s != l.session {
				kept = append(kept, s)
			}
		}
		order = append(kept, l.session)
	}
	return order
}

// share: a whole-session share, looked at when a session closes. Short sessions are passed over.
func (k look) share(c curriculum.SessionShare) bool {
	of := func(s *session) (long, met bool) {
		lines := only(k.lines, func(l *line) bool { return l.session == s && l.what.evidence() })
		good := len(only(lines, func(l *line) bool { return k.counts(l, curriculum.Successes, c.Qualify) }))
		return len(lines) >= c.MinTrials, big.NewRat(int64(good), int64(max(1, len(lines)))).Cmp(c.Share.Rat()) >= 0
	}
	if c.N <= 1 {
		long, met := of(k.session)
		return long && met
	}
	var mets []bool
	for _, s := range k.sessionsWorked() {
		if long, met := of(s); long && s.closed {
			mets = append(mets, met)
		}
	}
	return enoughOf(mets, c.N, c.InARow)
}

func enoughOf(mets []bool, n int, inARow bool) bool {
	if inARow {
		if len(mets) < n {
			return false
		}
		mets = mets[len(mets)-n:]
	}
	for _, m := range mets {
		if m {
			n--
		}
	}
	return n <= 0
}

// firstTrial: the behaviour's first trial in a session, if it was evidence at this level.
func (k look) firstTrial(c curriculum.FirstTrial) bool {
	seen := map[*session]bool{}
	var mets []bool
	for _, l := range k.d.lines {
		if l.of != k.p || l.what == spoiled || seen[l.session] {
			continue
		}
		seen[l.session] = true
		if l.visit == k.p.visit && l.what.evidence() {
			mets = append(mets, l.what == succeeded)
		}
	}
	return enoughOf(mets, c.N, c.InARow)
}

// after counts from entry.
func (k look) after(c curriculum.After) bool {
	switch {
	case c.Unit == curriculum.AfterDays:
		return dayOf(k.present.t.At)-dayOf(k.p.entered) >= c.N
	case c.Unit == curriculum.AfterSessions:
		n := 0
		for _, s := range k.sinceEntry().sessionsWorked() {
			if s.closed {
				n++
			}
		}
		return n >= c.N
	case c.AtStep:
		n := 0
		for _, l := range k.d.lines {
			if l.of == k.p && l.visit >= k.p.stepVisit && l.what.evidence() && k.word != curriculum.Skip {
				n++
			}
		}
		return n >= c.N
	}
	return len(only(k.sinceEntry().lines, isEvidence)) >= c.N
}

// sinceEntry: `after` counts from entry also where the rule looks at something else.
func (k look) sinceEntry() look {
	if k.word == curriculum.StopToday {
		k.lines = k.p.sinceEntry(k.d)
	}
	return k
}

// eased counts eases out of this level since its last split, the one due now included.
func (k look) eased() int {
	n := 0
	for _, e := range k.p.eases {
		switch {
		case e.out != k.p.at:
		case e.split:
			n = 0
		default:
			n++
		}
	}
	if k.easeDue {
		n++
	}
	return n
}

// hasShare says whether a criterion has a whole-session share in it.
func hasShare(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.SessionShare:
		return true
	case curriculum.Named:
		return hasShare(c.Is)
	case curriculum.Not:
		return hasShare(c.Is)
	case curriculum.InSession:
		return hasShare(c.Is)
	case curriculum.Repeated:
		return hasShare(c.Is)
	case curriculum.And:
		for _, p := range c.All {
			if hasShare(p) {
				return true
			}
		}
	case curriculum.Or:
		for _, p := range c.Any {
			if hasShare(p) {
				return true
			}
		}
	}
	return false
}
