package engine

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// ending is the newest evidence of a behaviour in a session: the present trial when the session closes.
type ending struct {
	ID    string    `json:"id"`
	At    time.Time `json:"at"`
	Seq   uint32    `json:"n"`
	holds []uint64  // a bit for each condition of the level's closing rules
	Held  []string  `json:"held,omitempty"` // in what is saved: the conditions that held of it
}

// end remembers a trial as the newest evidence of the session.
func (f *Fold) ending(sg *stage, t *curriculum.Trial) ending {
	e := ending{ID: t.ID, At: t.At, Seq: f.seq}
	if len(sg.conds) > 0 {
		e.holds = make([]uint64, (len(sg.conds)+63)/64)
	}
	for i, c := range sg.conds {
		if f.holds(c) {
			e.holds[i/64] |= 1 << (i % 64)
		}
	}
	return e
}

// met reports whether the i-th condition of the level's closing rules held of the trial.
func (e *ending) met(i int) bool { return e.holds[i/64]>>(i%64)&1 != 0 }

// saved is the ending with its conditions by their texts.
func (e ending) saved(sg *stage) *ending {
	for i, c := range sg.conds {
		if e.met(i) {
			e.Held = append(e.Held, c.text)
		}
	}
	return &e
}

// loaded is a saved ending again; false where it names a condition that the level's closing rules do not have.
func (e ending) loaded(sg *stage) (ending, bool) {
	e.holds = make([]uint64, (len(sg.conds)+63)/64)
	for _, text := range e.Held {
		i := slices.IndexFunc(sg.conds, func(c *condition) bool { return c.text == text })
		if i < 0 {
			return e, false
		}
		e.holds[i/64] |= 1 << (i % 64)
	}
	e.Held = nil
	return e, true
}

// atClose looks at the rules that wait for the close, for every behaviour whose present level was worked in the session,
// in the order of their last evidence in it: each look sees what those before it did.
func (f *Fold) atClose(d *dog, s *session) {
	var room [8]int
	due := room[:0]
	for i := range s.worked {
		if st := d.states[s.worked[i].b]; s.worked[i].epoch == st.epoch && st.sg().closes {
			due = append(due, i)
		}
	}
	slices.SortFunc(due, func(a, b int) int { return cmp.Compare(s.worked[a].end.Seq, s.worked[b].end.Seq) })
	day, seq, number, before := f.day, f.seq, f.session, f.present
	f.closing, f.session = true, s.number
	for _, i := range due {
		st := d.states[s.worked[i].b]
		f.present = s.worked[i].end
		t := &curriculum.Trial{ID: f.present.ID, At: f.present.At}
		f.day, f.seq = dayOf(t.At), f.present.Seq
		switch f.stateOf(d, st.b, st, t.At) {
		case curriculum.Kept, curriculum.Working, curriculum.Lapsed, curriculum.Open:
			s.work(st)
			f.rules(d, st, s, t, success)
		}
	}
	f.closing, f.day, f.seq, f.session, f.present = false, day, seq, number, before
}

// lookedAt reports whether a rule is looked at now: at a trial, or at a close.
func (f *Fold) lookedAt(r *rule) bool { return r.closing == f.closing }

// closesFor is the dog as it is once its open session is closed, a copy, where that changes it; else the dog.
func (f *Fold) closesFor(d *dog, over bool) *dog {
	if !f.p.closes || !over || d.cur == nil || !d.cur.open {
		return d
	}
	for _, w := range d.cur.worked {
		if st := d.states[w.b]; w.epoch == st.epoch && st.sg().closes {
			if f.trying { // on a copy already
				f.close(d)
				return d
			}
			c := d.copy()
			f.close(c)
			c.copied = true
			return c
		}
	}
	return d
}

// asOf is the dog as it stands at now, for an answer: a copy where a session is over by then and its close changes it.
func (f *Fold) asOf(d *dog, now time.Time) *dog {
	return f.closesFor(d, d.cur != nil && now.Sub(d.cur.last) >= sessionGap)
}

// goesOn reports whether a trial belongs to the open session.
func (d *dog) goesOn(at time.Time, id string) bool {
	s := d.cur
	return s != nil && s.id == id && (id != "" || s.open && at.Sub(s.last) < sessionGap)
}

// copy is a dog of its own.
func (d *dog) copy() *dog {
	c := *d
	c.met, c.locks, c.strange = slices.Clone(d.met), slices.Clone(d.locks), slices.Clone(d.strange)
	c.states = make([]*state, len(d.states))
	for i, st := range d.states {
		if st != nil {
			c.states[i] = st.copy()
		}
	}
	if d.cur != nil {
		c.cur = d.cur.copy()
	}
	if d.ids != nil {
		c.ids = make(map[string]*session, len(d.ids))
		for id, s := range d.ids {
			if s == d.cur {
				c.ids[id] = c.cur
			} else {
				c.ids[id] = s.copy()
			}
		}
	}
	return &c
}

func (s *session) copy() *session {
	c := *s
	c.worked = slices.Clone(s.worked)
	return &c
}

func (st *state) copy() *state {
	c := *st
	c.slots, c.marks, c.groups = slices.Clone(st.slots), slices.Clone(st.marks), cloneGroups(st.groups)
	c.moves, c.noted, c.reviews = st.moves.copy(), slices.Clone(st.noted), slices.Clone(st.reviews)
	c.trail.ring = slices.Clone(st.trail.ring)
	c.failed = slices.Clone(st.failed)
	c.paces = slices.Clone(st.paces)
	c.handlers.list, c.places.list = slices.Clone(st.handlers.list), slices.Clone(st.places.list)
	return &c
}

