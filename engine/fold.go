package engine

import (
	"errors"
	"fmt"
	"io"
	"time"

	"example.com/rung/curriculum"
)

// ErrEarlier is in the chain of the error for a line earlier than the last one taken of its dog. Replay sorts.
var ErrEarlier = errors.New("earlier than the last line taken of this dog")

// LineError is a line of a history that cannot be used: it was not taken.
type LineError struct {
	Report
	Err error // ErrEarlier, or nil
}

// Error is the place and what is wrong.
func (e *LineError) Error() string {
	if e.Source == "" && e.Line == 0 {
		return e.Text
	}
	return fmt.Sprintf("%s:%d: %s", e.Source, e.Line, e.Text)
}

// Unwrap is ErrEarlier or nil.
func (e *LineError) Unwrap() error { return e.Err }

// Fold takes trials and events of any number of dogs one at a time, and knows at any moment where each dog stands. It is
// not safe for concurrent use.
type Fold struct {
	p *Program
}

// NewFold begins with no trials. Dogs are the profiles known; a dog without one is known from its first line on.
func (p *Program) NewFold(dogs ...curriculum.Dog) *Fold { return &Fold{p: p} }

// Record takes one trial. The error is a *LineError where the trial cannot be used; its report is also in Reports.
func (f *Fold) Record(t *curriculum.Trial) error { return nil }

// Note takes one event: a sign, a clear, a move by hand or a note.
func (f *Fold) Note(e *curriculum.Event) error { return nil }

// Take takes either.
func (f *Fold) Take(e *curriculum.Entry) error {
	if e.IsEvent {
		return f.Note(&e.Event)
	}
	return f.Record(&e.Trial)
}

// Reports is what a person should know about the lines taken and refused so far, in the order of the lines.
func (f *Fold) Reports() []Report { return nil }

// Now is the time of the latest line of any dog, zero where there is none.
func (f *Fold) Now() time.Time { return time.Time{} }

// Standing is where every dog stands at now. Sessions that are over by then are closed for the answer, not in the fold.
func (f *Fold) Standing(now time.Time) *Standing { return &Standing{} }

// Resume is what Program.Resume needs of one dog beside its standing.
type Resume struct{}

// Save writes the standing and all that Program.Resume needs to go on, as JSON.
func (f *Fold) Save(w io.Writer) error { return nil }

// Resume goes on where Save left off. It refuses what was saved with a curriculum of another meaning.
func (p *Program) Resume(r io.Reader, dogs ...curriculum.Dog) (*Fold, error) { return nil, nil }

// Replay folds a whole history: sorted by time, ties in record order; of two lines with one id the first stands and the
// other is reported. Lines that cannot be used are in Reports. The entries are left as they are.
func (p *Program) Replay(entries []curriculum.Entry, now time.Time, dogs ...curriculum.Dog) *Fold {
	return p.NewFold(dogs...)
}
