package engine

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// searchBudget is how many states a search for the shortest continuation looks at: some tens of milliseconds.
const searchBudget = 20_000

// longestRun is how many trials of one sort in a row are tried.
const longestRun = 2_000

// NextTrial is one trial of a continuation: a tally mark (+ - 0 h e o!) and what must be recorded with it.
type NextTrial struct {
	Mark       string             `json:"mark"`
	NewSession bool               `json:"new_session,omitempty"` // it begins one
	NextDay    bool               `json:"next_day,omitempty"`    // on the next date
	Place      string             `json:"place,omitempty"`
	Handler    string             `json:"handler,omitempty"`
	Measures   map[string]float64 `json:"measures,omitempty"`
	Rewarded   *bool              `json:"rewarded,omitempty"`
	Step       string             `json:"step,omitempty"`  // it is run at the first level of this later step
	Level      map[string]string  `json:"level,omitempty"` // with Step: that level
	With       string             `json:"with,omitempty"`  // the recorded facts in words: "latency 2 s, place lane"
}

// letter is a sort of trial that the rules of a level can tell from others.
type letter struct {
	trial curriculum.Trial
	next  NextTrial
	later time.Duration // since the trial before
}

var searchKinds = []struct {
	mark    string
	kind    kind
	outcome curriculum.Outcome
	help    []string
	early   bool
}{
	{"+", success, curriculum.Success, nil, false},
	{"-", wrong, curriculum.Wrong, nil, false},
	{"0", silent, curriculum.Silent, nil, false},
	{"h", helped, curriculum.Success, []string{curriculum.UnnamedHelp}, false},
	{"e", early, curriculum.Success, []string{curriculum.UnnamedHelp}, true},
	{"o!", optOut, curriculum.OptOut, nil, false},
}

// searcher looks for continuations of one dog's history of one behaviour, on copies.
type searcher struct {
	f       *Fold // holds only the dog's copy
	d       *dog
	b       *behaviour
	stage   *stage
	from    snapshot
	letters []letter
	nodes   []*node // the criteria of all rules of the stage
	budget  int
}

// snapshot is what a further trial of the behaviour can change.
type snapshot struct {
	st  state
	cur session
	at  time.Time
	met []uint64
}

// newSearcher copies the dog as it stands.
func (f *Fold) newSearcher(d *dog, b *behaviour) *searcher {
	copied := &dog{name: d.name, profile: d.profile, known: true, lines: true, at: d.at, seq: d.seq, sessions: d.sessions}
	copied.states = slices.Clone(d.states)
	s := &searcher{d: copied, b: b, stage: d.states[b.index].sg(), budget: searchBudget}
	s.f = &Fold{p: f.p, dogs: map[string]*dog{d.name: copied}, now: d.at, told: map[string]bool{}, texts: map[string]string{}, trying: true}
	st := *d.states[b.index]
	st.moves, st.noted = moves{}, nil
	st.marks, st.groups = slices.Clone(st.marks), cloneGroups(st.groups)
	st.trail = trail{ring: make([]seen, trailLength)}
	s.from = snapshot{st: st, at: d.at, met: slices.Clone(d.met)}
	if d.cur != nil {
		s.from.cur = *d.cur
		for _, w := range d.cur.worked { // a session that closes writes in all it worked
			if w.b != b.index && copied.states[w.b] != nil {
				copied.states[w.b] = copied.states[w.b].copy()
			}
		}
	}
	for _, r := range s.stage.all {
		s.nodes = append(s.nodes, &r.when)
	}
	s.letters = s.alphabet()
	return s
}

// leaping is a searcher for the skip rules of a later step: its trials name that step and its first level.
func (s *searcher) leaping(to *stage) *searcher {
	out := *s
	out.stage = &stage{index: to.index, step: to.step, tracks: to.skipTracks}
	out.nodes = nil
	for _, r := range to.skip {
		out.nodes = append(out.nodes, &r.when)
	}
	first := s.from.st.levels(to)[0]
	out.letters = out.alphabet()
	for i := range out.letters {
		l := &out.letters[i]
		l.trial.Step = to.step.Name
		for _, v := range first.values.Values {
			l.trial.Level = append(l.trial.Level, v)
		}
		l.next.Step, l.next.Level = to.step.Name, first.values.Texts()
	}
	return &out
}

