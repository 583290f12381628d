package curriculum

import "time"

// Outcome is what the dog did in a trial.
type Outcome uint8

const (
	NoOutcome Outcome = iota // not written: a measure the level ramps over decides
	Success
	Wrong  // another act, or short of the level
	Silent // no response in the time allowed
	OptOut // the dog left, as it may
	Void   // spoiled by handler or world
)

var outcomeNames = [...]string{"", "success", "wrong", "silent", "opt-out", "void"}

// String is the outcome's name as logs write it.
func (o Outcome) String() string {
	if int(o) < len(outcomeNames) {
		return outcomeNames[o]
	}
	return "?"
}

// ParseOutcome is the outcome of that name.
func ParseOutcome(s string) (Outcome, bool) {
	for i, n := range outcomeNames {
		if i > 0 && n == s {
			return Outcome(i), true
		}
	}
	return NoOutcome, false
}

// UnnamedHelp is the help word of a trial that was helped beyond its step's prompts without saying how.
const UnnamedHelp = "unnamed"

// YesNo is a fact that may not have been recorded.
type YesNo uint8

const (
	NotSaid YesNo = iota
	Yes
	No
)

// Trial is one attempt, as it was recorded. Only Dog, Behaviour, At and Outcome (or a measure that decides it) are
// needed.
type Trial struct {
	ID        string // unique over all logs; "" gets a stable one from the history reader
	Dog       string
	Behaviour string
	At        time.Time // its date, in its own offset, is the trial's day
	Session   string    // "" groups trials by gaps under 30 minutes
	Place     string
	Handler   string
	Step      string   // "" belongs to the dog's present step
	Level     LevelRef // empty belongs to the dog's present level
	Outcome   Outcome
	Help      []string // what helped; see UnnamedHelp
	Early     bool     // help came before the dog had its chance
	Measures  []MeasureValue
	Rewarded  YesNo
	Failed    string // in a chain, the first piece that failed
	Note      string

	Source string // where it was read, for reports
	Line   int
}

// MeasureValue is one recorded number: latency and duration in seconds, distance in metres, a declared measure in its
// declared unit.
type MeasureValue struct {
	Name  string
	Value float64
}

// Measure returns the recorded value of that name.
func (t *Trial) Measure(name string) (float64, bool) {
	for _, m := range t.Measures {
		if m.Name == name {
			return m.Value, true
		}
	}
	return 0, false
}

// EventKind is what an event beside the trials is.
type EventKind string

const (
	SignSeen    EventKind = "sign"  // a welfare sign was seen
	SignCleared EventKind = "clear" // a named person lifts a sign's lock
	HandMove    EventKind = "move"  // a trainer overrules
	NoteTaken   EventKind = "note"
)

// Event is a line of a log that is not a trial.
type Event struct {
	ID        string
	Dog       string
	Behaviour string // may be empty for sign, clear and note
	At        time.Time
	Kind      EventKind
	Session   string
	Sign      string
	Step      string
	Level     LevelRef
	Kept      bool // a hand move that says finished
	By        string
	Note      string

	Source string
	Line   int
}

// Entry is one line of a history: a trial, or an event if IsEvent.
type Entry struct {
	IsEvent bool
	Trial   Trial
	Event   Event
}

// At is the entry's time.
func (e *Entry) At() time.Time {
	if e.IsEvent {
		return e.Event.At
	}
	return e.Trial.At
}

// Dog returns the entry's dog.
func (e *Entry) Dog() string {
	if e.IsEvent {
		return e.Event.Dog
	}
	return e.Trial.Dog
}
