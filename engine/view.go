package engine

import (
	"time"

	"example.com/rung/curriculum"
)

// DogView is what a planner needs to know of one dog at one moment.
type DogView struct {
	Dog        curriculum.Dog // its profile; only the name where none was given
	Standing   DogStanding
	Locked     []Lock
	Behaviours []BehaviourView // in file order, all listed
	// SessionEnded says that a sign ended the session that is open at now.
	SessionEnded bool
}

// BehaviourView is one behaviour of a DogView. Counts of trials leave void ones and opt-outs out; a session counts on
// the date of its first such trial; dates are those written in the time stamps, and the seven days end with now's date.
type BehaviourView struct {
	Behaviour    *curriculum.Behaviour
	State        curriculum.State
	Step, Level  int              // indices; Level counts the dog's own levels of the step
	At           curriculum.Level // the level, also one that a split put in
	MissingDoors []string         // in words
	Locked       bool
	Stopped      bool      // stopped in the session that is open at now
	LastTrained  time.Time // zero if never
	EnteredAt    time.Time // when the level was entered; zero if it was not yet

	TrialsToday, SessionsToday int
	Trials7Days, Sessions7Days int
	Recent                     Tally // of the newest ten evidence trials at this level
	Card                       Card
}

// Tally is so many successes among so much evidence.
type Tally struct {
	Successes int `json:"successes"`
	Evidence  int `json:"evidence"`
}

// Card is what to do on which tally, in words with destinations.
type Card struct {
	Advance, Ease, Split, Stop, Flag []CardLine
}

// CardLine is one rule of a card: when, and where it leads.
type CardLine struct {
	Text string `json:"text"`
	To   string `json:"to,omitempty"`
}

// Dog is what a planner needs to know of a dog, or nil for one without a profile and without a line in the history.
func (f *Fold) Dog(name string, now time.Time) *DogView { return nil }