// put sets the searcher's fold to a snapshot, copying what trials change in place. Marks and trail are scratch.
func (s *searcher) put(from *snapshot) *state {
	st := from.st
	st.slots, st.groups = slices.Clone(from.st.slots), cloneGroups(from.st.groups)
	s.d.states[s.b.index] = &st
	cur := from.cur
	cur.worked = slices.Clone(cur.worked)
	s.d.cur = &cur
	if cur.number == 0 {
		s.d.cur = nil
	}
	s.f.session = 0
	if cur.open {
		s.f.session = cur.number
	}
	s.d.at, s.d.met = from.at, slices.Clone(from.met)
	s.d.ids = map[string]*session{}
	s.f.reports = nil
	return &st
}

func (s *searcher) get(st *state) snapshot {
	return snapshot{st: *st, cur: *s.d.cur, at: s.d.at, met: s.d.met}
}

// outcomeOf is what a trial did to the rule that is looked for.
type outcomeOf uint8

const (
	nothing outcomeOf = iota
	fired
	elsewhere // another rule moved the dog
)

// play takes one more trial.
func (s *searcher) play(st *state, l *letter, r *rule) outcomeOf {
	t := l.trial
	t.Dog, t.Behaviour = s.d.name, s.b.src.Name
	t.At = s.d.at.Add(20*time.Second + l.later)
	t.ID = "next"
	if s.d.cur != nil && s.d.cur.open && l.later == 0 {
		t.Session = s.d.cur.id
	}
	moves, notes := st.moves.n, len(st.noted)
	if err := s.f.Record(&t); err != nil {
		return elsewhere
	}
	for _, n := range st.noted[notes:] {
		if n.rule == r {
			return fired
		}
	}
	if st.moves.n > moves {
		if st.moves.last() == r {
			return fired
		}
		return elsewhere
	}
	if r.closing && s.least(&r.when, st) == 0 {
		return s.closes(r, moves, notes)
	}
	return nothing
}

// shortest is the shortest run of trials that fires the rule, or nil where none was found; proved says that no
// shorter one exists.
func (s *searcher) shortest(r *rule) (run []NextTrial, proved bool) {
	if r.closing && s.closesNow(r) {
		return []NextTrial{}, true
	}
	if s.least(&r.when, &s.from.st) > longestRun {
		return nil, false
	}
	var best []int
	divided := len(s.stage.divisions)+len(s.b.stopDivisions) > 0
	if divided {
		best = s.greedy(r)
	}
	if best == nil || s.least(&r.when, &s.from.st) < len(best) {
		best = s.runs(r, best)
	}
	limit := longestRun
	if best != nil {
		limit = len(best)
	}
	if best != nil && s.least(&r.when, &s.from.st) >= limit {
		return s.written(best), true
	}
	type found struct {
		snap   snapshot
		parent int
		letter int
		depth  int
	}
	// a mean has no end of values that would bring it about sooner; a few are tried
	exact := true
	s.each(func(n *node) { exact = exact && (n.op != opStatistic || n.stat.stat != curriculum.Mean) })
	queue := []found{{snap: s.from, parent: -1}}
	seenKeys := map[string]bool{s.key(&s.from.st): true}
	left := s.budget
	if divided {
		left /= 5 // groups cost more to copy, and greedy has mostly found the run
	}
	for at := 0; at < len(queue); at++ {
		depth := queue[at].depth + 1
		if depth >= limit {
			break
		}
		for li := range s.letters {
			if left--; left < 0 {
				return s.written(best), false
			}
			st := s.put(&queue[at].snap)
			switch s.play(st, &s.letters[li], r) {
			case fired:
				best = []int{li}
				for i := at; queue[i].parent >= 0; i = queue[i].parent {
					best = append(best, queue[i].letter)
				}
				slices.Reverse(best)
				return s.written(best), exact
			case nothing:
				if depth+s.least(&r.when, st) >= limit {
					continue
				}
				if k := s.key(st); !seenKeys[k] {
					seenKeys[k] = true
					queue = append(queue, found{s.get(st), at, li, depth})
				}
			}
		}
		queue[at].snap = snapshot{}
	}
	return s.written(best), exact
}

