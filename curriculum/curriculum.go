package curriculum

import "slices"

// Pos is a place in a curriculum text. The zero Pos means "built by a program". Line and Column count from 1; Column
// counts characters, not bytes.
type Pos struct {
	File   string
	Line   int
	Column int
}

// Curriculum is one house's whole programme.
type Curriculum struct {
	Name    string
	Edition string
	For     string
	Course  Course
	Pos     Pos // of the name; a text without one is a part of a curriculum, or an exercise

	Markers    []Marker
	Foods      []Food
	Places     []string // easiest first
	PlacePos   []Pos    // of each place, where known
	Handlers   []string
	HandlerPos []Pos // of each handler, where known
	Equipment  []Equipment
	Measures   []Measure
	Signs      []Sign
	Criteria   []NamedCriterion
	Cautions   []Caution
	Ladders    []Ladder     // their steps stand in the behaviours that climb them
	Behaviours []*Behaviour // in the order of the text
	Sessions   []*Session   // the unnamed one first, if there is one
	Examples   []Example
	Allowed    []Allowance
}

// Behaviour returns the behaviour of that name (or of that former name), or nil.
func (c *Curriculum) Behaviour(name string) *Behaviour {
	if c == nil {
		return nil
	}
	for _, b := range c.Behaviours {
		if b.Name == name {
			return b
		}
	}
	for _, b := range c.Behaviours {
		for _, f := range b.Formerly {
			if f == name {
				return b
			}
		}
	}
	return nil
}

// Course is how long the whole programme takes and how often the dog comes; zero fields mean not stated.
type Course struct {
	Lasts    Quantity // time
	Sessions int      // in each Per
	Per      CapPer   // PerDay or PerWeek
	Pos      Pos
}

// Marker is a word or sound that tells the dog food follows.
type Marker struct {
	Name     string
	Text     string // how it is said, may be empty
	Signals  []Cue  // how else it is given, for instance to a deaf dog
	Releases bool   // the exercise is over; otherwise the dog keeps working
	Pos      Pos
}

// Food is what rewards are made of. Energy is for one piece in kcal, Weight for one piece in g, EatenIn in time; a
// zero Quantity means not stated.
type Food struct {
	Name     string
	Energy   Quantity
	Weight   Quantity
	EatenIn  Quantity
	Extra    bool     // counts against the treat share; otherwise it is taken from the measured ration
	Contains []string // what a dog may not tolerate
	Pos      Pos
}

// Equipment is a thing a behaviour needs at hand.
type Equipment struct {
	Name string
	Text string
	Pos  Pos
}

// Measure is a quantity a trial can record beside its outcome. latency, duration and distance need no declaration.
type Measure struct {
	Name            string
	Unit            Unit
	SmallerIsBetter bool
	Pos             Pos
}

// Sign is a welfare sign and what it does.
type Sign struct {
	Name  string
	Locks SignEffect
	Only  []string // behaviours locked where Locks is LockNamed
	Pos   Pos
}

// SignEffect says what an observed sign stops.
type SignEffect uint8

const (
	LockEverything SignEffect = iota // no plan for the dog until a named person clears it
	LockBehaviour                    // no plan for the behaviour it was seen in until cleared
	LockNamed                        // no plan for the behaviours named until cleared
	EndBehaviour                     // ends the behaviour for the session
	EndSession                       // ends the session
)

// NamedCriterion is a criterion several steps share.
type NamedCriterion struct {
	Name string
	Is   Criterion
	Pos  Pos
}

// Ladder is the name of a run of steps that behaviours share.
type Ladder struct {
	Name    string
	Climbed bool // some behaviour does
	Pos     Pos
}

// Caution is a sentence printed with what it belongs to; When limits it to dogs of which it holds.
type Caution struct {
	Name string
	Text string
	When *Expression
	Pos  Pos
}

// Allowance silences one finding of the consistency check, with a reason.
type Allowance struct {
	Code      string
	Because   string
	Behaviour string // "" for the whole file
	Step      string
	Pos       Pos
}

// Sheet is what is printed for people; no rule depends on it. A step's own words replace those of its behaviour.
type Sheet struct {
	Cues      []Cue
	Do        string
	Success   string
	SuccessAt Pos    // where Success was said
	Mark      string // a marker's name
	Pay       string
	Side      string
	SetUp     string
	Equipment []string
	Cautions  []string // names of declared cautions
	Takes     Quantity // time a trial takes from cue to ready again; zero means not stated
}

