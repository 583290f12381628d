package proof

import (
	"cmp"
	"slices"

	"example.com/rung/curriculum"
)

// Finding is one thing that does not hang together.
type Finding struct {
	Code     string // such as "one-way"; Explain says more
	Severity Severity

	// Pos is where the statement, name or text that it is about begins; a curriculum that a program built has none.
	Pos curriculum.Pos

	Behaviour string   // "" where it is about the whole curriculum
	Step      string   // "" where it is about the whole behaviour
	With      []string // other behaviours that it is about: an allow in one of them silences it too

	Text string // what is wrong: one sentence, without its full stop
	Help string // the smallest thing to change

	// History is the shortest run of trials that shows it, as tally marks: + - 0 h e o! x. NewSession before a mark says
	// that the trial begins a new session, NewDay that it does so on a later day.
	History []string
	Answer  Answer // how sure it is; empty for advice
	Because string // why there is no proof, or what was taken for granted

	Related []Related
	Also    []Where // where else the same words of a ladder give the same finding
}

// What stands between the marks of a history.
const (
	NewSession = "|"
	NewDay     = "||"
)

// Answer is what became of the attempt to prove that the rules are sound in one respect. What was proved sound is no
// finding.
type Answer string

const (
	Proved    Answer = "proved"     // for every history
	Disproved Answer = "disproved"  // by History, or by what Text says
	NotProved Answer = "not proved" // Because says what stood in the way
)

// Related is another place that has to do with a finding.
type Related struct {
	Pos  curriculum.Pos
	Text string
}

// Where is a behaviour, and a step of it or "".
type Where struct{ Behaviour, Step string }

// String is "settle at stay", or "settle".
func (w Where) String() string {
	if w.Step == "" {
		return w.Behaviour
	}
	return w.Behaviour + " at " + w.Step
}

// Sort orders findings by file, line and column, then by code and text.
func Sort(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(ComparePos(a.Pos, b.Pos), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Text, b.Text))
	})
}

// ComparePos orders places by file, line and column.
func ComparePos(a, b curriculum.Pos) int {
	return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
}
