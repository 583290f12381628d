package engine

import (
	"fmt"

	"example.com/rung/curriculum"
)

// Codes of refusals. They are stable.
const (
	CodeBroken  = "broken"           // a fault in a curriculum built by a program
	CodeTooLong = "beyond-the-limit" // a window, a ramp or a list beyond what the engine holds
)

// Codes of lines that cannot be used. They are stable.
const (
	CodeNoDog            = "no-dog"
	CodeNoTime           = "no-time"
	CodeNoOutcome        = "no-outcome" // and no measure that decides
	CodeBadOutcome       = "bad-outcome"
	CodeBadMeasure       = "bad-measure" // not a number, or without end
	CodeUnknownBehaviour = "unknown-behaviour"
	CodeUnknownStep      = "unknown-step"
	CodeUnknownLevel     = "unknown-level" // of a move by hand
	CodeBadEvent         = "bad-event"     // an unknown kind, or one that lacks what it needs
	CodeEarlier          = "earlier"       // than the dog's last line; Replay sorts
	CodeTwin             = "id-twice"      // another line bears the id: not read
)

// Codes of reports about lines that were taken. They are stable.
const (
	CodeUndeclaredPlace   = "undeclared-place"
	CodeUndeclaredHandler = "undeclared-handler"
	CodeUndeclaredMeasure = "undeclared-measure"
	CodeUndeclaredHelp    = "undeclared-help"
	CodeUndeclaredSign    = "undeclared-sign"
	CodeUnlistedLevel     = "unlisted-level" // the step has no such value
	CodeUnlistedPiece     = "unlisted-piece" // the step runs no such piece of a chain
	CodeDisagrees         = "outcome-disagrees"
	CodeMeasureMissing    = "measure-missing" // of a trial that its measures decide
	CodeWaiting           = "waiting"         // a trial of a behaviour that may not begin yet
	CodePaused            = "paused"          // a trial of a behaviour that has lost a firm door
	CodeNoStepAfterMove   = "no-step-after-move"
	CodeSessionReopened   = "session-reopened"
	CodeSessionLong       = "session-twelve-hours"
	CodeNoProfile         = "no-profile"
	CodeTrainedLocked     = "trained-while-locked"
	CodeNothingToClear    = "nothing-to-clear"
	CodeUnsigned          = "unsigned"              // a move by hand that names nobody
	CodeSpoiledSession    = "conditions-unsuitable" // three void trials in one session
	CodePaidErrors        = "paid-errors"           // too many misses were rewarded
	CodeFunctionBroke     = "function-broke"        // one of WithFunctions panicked
)

// line is where a report points.
type line struct {
	source string
	n      int
	dog    string
}

// report is a Report whose text is made when somebody asks: place is where a trial without a step was counted.
type report struct {
	Report
	place *level
}

func (r *report) out() Report {
	o := r.Report
	if r.place != nil {
		o.Text = fmt.Sprintf("the trial names no step though %s moved earlier in the session; it counts at %s", r.place.stage.b.src.Name, placeText(r.place.stage, r.place))
	}
	return o
}

// said is every report so far.
func (f *Fold) said() []Report {
	out := make([]Report, len(f.reports))
	for i := range f.reports {
		out[i] = f.reports[i].out()
	}
	return out
}

func (f *Fold) report(at line, code, format string, args ...any) {
	f.reports = append(f.reports, report{Report: Report{Source: at.source, Line: at.n, Dog: at.dog, Code: code, Text: fmt.Sprintf(format, args...)}})
}

// refuse is a report of a line that cannot be used, and its error.
func (f *Fold) refuse(at line, code, format string, args ...any) error {
	r := Report{Source: at.source, Line: at.n, Dog: at.dog, Code: code, Text: fmt.Sprintf(format, args...), Unusable: true}
	f.reports = append(f.reports, report{Report: r})
	e := &LineError{Report: r}
	if code == CodeEarlier {
		e.Err = ErrEarlier
	}
	return e
}

// undeclared reports a name that the curriculum does not declare. A log may hold a million of them: the text is made once.
func (f *Fold) undeclared(at line, code, name string, text func() string) {
	key := code + " " + name
	said, ok := f.texts[key]
	if !ok {
		said = text()
		f.texts[key] = said
	}
	f.reports = append(f.reports, report{Report: Report{Source: at.source, Line: at.n, Dog: at.dog, Code: code, Text: said}})
}

// once reports one thing about one name the first time it is met.
func (f *Fold) once(at line, code, name, format string, args ...any) {
	key := code + " " + name
	if f.told[key] {
		return
	}
	f.told[key] = true
	f.report(at, code, format, args...)
}

// near is a hint at the name that was probably meant.
func near(word string, names []string) string {
	if n := curriculum.Nearest(word, names); n != "" {
		return fmt.Sprintf(" (did you mean %q?)", n)
	}
	return ""
}
