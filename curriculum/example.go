package curriculum

// Example is a test an author writes in the text: a small history and what should come of it.
type Example struct {
	Name  string
	Items []ExampleItem
	Pos   Pos
}

// ExampleItem is one line of an example; exactly one field but Pos is set.
type ExampleItem struct {
	Dog     *ExampleDog
	Start   *ExampleStart
	Trials  *ExampleTrials
	Session *ExampleSession
	Sign    *ExampleSign // a welfare sign was seen
	Clear   *ExampleSign // a named person lifts its lock
	Case    *ExampleCase
	Expect  *Expectation
	Pos     Pos
}

// ExampleDog says which dog the example is about. Without such a line nothing is known of the dog.
type ExampleDog struct {
	Profile       string // a profile that whoever runs the example has; "" for none
	AgeMonths     int    // on the first day; zero for not said
	AgeDays       int    // written in days or weeks
	WeightKg      float64
	AdultWeightKg float64
	Neutered      YesNo
	Avoid         []string // foods and ingredients it may not eat
	Cues          []string // kinds of cue it can sense; empty means all
}

// ExampleStart puts the dog at a step and level, or says that the behaviour is kept, as a trainer's own decision would.
type ExampleStart struct {
	Behaviour string
	Step      string
	Level     LevelRef // empty means the step's first level
	Kept      bool
}

// ExampleSign is a welfare sign that is seen in the dog, or that a named person clears.
type ExampleSign struct {
	Name      string
	Behaviour string // in which it was seen, or which is cleared of it; "" for no one behaviour
	By        string // who saw it, "" for not said, or who clears it
}

// ExampleTrials is a line of tally marks.
type ExampleTrials struct {
	Behaviour string
	Step      string // "" means the present one
	Level     LevelRef
	Marks     []Mark
}

// Mark is one tally mark with what was recorded beside it; or a bar, where a session ends, and then nothing else is set.
type Mark struct {
	Bar      Bar
	Outcome  Outcome
	Help     Timing
	Measures []MeasureValue
	Rewarded YesNo // whether the trial was paid, where that is said
	Pos      Pos
}

// Bar stands between marks where a session ends and another begins, at the same place and with the same handler.
type Bar uint8

const (
	NoBar      Bar = iota
	SessionBar     // later on the same day
	DayBar         // on the next day
)

// Timing is when help came in a trial, if it did.
type Timing uint8

const (
	NoHelp Timing = iota
	LateHelp
	EarlyHelp
)

// ExampleSession begins a new session in an example. A place and a handler belong to it alone.
type ExampleSession struct {
	AfterDays int
	Place     string
	Handler   string
}

// ExampleCase is one row of a table: trials that follow the lines above it, other rows left out, and what should come
// of them.
type ExampleCase struct {
	ExampleTrials
	Then []Expectation // of the same behaviour
}

// Expectation is what an example expects; Plan tells which of the two groups of fields counts.
type Expectation struct {
	Behaviour string
	Step      string
	Level     LevelRef
	State     State  // "" means not asked
	Noted     string // "stop" or "flag", "" means not asked
	Not       bool   // Noted must not have been noted

	Plan    bool
	LeftOut bool
	Because string // code of the reason, "" means any

	Pos Pos
}
