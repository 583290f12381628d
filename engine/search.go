package engine

import (
	"slices"

	"example.com/rung/curriculum"
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

// searcher looks for continuations of one dog's history of one behaviour, on copies.
type searcher struct {
	f       *Fold // holds only the dog's copy
	d       *dog
	b       *behaviour
	stage   *stage
	from    snapshot
	letters []letter
	nodes   []*node // the criteria of all rules of the stage
	days    bool    // one of them looks at dates
	budget  int
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
		return s.written(r, best), true
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
				return s.written(r, best), false
			}
			st := s.put(&queue[at].snap)
			switch s.play(st, &s.letters[li], r) {
			case fired:
				best = []int{li}
				for i := at; queue[i].parent >= 0; i = queue[i].parent {
					best = append(best, queue[i].letter)
				}
				slices.Reverse(best)
				return s.written(r, best), exact
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
	return s.written(r, best), exact
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