// runs is the shortest that fires the rule among best, runs of one letter and runs of two in turn.
func (s *searcher) runs(r *rule, best []int) []int {
	try := func(pattern ...int) {
		st := s.put(&s.from)
		limit := longestRun
		if best != nil {
			limit = len(best) - 1
		}
		for i := range limit {
			switch s.play(st, &s.letters[pattern[i%len(pattern)]], r) {
			case fired:
				best = make([]int, i+1)
				for j := range best {
					best[j] = pattern[j%len(pattern)]
				}
				return
			case elsewhere:
				return
			}
			if len(pattern) == 1 && i > s.farthest() {
				return
			}
		}
	}
	for a := range s.letters {
		try(a)
	}
	if best == nil && len(s.letters) <= 12 {
		for a := range s.letters {
			for b := range s.letters {
				if a != b {
					try(a, b)
				}
			}
		}
	}
	return best
}

// farthest is a number of trials after which a run of one letter changes nothing any more.
func (s *searcher) farthest() int {
	far := 0
	s.each(func(n *node) { far = max(far, n.n*3, n.k) })
	return far + 2 + 2*s.stage.decide
}

func (s *searcher) each(do func(*node)) {
	var walk func(*node)
	walk = func(n *node) {
		do(n)
		if n.div != nil {
			walk(&n.div.is)
		}
		for i := range n.kids {
			walk(&n.kids[i])
		}
	}
	for _, n := range s.nodes {
		walk(n)
	}
}

// least is a number of further trials without which the criterion cannot hold.
func (s *searcher) least(n *node, st *state) int {
	switch n.op {
	case opWindow:
		d := 0
		for d < n.k && d+n.track.newest(st, n.n-d, 0) < n.k {
			d++
		}
		if t, _ := n.track.filled(st); n.whole {
			d = max(d, n.n-t)
		}
		return d
	case opBlock:
		t, _ := n.track.filled(st)
		return n.n - t%n.n
	case opCounted:
		return n.k - n.track.counted(st)
	case opAfterTrials:
		return n.k - int(st.trials)
	case opAfterStep:
		return n.k - int(st.stepTrials)
	case opStatistic:
		if d := n.n - n.track.counted(st); d > 0 {
			return d
		}
		return int(1 - b2u(n.statistical(st)))
	case opShare:
		return s.leastShare(n, st)
	case opRepeated:
		return s.leastRepeated(n, st)
	case opInside:
		in := n.div.here(s.f, st)
		return s.least(&n.div.is, &in)
	case opAnd:
		most := 0
		for i := range n.kids {
			most = max(most, s.least(&n.kids[i], st))
		}
		return most
	case opOr:
		few := longestRun
		for i := range n.kids {
			few = min(few, s.least(&n.kids[i], st))
		}
		return few
	}
	return 0
}

// key tells states apart that differ to some rule.
func (s *searcher) key(st *state) string {
	var b strings.Builder
	for _, n := range s.nodes {
		s.nodeKey(&b, n, st)
	}
	if d := s.stage.decide; d > 0 {
		b.WriteString(strconv.Itoa(int(st.trials)%d) + " ")
	}
	if at := s.d.cur; at != nil && st.sess == at.number && at.worked[st.work].tried {
		b.WriteByte('t')
	}
	for _, w := range st.slots[:(s.b.stopRules+63)/64] {
		b.WriteString(strconv.FormatUint(w, 36) + " ")
	}
	for _, w := range st.slots[s.stage.flags : s.stage.flags+s.stage.flagWords] {
		b.WriteString(strconv.FormatUint(w, 36) + " ")
	}
	return b.String()
}

