package engine

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// Why says why a dog stands where it does in one behaviour, and what would move it.
type Why struct {
	Dog       string           `json:"dog"`
	Behaviour string           `json:"behaviour"`
	State     curriculum.State `json:"state"`
	Title     string           `json:"title,omitempty"` // what the behaviour is, in the author's words
	Place     Place            `json:"place"`
	PlaceText string           `json:"place_text,omitempty"` // step and level, the ramps in the order of the text
	PlaceSaid string           `json:"place_said,omitempty"` // the same in an owner's words
	StepText  string           `json:"step_text,omitempty"`  // what the step is, in the author's words
	Since     *time.Time       `json:"since,omitempty"`      // when the level was entered
	Trials    int              `json:"trials"`               // evidence since then
	Sessions  int              `json:"sessions"`
	Missing   []string         `json:"missing,omitempty"`       // doors not met, in words
	Locked    []Lock           `json:"locked,omitempty"`        // those that cover the behaviour
	Stopped   bool             `json:"stopped,omitempty"`       // for the session that is open at now
	Spoiled   int              `json:"void,omitempty"`          // void trials among the newest Looked
	Looked    int              `json:"looked,omitempty"`        // the newest trials, at most 64
	Failed    []PieceCount     `json:"failed,omitempty"`        // of a chain: which piece failed first, since the level was entered
	Before    []PieceCount     `json:"failed_before,omitempty"` // the same of the level that the last move, an ease, left
	LastMove  *Move            `json:"last_move,omitempty"`
	MovedText string           `json:"moved_text,omitempty"` // where the last move led, the ramps in the order of the text
	MovedTo   string           `json:"moved_to,omitempty"`   // the same in an owner's words
	ReviewDue string           `json:"review_due,omitempty"` // of a kept behaviour: the date of its next cold test
	ReviewGap string           `json:"review_gap,omitempty"`
	Reviews   []Review         `json:"reviews,omitempty"` // all so far
	Away      string           `json:"away,omitempty"`    // the rule by which the next trial first eases after a long pause
	Pairs     []PairWhy        `json:"pairs,omitempty"`
	Rules     []RuleWhy        `json:"rules"` // of the present level, then the skip rules of later steps
}

// RuleWhy is one rule of the present level, or the skip rule of a later step.
type RuleWhy struct {
	Rule      string     `json:"rule"`
	Criterion string     `json:"criterion"`
	File      string     `json:"file,omitempty"`
	Line      int        `json:"line,omitempty"`
	Leads     string     `json:"leads"` // what happens when it holds, in words
	Owner     OwnerRule  `json:"owner"`
	AtClose   bool       `json:"at_close,omitempty"` // looked at when a session is over, not at each trial
	Holds     bool       `json:"holds"`              // a stop or flag rule that goes on holding; a move is made at once
	Counts    []CountWhy `json:"counts"`
	Next      *Next      `json:"next,omitempty"` // nothing where no continuation was found, or none is possible now
}

// OwnerRule is a rule in an owner's words: they follow "when" and "then".
type OwnerRule struct {
	When string `json:"when"`
	Then string `json:"then,omitempty"` // empty where the rule's own word says it
}

// CountWhy is one count of a criterion: Have of what it counts, where Need are needed, among the newest Of (0: of all).
// With AtMost no more than Need may be there, and all Of must be.
type CountWhy struct {
	Text     string     `json:"text"`
	Have     int        `json:"have"`
	Need     int        `json:"need"`
	Of       int        `json:"of,omitempty"`
	Among    int        `json:"among"` // trials looked at so far
	AtMost   bool       `json:"at_most,omitempty"`
	Holds    bool       `json:"holds"`
	Counts   []string   `json:"counts"` // ids of trials that count, oldest first
	DoNot    []NotCount `json:"do_not"` // trials of the same stretch that do not, and why
	Sentence string     `json:"sentence"`
}

// NotCount is a trial that does not count.
type NotCount struct {
	Trial string `json:"trial"`
	Why   string `json:"why"`
}

// Next is the shortest run of trials that fires a rule.
type Next struct {
	Marks    string      `json:"marks"`    // in tally marks
	Trials   []NextTrial `json:"trials"`   // none where the end of the session that is going on is all it takes
	Shortest bool        `json:"shortest"` // proved: no shorter run fires it
	Sentence string      `json:"sentence"`
}

// UnknownName is the error of a question about a dog or behaviour that is not there.
type UnknownName struct {
	Kind    string // "dog" or "behaviour"
	Name    string
	Nearest string // the known name nearest to it, or ""
	Known   []string
}