// WordCue is the Kind of a spoken cue.
const WordCue = "word"

// Cue is one form of a cue: Kind is WordCue for a spoken one, otherwise the author's own kind, such as "hand".
type Cue struct {
	Kind string
	Text string
	Pos  Pos
}

// Behaviour is one thing a dog learns, with its steps from easiest to hardest.
type Behaviour struct {
	Name     string
	Text     string
	Formerly []string
	Sheet    Sheet

	Needs       []Need
	BetterAfter []string
	BetterPos   []Pos // of each of them, where known
	NeverWith   []NeverWith
	Pairs       []Pair
	Kinds       []Kind
	Caps        []Cap
	Steps       []*Step
	Review      []Quantity // growing gaps, in time
	Lapse       []Rule     // looked at while the behaviour is kept
	Pos         Pos
}

// Step returns the index of the step of that name (or former name), or -1.
func (b *Behaviour) Step(name string) int {
	for i, s := range b.Steps {
		if s.Name == name {
			return i
		}
	}
	for i, s := range b.Steps {
		for _, f := range s.Formerly {
			if f == name {
				return i
			}
		}
	}
	return -1
}

// BetterAt is where the i-th of BetterAfter is named; the behaviour itself where that is not known.
func (b *Behaviour) BetterAt(i int) Pos {
	if i < len(b.BetterPos) {
		return b.BetterPos[i]
	}
	return b.Pos
}

// PairedWith is how many steps the two behaviours may lie apart where one of them pairs with the other; the tighter where
// both say so.
func (b *Behaviour) PairedWith(o *Behaviour) (within int, ok bool) {
	for _, x := range [2][2]*Behaviour{{b, o}, {o, b}} {
		for _, p := range x[0].Pairs {
			names := append([]string{x[1].Name}, x[1].Formerly...)
			if b != o && slices.Contains(names, p.Other) && (!ok || p.Within < within) {
				within, ok = p.Within, true
			}
		}
	}
	return within, ok
}

// SheetOf is the resolved sheet of step i: the step's own words where it has some, else the behaviour's.
// Equipment and cautions add up.
func (b *Behaviour) SheetOf(i int) Sheet {
	s := b.Sheet
	o := b.Steps[i].Sheet
	if len(o.Cues) > 0 {
		s.Cues = o.Cues
	}
	for _, f := range []struct{ to, from *string }{{&s.Do, &o.Do}, {&s.Success, &o.Success}, {&s.Mark, &o.Mark}, {&s.Pay, &o.Pay}, {&s.Side, &o.Side}, {&s.SetUp, &o.SetUp}} {
		if *f.from != "" {
			*f.to = *f.from
		}
	}
	if o.Success != "" {
		s.SuccessAt = o.SuccessAt
	}
	if s.Success == "" {
		s.Success, s.SuccessAt = b.Steps[i].Text, b.Steps[i].Pos
	}
	s.Equipment = union(s.Equipment, o.Equipment)
	s.Cautions = union(s.Cautions, o.Cautions)
	if !o.Takes.IsZero() {
		s.Takes = o.Takes
	}
	return s
}

func union(a, b []string) []string {
	out := append([]string(nil), a...)
next:
	for _, s := range b {
		for _, t := range out {
			if s == t {
				continue next
			}
		}
		out = append(out, s)
	}
	return out
}

// Kind tells the planner what sort of work a behaviour is.
type Kind string

const (
	Care   Kind = "care"   // the dog may leave at any time
	Impact Kind = "impact" // loads the body
	Lively Kind = "lively"
	Calm   Kind = "calm"
	Safety Kind = "safety" // has to work on the day it matters: paid every time, for life
)

// Need is a door: the behaviour may begin only when it is met.
type Need struct {
	Other  string      // a behaviour's name, or "" for a need on the dog
	Step   string      // "" means Other must be kept
	Level  LevelRef    // within Step; empty means the step's first level
	Firmly bool        // met only while it holds, not for good
	Dog    *Expression // over the dog's profile
	Pos    Pos
}

// NeverWith keeps two behaviours out of one session until both stand at Until or later.
type NeverWith struct {
	Other string
	Until string
	Pos   Pos
}