// share compiles a whole-session share. Sessions that are too short are passed over.
func (cs *criteria) share(c curriculum.SessionShare) node {
	if c.MinTrials < 1 || c.Share.Den < 1 || c.Share.Num < 1 || c.Share.Num > c.Share.Den || c.N < 0 {
		cs.fault(CodeBroken, "share of a session", "%q asks for a share or a number that is none", curriculum.CriterionText(c)).fix("write for instance: 80% of a session of at least 10 trials")
		return node{op: opOr}
	}
	if c.N > 1 && cs.scope != sinceEntry {
		return cs.inside(c, func(sub *criteria) node { return sub.share(c) })
	}
	var tr *track
	v := cs.divide(curriculum.Sessions, false, func(sub *criteria) node {
		tr = sub.track(counting(curriculum.Successes, c.Qualify), 0, keptReasons)
		return node{op: opOr, track: tr} // never comes true: the share is asked at the close
	})
	if v.is.track != nil {
		tr = v.is.track
	}
	return node{op: opShare, k: max(c.N, 1), n: c.MinTrials, inARow: c.InARow, div: v, track: tr, source: c}
}

// shareOf reports whether a session is long enough for a share, and whether it reaches it.
func (n *node) shareOf(b *behaviour, g *group) (long, met bool) {
	st := g.state(b)
	t, _ := n.track.filled(&st)
	return t > 0 && t >= n.n, n.reaches(n.track.counted(&st), t)
}

// reaches reports whether so many of so many are the share or more.
func (n *node) reaches(counted, of int) bool {
	s := n.source.(curriculum.SessionShare).Share.Rat()
	return s.Denom().Int64()*int64(counted) >= s.Num().Int64()*int64(of)
}

// shared is the sessions that meet the share: the one that closes, or of all since entry those that count.
func (n *node) shared(f *Fold, st *state) (met []*group) {
	groups := st.groups[n.div.index]
	if n.k == 1 {
		if g := find(groups, groupKey{n: int(f.session)}); g != nil {
			if long, ok := n.shareOf(st.b, g); long && ok {
				return []*group{g}
			}
		}
		return nil
	}
	for _, g := range latest(groups) {
		long, ok := n.shareOf(st.b, g)
		switch {
		case long && ok:
			met = append(met, g)
		case long && n.inARow:
			return met
		}
		if len(met) == n.k {
			return met
		}
	}
	return met
}

// conditionsOf gives the conditions in a rule that waits for the close their bits.
func (sg *stage) conditionsOf(n *node) {
	if n.op == opHolds {
		n.bit = slices.IndexFunc(sg.conds, func(c *condition) bool { return c.text == n.cond.text })
		if n.bit < 0 {
			n.bit = len(sg.conds)
			sg.conds = append(sg.conds, n.cond)
		}
	}
	if n.op == opInside {
		sg.conditionsOf(&n.div.is)
	}
	for i := range n.kids {
		sg.conditionsOf(&n.kids[i])
	}
}

// closings settles which rules of a step wait for the close of a session.
func (cp *compiler) closings(b *behaviour, sg *stage, eachSession bool) {
	for _, r := range sg.all {
		moves := r.word == curriculum.Advance || r.word == curriculum.Ease || r.word == curriculum.Split
		r.closing = hasShare(r.src.When) || eachSession && moves
		if r.closing {
			sg.closes, cp.p.closes = true, true
			sg.conditionsOf(&r.when)
		}
	}
}

// leastShare is a number of further trials without which a share cannot be met in enough sessions.
func (s *searcher) leastShare(n *node, st *state) int {
	fresh := max(1, n.n)
	here, came := fresh, 0
	groups := st.groups[n.div.index]
	for i := range groups {
		g := &groups[i]
		long, met := n.shareOf(s.b, g)
		present := g.key.n == int(s.f.session)
		if long && met {
			came++
			continue
		}
		if !present {
			continue
		}
		in := g.state(s.b)
		t, _ := n.track.filled(&in)
		c := n.track.counted(&in)
		for d := 1; d < fresh; d++ {
			if t+d >= n.n && n.reaches(c+d, t+d) {
				here = d
				break
			}
		}
	}
	if n.k == 1 {
		if len(n.shared(s.f, st)) > 0 {
			return 0
		}
		return here
	}
	missing := n.k - came
	if missing <= 0 {
		return 0
	}
	return here + (missing-1)*fresh
}

// closes reports what the close of the session would do to a rule.
func (s *searcher) closes(r *rule, moves, notes int) outcomeOf {
	c := s.d.copy()
	s.f.close(c)
	st := c.states[s.b.index]
	for _, n := range st.noted[notes:] {
		if n.rule == r {
			return fired
		}
	}
	if st.moves.n > moves && st.moves.last() == r {
		return fired
	}
	return nothing
}

// closesNow reports whether the end of the session that is going on fires a rule without a further trial.
func (s *searcher) closesNow(r *rule) bool {
	st := s.put(&s.from)
	return s.d.cur != nil && s.d.cur.open && s.closes(r, st.moves.n, len(st.noted)) == fired
}

// shareKey tells states apart that differ to a whole-session share.
func (s *searcher) shareKey(b *strings.Builder, n *node, st *state) {
	for _, g := range latest(st.groups[n.div.index]) {
		if g.key.n == int(s.f.session) {
			in := g.state(s.b)
			t, _ := n.track.filled(&in)
			fmt.Fprint(b, "now ", t, n.track.counted(&in), " ")
			continue
		}
		if long, met := n.shareOf(s.b, g); long {
			fmt.Fprint(b, met)
		}
	}
}