// Error says what is unknown, with the nearest known name, or all of them where none is near and they are few.
func (e *UnknownName) Error() string {
	text := fmt.Sprintf("no %s is called %q", e.Kind, e.Name)
	if e.Nearest != "" {
		text += fmt.Sprintf(" (did you mean %q?)", e.Nearest)
	} else if len(e.Known) > 0 && len(e.Known) <= 20 {
		text += "; known: " + strings.Join(e.Known, ", ")
	}
	return text
}

// Why explains a dog's standing in one behaviour at now. The error is an *UnknownName.
func (f *Fold) Why(name, behaviour string, now time.Time) (*Why, error) {
	return f.why(name, behaviour, now, looking{func(curriculum.RuleWord) bool { return true }, searchBudget})
}

// WhyCounts is Why without the shortest runs that would fire a rule, which take most of its time: no RuleWhy has a Next.
func (f *Fold) WhyCounts(name, behaviour string, now time.Time) (*Why, error) {
	return f.why(name, behaviour, now, looking{func(curriculum.RuleWord) bool { return false }, 0})
}

// Ahead is the shortest run of trials that moves the behaviour on by an advance rule of its present level; nil where
// none was found or none is possible now. It is meant for every sheet and looks less far than Why: what it finds is
// enough, and mostly the shortest.
func (f *Fold) Ahead(name, behaviour string, now time.Time) (*Next, error) {
	w, err := f.why(name, behaviour, now, looking{func(word curriculum.RuleWord) bool { return word == curriculum.Advance }, searchBudget / 10})
	if err != nil {
		return nil, err
	}
	var best *Next
	for i := range w.Rules {
		if n := w.Rules[i].Next; n != nil && (best == nil || len(n.Trials) < len(best.Trials)) {
			best = n
		}
	}
	return best, nil
}

// looking is the rules to look for shortest runs of, and how many states each search may look at.
type looking struct {
	rule   func(curriculum.RuleWord) bool
	budget int
}

func (f *Fold) why(name, behaviour string, now time.Time, search looking) (*Why, error) {
	if f.none() {
		return nil, ErrNoProgram
	}
	d := f.dogs[name]
	if d == nil || !d.known {
		var names []string
		for _, o := range f.sorted() {
			names = append(names, o.name)
		}
		return nil, &UnknownName{"dog", name, curriculum.Nearest(name, names), names}
	}
	bi, ok := f.p.names[behaviour]
	if !ok {
		return nil, &UnknownName{"behaviour", behaviour, curriculum.Nearest(behaviour, f.p.behaviourNames()), f.p.behaviourNames()}
	}
	d = f.asOf(d, now)
	b := f.p.behaviours[bi]
	standing := f.behaviourStanding(d, b, now)
	st := d.states[bi]
	if st == nil {
		st = f.fresh(b)
	}
	w := &Why{Dog: name, Behaviour: b.src.Name, State: standing.State, Place: st.place().out(), Trials: standing.Trials, Sessions: standing.Sessions,
		Missing: standing.Missing, ReviewDue: standing.ReviewDue, ReviewGap: standing.ReviewGap, Reviews: standing.Reviews, Rules: []RuleWhy{}}
	w.Failed, w.Before = standing.Failed, standing.FailedBefore
	w.Title, w.StepText = b.src.Text, st.place().level.stage.step.Text
	w.PlaceText, w.PlaceSaid = b.placeText(Place{Step: w.Place.Step, Level: w.Place.Level}), b.ownerPlace(w.Place)
	for i := range st.trail.ring {
		if st.trail.ring[i].kind == void {
			w.Spoiled++
		}
	}
	if w.Spoiled > 0 {
		w.Looked = len(st.trail.ring)
	}
	if st.entered {
		at := st.enteredAt
		w.Since = &at
	}
	for i, l := range f.locked(d) {
		if d.locks[i].covers(bi) {
			w.Locked = append(w.Locked, l)
		}
	}
	if n := len(standing.Moves); n > 0 {
		w.LastMove = &standing.Moves[n-1]
		w.MovedText, w.MovedTo = b.placeText(w.LastMove.To), b.ownerPlace(w.LastMove.To)
	}
	s := d.cur
	if s != nil && s.open && now.Sub(s.last) < sessionGap {
		if at := s.find(bi); at >= 0 {
			w.Stopped = s.worked[at].stopped
		}
	}
	if a := f.awayRule(d, st, &curriculum.Trial{At: now}); a != nil {
		w.Away = awayText(a)
	}
	w.Pairs = f.pairs(d, b, w.State)
	w.rules(f, d, st, now, search)
	return w, nil
}