// Pair keeps two behaviours together: no plan has one that is more than Within steps ahead until the other catches up. No
// move of a dog depends on it, and what is kept is ahead of nobody.
type Pair struct {
	Other  string
	Within int
	Pos    Pos
}

// Cap limits how much of a behaviour is planned.
type Cap struct {
	N   int
	Of  CapOf
	Per CapPer
	Pos Pos
}

// CapOf is what a cap counts.
type CapOf uint8

const (
	CapTrials CapOf = iota
	CapSessions
)

// CapPer is the span a cap counts over.
type CapPer uint8

const (
	PerSession CapPer = iota
	PerDay
	PerWeek
)

// Step is one stage of a behaviour.
type Step struct {
	Name     string
	Text     string
	Formerly []string
	Sheet    Sheet

	Prompts []string // help that is part of the step
	Help    []string // rescue beyond the prompts, in order
	Choice  []string // the answers the dog chooses between, where guessing would do
	Ramps   []Ramp   // in the order written; thinning is a ramp
	Raise   Raise
	Levels  []Level   // the ramps as one list, from LayOut; a step without ramps has one empty level
	Reward  *Schedule // nil means every success, or what the level's thinned schedule says
	PaidAt  Pos       // of the reward or thin line, if there is one
	Rules   []Rule    // in the order written
	Decide  Decide
	Chain   []string // pieces run in this step, in the order performed
	Places  []string // where the step is trained; empty means anywhere
	Caps    []Cap
	Pos     Pos
}

// Decide says when advance, ease and split are looked at; the zero value is after every trial.
type Decide struct {
	EveryTrials int
	EachSession bool
	Pos         Pos
}

// RuleWord is what a rule does.
type RuleWord string

const (
	Advance   RuleWord = "advance"
	Ease      RuleWord = "ease"
	Split     RuleWord = "split"
	StopToday RuleWord = "stop"
	Flag      RuleWord = "flag"
	Skip      RuleWord = "skip"
	Lapse     RuleWord = "lapse"
)

// Rule is one line such as "advance when 4 of last 5".
type Rule struct {
	Word    RuleWord
	When    Criterion
	To      string   // step an ease or lapse goes to; "" means the level before (ease) or the last level (lapse)
	ToFirst bool     // to that step's first level instead of its last
	Into    []string // names of the pieces of a split
	Pos     Pos
}

// Session is how a training session is put together. Zero numbers mean no limit.
type Session struct {
	Name            string
	Lasts           Quantity
	MaxTrials       int
	MaxNew          int // new behaviours
	MaxInARow       int // trials of one behaviour running
	MaxPerBehaviour int // trials of one behaviour
	MaxBehaviours   int
	Impact          []Cap // trials of all behaviours that count as impact together
	LivelyUpTo      int   // whole degrees Celsius above which nothing lively is planned
	OpensWith       Slot
	ClosesWith      Slot
	Extras          Share // of the day's energy; zero Den means not stated
	Away            []Away
	Rest            Rest
	Success         Share // of trials that is expected to succeed, at least; zero Den means not stated
	SuccessPos      Pos
	LimitsPos       Pos // of the first line of limits
	ExtrasPos       Pos
	Pos             Pos
}

// Rest is a break inside a session: after so much work at most, so long. Zero quantities mean none.
type Rest struct {
	For   Quantity
	Every Quantity
	Pos   Pos
}

// IsZero reports whether no rest is laid down.
func (r Rest) IsZero() bool { return r.For.IsZero() || r.Every.IsZero() }

// Slot is the first or last place of a session.
type Slot struct {
	Known     bool   // something known
	Behaviour string // or this one
	Pos       Pos
}

// IsZero reports whether the slot is free.
func (s Slot) IsZero() bool { return !s.Known && s.Behaviour == "" }

// Away eases a behaviour after a long pause.
type Away struct {
	Days   int
	Levels int
	Pos    Pos
}

// State is where a behaviour stands with a dog.
type State string

const (
	Waiting State = "waiting" // a prerequisite is missing
	Open    State = "open"    // may begin, no evidence yet
	Working State = "working"
	Kept    State = "kept" // all steps done, kept fresh
	Lapsed  State = "lapsed"
	Paused  State = "paused" // a firm prerequisite was lost
)
