package engine

import (
	"math/bits"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// DogView is what a planner needs to know of one dog at one moment.
type DogView struct {
	Dog        curriculum.Dog // its profile; only the name where none was given
	Standing   DogStanding
	Locked     []Lock
	Strange    []StrangeSign   // signs that nothing declares, not cleared
	Behaviours []BehaviourView // in file order, all listed
	// SessionEnded says that a sign ended the session that is open at now.
	SessionEnded bool
	Sessions     int // begun so far
}

// BehaviourView is one behaviour of a DogView. Counts of trials leave void ones and opt-outs out; a session counts on
// the date of its first such trial; dates are those written in the time stamps, and the seven days end with now's date.
type BehaviourView struct {
	Behaviour    *curriculum.Behaviour
	State        curriculum.State
	Step, Level  int              // indices; of a kept behaviour its last; Level counts the dog's own levels of the step
	At           curriculum.Level // the level, also one that a split put in
	MissingDoors []string         // in words
	Locked       bool
	Stopped      bool      // stopped in the session that is open at now
	LastTrained  time.Time // last trial that was not void; zero if never
	EnteredAt    time.Time // when the level was entered; zero if it was not yet

	// Away is the rule, in words, by which the next trial will first ease the behaviour after a long pause; Step, Level,
	// At, Recent and Card are then those of the level it will be at. "" where there was no such pause.
	Away string

	// ReviewDue is the date on which the next cold test of a kept behaviour is due, at midnight UTC; zero where none is.
	ReviewDue time.Time
	ReviewGap string   // that runs until then, as "3 days"
	Reviews   []Review // all so far

	Pace Pace // of its step

	TrialsToday, SessionsToday int
	Trials7Days, Sessions7Days int
	Recent                     Tally // of the newest ten evidence trials at this level
	// ToMove is how many more trials, all of them good, it takes at least until a rule moves it on, 1 or more; 0 where no
	// rule does. Of counts and windows it is exact; a rule may ask for more than trials, such as another day or place.
	ToMove int

	// Failed is, for a chain, which piece failed first in the misses since the level was entered; FailedBefore the same of
	// the level that an ease left, where that was the last move. With them a plan can work a piece alone.
	Failed, FailedBefore []PieceCount

	Card Card
	Pay  PayRun
}

// Tally is so many successes among so much evidence.
type Tally struct {
	Successes int `json:"successes"`
	Evidence  int `json:"evidence"`
}

// Card is what to do on which tally, in words with destinations.
type Card struct {
	Advance, Ease, Split, Stop, Flag []CardLine
	Lapse                            []CardLine // of a kept behaviour
}

// CardLine is one rule of a card: when, and what then.
type CardLine struct {
	Text string `json:"text"`
	To   string `json:"to,omitempty"`
	// Owner is the same in an owner's words.
	Owner OwnerRule `json:"owner"`
}

// recentTally is how many evidence trials a BehaviourView.Recent looks at.
const recentTally = 10

// Dog is what a planner needs to know of a dog, or nil for one without a profile and without a line in the history. A
// session that is planned is a new one: the rules that wait for the end of the one before have been looked at, on a copy.
// What that one stopped stays stopped until half an hour after its last trial.
func (f *Fold) Dog(name string, now time.Time) *DogView {
	if f.none() {
		return nil
	}
	d := f.dogs[name]
	if d == nil || !d.known {
		return nil
	}
	s := d.cur
	d = f.closesFor(d, true)
	v := &DogView{Dog: curriculum.Dog{Name: name}, Standing: f.dogStanding(d, now), Locked: f.locked(d), Strange: slices.Clone(d.strange), Sessions: int(d.sessions)}
	if d.profile != nil {
		v.Dog = *d.profile
	}
	if s != nil && (!s.open || now.Sub(s.last) >= sessionGap) {
		s = nil
	}
	v.SessionEnded = s != nil && s.ended
	for i, b := range f.p.behaviours {
		v.Behaviours = append(v.Behaviours, f.view(d, b, s, &v.Standing.Behaviours[i], now))
	}
	return v
}

// view is one behaviour; s is the session that is open at now, or nil.
func (f *Fold) view(d *dog, b *behaviour, s *session, standing *BehaviourStanding, now time.Time) BehaviourView {
	v := BehaviourView{Behaviour: b.src, State: standing.State, MissingDoors: standing.Missing, Locked: d.isLocked(b)}
	st := d.states[b.index]
	if st == nil {
		// before anything happened a behaviour stands at its first level
		st = &state{b: b}
	}
	v.LastTrained, v.EnteredAt = st.last, st.enteredAt
	v.ReviewDue, v.ReviewGap, v.Reviews = st.reviewDue(), standing.ReviewGap, standing.Reviews
	if a := f.awayRule(d, st, &curriculum.Trial{At: now}); a != nil {
		v.Away = awayText(a)
		eased := *st
		eased.stage, eased.level = st.below(a.Levels)
		eased.trials, eased.recent = 0, 0
		eased.failed, eased.failedBefore = nil, st.pieces()
		st = &eased
	}
	sg := st.sg()
	v.Step, v.Level, v.At = st.stage, st.level, st.lv().values
	if sg.kept {
		v.Step = st.stage - 1
		v.Level = len(st.levels(b.stages[v.Step])) - 1
	}
	if s != nil {
		if at := s.find(b.index); at >= 0 {
			v.Stopped = s.worked[at].stopped
		}
	}
	v.Pace = st.paceAt(b.src.Steps[v.Step])
	today := dayOf(now)
	for _, c := range st.days {
		switch ago := today - int(c.day); {
		case c.trials == 0 || ago < 0 || ago > 6:
			continue
		case ago == 0:
			v.TrialsToday, v.SessionsToday = int(c.trials), int(c.sessions)
		}
		v.Trials7Days += int(c.trials)
		v.Sessions7Days += int(c.sessions)
	}
	v.Recent.Evidence = min(int(st.trials), recentTally)
	v.Recent.Successes = bits.OnesCount32(st.recent & (1<<recentTally - 1))
	v.Failed, v.FailedBefore = st.pieces(), st.failedBefore
	v.Card, v.Pay = st.card(), st.payRun()
	v.ToMove = f.toMove(st, v.Away != "")
	return v
}

// toMove is BehaviourView.ToMove in a session that begins now, empty where the level is entered anew.
func (f *Fold) toMove(st *state, anew bool) (least int) {
	sg := st.sg()
	if len(sg.advance) == 0 {
		return 0
	}
	at := *st
	if anew || st.slots == nil {
		at = *f.fresh(st.b)
		at.stage, at.level, at.own = st.stage, st.level, st.own
	} else {
		at.slots = slices.Clone(st.slots)
		at.unshelve(nil)
	}
	s := &searcher{f: &Fold{p: f.p}, b: st.b}
	for i, r := range sg.advance {
		if n := max(1, s.least(&r.when, &at)); i == 0 || n < least {
			least = n
		}
	}
	return least
}

// card is the rules of the present level in words.
func (st *state) card() Card {
	var c Card
	for _, r := range st.sg().all {
		l := CardLine{Text: cardText(r.src.When), To: st.leads(r), Owner: st.ownerRule(r)}
		switch r.word {
		case curriculum.Advance:
			c.Advance = append(c.Advance, l)
		case curriculum.Ease:
			c.Ease = append(c.Ease, l)
		case curriculum.Split:
			c.Split = append(c.Split, l)
		case curriculum.StopToday:
			c.Stop = append(c.Stop, l)
		case curriculum.Lapse:
			c.Lapse = append(c.Lapse, l)
		case curriculum.Flag:
			c.Flag = append(c.Flag, l)
		}
	}
	return c
}

// leads is where a rule of the present level, or the skip rule of a later step, leads, as an instruction.
func (st *state) leads(r *rule) string {
	switch r.word {
	case curriculum.Advance:
		if to := st.destination(st.harder()); to != keptWord {
			return "go on to " + to
		}
		return "finished, from now on only kept fresh"
	case curriculum.Lapse:
		return "back to " + st.destination(st.easier(r))
	case curriculum.Ease:
		if stage, lvl := st.easier(r); stage == st.stage && lvl == st.level {
			return "stay at this level and count anew"
		}
		return "back to " + st.destination(st.easier(r))
	case curriculum.Split:
		if _, ok := st.room(r); !ok {
			return flagsInstead
		}
		if len(r.src.Into) > 0 {
			return "go on in pieces: " + strings.Join(r.src.Into, ", ")
		}
		return "go on at a level half-way"
	case curriculum.Skip:
		return "leap to " + placeText(r.stage, st.levels(r.stage)[0])
	case curriculum.StopToday:
		return "end it for this session"
	case curriculum.Flag:
		return "ask a senior trainer to look"
	}
	return ""
}

// flagsInstead is what a split does where nothing can be put in.
const flagsInstead = "ask a senior trainer to look: there is no room to split"

// keptWord stands for a place after the last step.
const keptWord = "kept"

// destination is a place in words: only the level where the step stays the same.
func (st *state) destination(stage, lvl int) string {
	sg := st.b.stages[stage]
	l := st.levels(sg)[lvl]
	if stage == st.stage && len(l.values.Values) > 0 {
		return l.values.String()
	}
	return placeText(sg, l)
}