// fresh is the state of a behaviour before anything happened.
func (f *Fold) fresh(b *behaviour) *state {
	return &state{b: b, epoch: 1, slots: make([]uint64, b.slots), marks: make([]mark, b.marks), groups: make([][]group, b.groups)}
}

func (w *Why) rules(f *Fold, d *dog, st *state, now time.Time, next looking) {
	// the question is asked of a copy at now: its session may be over by then
	c := *d
	c.states = slices.Clone(d.states)
	mine := *st
	mine.slots, mine.marks, mine.groups = slices.Clone(st.slots), slices.Clone(st.marks), cloneGroups(st.groups)
	c.states[st.b.index] = &mine
	if now.After(c.at) {
		c.at = now
	}
	search := f.newSearcher(&c, st.b)
	search.budget = next.budget
	search.settle()
	there := search.from.st
	there.trail = st.trail
	looked := &there
	ask := &Fold{p: f.p, day: dayOf(now)}
	if search.from.cur.open {
		ask.session = search.from.cur.number
	}
	moves := w.Away == "" && w.State != curriculum.Waiting && w.State != curriculum.Paused
	for _, r := range st.sg().all {
		rw := RuleWhy{Rule: string(r.word), Criterion: curriculum.CriterionText(r.src.When), File: r.src.Pos.File, Line: r.src.Pos.Line,
			Leads: st.leads(r), Owner: st.ownerRule(r), AtClose: r.closing, Counts: []CountWhy{}}
		switch r.word {
		case curriculum.Flag, curriculum.Split, curriculum.StopToday:
			rw.Holds = looked.holding(r)
		}
		rw.counts(ask, looked, &r.when)
		if moves && !rw.Holds && next.rule(r.word) {
			if run, proved := search.shortest(r); run != nil {
				rw.Next = &Next{Marks: marksOf(run), Trials: run, Shortest: proved, Sentence: sentence(run, proved, r, rw.Leads)}
			}
		}
		w.Rules = append(w.Rules, rw)
	}
	if !st.kept() {
		w.skips(search, ask, looked, moves && next.rule(curriculum.Skip))
	}
}

// skips adds the rules by which the dog may leap to a later step from where it stands.
func (w *Why) skips(search *searcher, ask *Fold, st *state, next bool) {
	for _, sg := range st.b.stages[st.stage+1:] {
		for _, r := range sg.skip {
			rw := RuleWhy{Rule: string(r.word), Criterion: curriculum.CriterionText(r.src.When), File: r.src.Pos.File, Line: r.src.Pos.Line,
				Leads: st.leads(r), Owner: st.ownerRule(r), Counts: []CountWhy{}}
			rw.counts(ask, st, &r.when)
			if next {
				if run, proved := search.leaping(sg).shortest(r); run != nil {
					rw.Next = &Next{Marks: marksOf(run), Trials: run, Shortest: proved, Sentence: sentence(run, proved, r, rw.Leads)}
				}
			}
			w.Rules = append(w.Rules, rw)
		}
	}
}

// settle makes the copy what it will be when the next trial comes: that trial begins a session, or goes on with the one
// that is open.
func (s *searcher) settle() {
	st := s.put(&s.from)
	cur := s.d.cur
	switch {
	case cur == nil:
		return
	case cur.open && s.d.at.Sub(cur.last) < sessionGap:
		cur.work(st)
	default:
		s.f.close(s.d)
		st.unshelve(nil)
		st.sess = 0
	}
	s.from = s.get(st)
}