// nodeKey tells states apart that differ to one criterion.
func (s *searcher) nodeKey(b *strings.Builder, n *node, st *state) {
	put := func(n int) { b.WriteString(strconv.Itoa(n)); b.WriteByte(' ') }
	switch n.op {
	case opShare:
		s.shareKey(b, n, st)
	case opRepeated, opInside:
		s.groupsKey(b, n, st)
	case opWindow, opBlock:
		t, _ := n.track.filled(st)
		long := n.n
		switch {
		case n.twice:
			put(min(t, 2*n.n))
			put(t % n.n)
			long *= 2
		case n.op == opBlock:
			put(t % n.n)
		case n.whole:
			put(min(t, n.n))
		}
		for i := 0; i < long; i += 64 {
			w := st.slots[n.track.at+1+i/64]
			if rest := long - i; rest < 64 {
				w &= 1<<rest - 1
			}
			b.WriteString(strconv.FormatUint(w, 36))
			b.WriteByte(' ')
		}
	case opCounted:
		put(min(n.track.counted(st), n.k))
	case opAfterTrials:
		put(min(int(st.trials), n.k))
	case opAfterStep:
		put(min(int(st.stepTrials), n.k))
	case opAfterSessions:
		put(min(int(st.closed), n.k))
		put(int(st.sessions - st.closed))
	case opAfterDays:
		put(min(s.f.day-st.enteredDay, n.k))
	case opConfidence:
		t, _ := n.track.filled(st)
		put(min(t, n.n))
		for i := range min(t, n.n) {
			put(n.track.newest(st, 1, i)*2 + n.other.newest(st, 1, i))
		}
	case opStatistic:
		for i := range min(n.track.counted(st), n.n) {
			b.WriteString(strconv.FormatFloat(n.track.measureAt(st, i), 'g', -1, 64) + " ")
		}
	case opSequential:
		t, _ := n.track.filled(st)
		put(t)
		put(n.track.counted(st))
	case opEased:
		put(st.eased())
	}
	for i := range n.kids {
		s.nodeKey(b, &n.kids[i], st)
	}
}

// alphabet is one trial, the plainest, of every sort that the rules of the level can tell apart.
func (s *searcher) alphabet() []letter {
	var out []letter
	sorts := map[string]bool{}
	sessions, days := false, false
	s.each(func(n *node) {
		sessions = sessions || s.stage.closes || n.op == opAfterSessions || n.track != nil && n.track.first || n.op == opRepeated && n.div.over == curriculum.Sessions
		days = days || n.op == opAfterDays || n.op == opRepeated && n.div.over == curriculum.Days
	})
	for _, detail := range s.details() {
		for _, k := range searchKinds {
			l := detail
			l.trial.Outcome, l.trial.Help, l.trial.Early = k.outcome, k.help, k.early
			l.next.Mark = k.mark
			sort := s.sortOf(&l.trial, k.kind)
			if sort == "" || sorts[sort] {
				continue
			}
			sorts[sort] = true
			out = append(out, l)
		}
	}
	for _, l := range slices.Clone(out) {
		if sessions {
			n := l
			n.later, n.next.NewSession = 2*time.Hour, true
			out = append(out, n)
		}
		if days {
			n := l
			n.later, n.next.NewSession, n.next.NextDay = 24*time.Hour, true, true
			out = append(out, n)
		}
	}
	return out
}

// sortOf names what a trial is to every track and condition of the level, "" where it is nothing to any of them.
func (s *searcher) sortOf(t *curriculum.Trial, k kind) string {
	st := &state{slots: make([]uint64, s.b.slots), marks: make([]mark, s.b.marks)}
	t.Dog, t.Behaviour, t.At = s.d.name, s.b.src.Name, s.d.at
	s.f.facts = expression.Facts{Trial: t, Kind: factKind[k], Step: s.stage.step.Name, Dog: s.d.profile, Day: t.At}
	var b strings.Builder
	some := false
	s.f.first = true
	for _, tr := range slices.Concat(s.b.stopTracks, s.stage.tracks) {
		filled, counted := tr.take(s.f, st, t, k)
		fmt.Fprint(&b, filled, counted)
		if filled && tr.measure != "" {
			fmt.Fprint(&b, tr.measureAt(st, 0))
		}
		some = some || filled
	}
	some = s.divided(&b, t, k) || some
	s.each(func(n *node) {
		switch n.op {
		case opHolds:
			holds := s.f.holds(n.cond)
			fmt.Fprint(&b, holds)
			some = true
		case opAfterTrials, opAfterStep, opAfterSessions:
			fmt.Fprint(&b, evidence.has(k))
			some = some || evidence.has(k)
		case opAfterDays:
			some = true
		}
	})
	if s.stage.decide > 0 {
		fmt.Fprint(&b, evidence.has(k))
		some = some || evidence.has(k)
	}
	if !some {
		return ""
	}
	return b.String()
}