// counts adds every count of a criterion.
func (rw *RuleWhy) counts(f *Fold, st *state, n *node) {
	c := CountWhy{Text: curriculum.CriterionText(n.source), Need: n.k, Counts: []string{}, DoNot: []NotCount{}}
	switch n.op {
	case opNot, opAnd, opOr:
		for i := range n.kids {
			rw.counts(f, st, &n.kids[i])
		}
		return
	case opInside:
		in := n.div.here(f, st)
		rw.counts(f, &in, &n.div.is)
		return
	case opShare:
		c.sharedCount(f, st, n)
	case opRepeated:
		c.repeatedCount(f, st, n)
	case opWindow, opBlock:
		c.Of = n.n
		t, _ := n.track.filled(st)
		c.Among = min(t, n.n)
		if n.op == opBlock {
			c.Among = t % n.n
		}
		c.Have = newestOf(n.track, st, c.Among)
		c.AtMost = n.track.invert
		c.Holds = n.eval(f, st)
		if c.AtMost {
			c.Have, c.Need = c.Among-c.Have, n.n-n.k
		}
		if n.op == opBlock {
			c.Sentence = c.blockSentence(n, st, t)
		}
	case opCounted:
		c.Have = n.track.counted(st)
		c.Among, _ = n.track.filled(st)
		c.Holds = n.eval(f, st)
	case opAfterTrials:
		c.Have, c.Holds = int(st.trials), n.eval(f, st)
	case opAfterStep:
		c.Have, c.Holds = int(st.stepTrials), n.eval(f, st)
	case opAfterSessions:
		c.Have, c.Holds = int(st.closed), n.eval(f, st)
	case opConfidence:
		t, _ := n.track.filled(st)
		c.Of, c.Among, c.Holds = n.n, min(t, n.n), n.eval(f, st)
		c.Have = newestOf(n.track, st, c.Among)
		m := c.Among - newestOf(n.other, st, c.Among)
		c.Need = n.table[m]
		c.Sentence = fmt.Sprintf("%s: %d of %d so far, helped ones left out; of %d that takes %d", c.Text, c.Have, m, m, c.Need)
		if c.Need > m {
			c.Sentence = fmt.Sprintf("%s: %d of %d so far, helped ones left out; so few cannot show it", c.Text, c.Have, m)
		}
	case opSequential:
		t, _ := n.track.filled(st)
		c.Have, c.Among, c.Holds = n.track.counted(st), t, n.eval(f, st)
		c.Sentence = fmt.Sprintf("%s: %d of %d so far, helped ones left out; not settled yet", c.Text, c.Have, t)
		if c.Holds {
			c.Sentence = fmt.Sprintf("%s: %d of %d, helped ones left out: settled", c.Text, c.Have, t)
		}
	case opStatistic:
		c.Of, c.Among = n.n, min(n.track.counted(st), n.n)
		c.Have, c.Holds = c.Among, n.eval(f, st)
		c.Sentence = n.statisticWords(st, &c)
	case opEased:
		c.Have, c.Holds = st.eased(), n.eval(f, st)
	case opAfterDays:
		if st.entered {
			c.Have = max(0, f.day-st.enteredDay)
		}
		c.Holds = n.eval(f, st)
		if st.entered && !c.Holds {
			from := st.enteredAt.AddDate(0, 0, n.k)
			c.Sentence = fmt.Sprintf("%s: %d so far, %d needed; the first trial on %s or later", c.Text, c.Have, n.k, from.Format("2 January 2006"))
		}
	case opHolds:
		c.Need = 1
		c.Sentence = c.Text + " is asked of each trial by itself"
	}
	if n.track != nil && n.op != opShare {
		c.trials(st, n)
	}
	if c.Sentence == "" {
		c.Sentence = c.sentence()
	}
	rw.Counts = append(rw.Counts, c)
}

func newestOf(tr *track, st *state, n int) int {
	if n == 0 {
		return 0
	}
	return tr.newest(st, n, 0)
}

// trials lists which trials of the stretch a count looks at count, and which do not and why.
func (c *CountWhy) trials(st *state, n *node) {
	bit := slices.Index(st.b.stopTracks, n.track)
	if bit < 0 {
		bit = slices.Index(st.sg().tracks, n.track)
		if bit < 0 {
			return // of a group: the trail does not tell
		}
		bit += len(st.b.stopTracks)
	}
	left := c.Among
	all := st.trail.all()
	for i := len(all) - 1; i >= 0 && bit < 64; i-- {
		s := all[i]
		if n.track.scope != wholeSession && s.epoch != st.epoch || n.track.scope != sinceEntry && s.sess != st.sess {
			continue
		}
		filled, counted := s.filled>>bit&1 != 0, s.counted>>bit&1 != 0
		if filled && left == 0 {
			break
		}
		if filled {
			left--
		}
		if filled && counted {
			c.Counts = append(c.Counts, s.id)
		} else {
			c.DoNot = append(c.DoNot, NotCount{s.id, s.whyNot(n.track, filled)})
		}
	}
	slices.Reverse(c.Counts)
	slices.Reverse(c.DoNot)
}

var kindWords = [...]string{success: "a success", helped: "helped", wrong: "wrong", silent: "no response", optOut: "opted out",
	early: "helped before its chance: no evidence", void: "void"}

// whyNot says why a trial does not count for a track.
func (s *seen) whyNot(tr *track, filled bool) string {
	switch {
	case s.why == whyElsewhere:
		return "at another step or level"
	case s.why == whyWaiting:
		return "the behaviour was waiting"
	case s.why == whyPaused:
		return "the behaviour was paused"
	case !filled && tr.fills.has(s.kind):
		return "not among the trials looked at"
	case filled && tr.counts.has(s.kind):
		return kindWords[s.kind] + ", but short of what is asked beside, or without a note of it"
	}
	return kindWords[s.kind]
}
