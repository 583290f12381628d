package engine

import "errors"

// ErrNoProgram is in the chain of the error of whatever is asked of a nil or zero Program or Fold. What has no error to
// return answers as if there were no dogs.
var ErrNoProgram = errors.New("there is no compiled curriculum here: take the Program that Compile returns, and the Fold of its NewFold, Replay or Resume")

func (p *Program) none() bool { return p == nil || p.c == nil }

func (f *Fold) none() bool { return f == nil || f.p.none() }

// Program is what the fold was made from, nil where it was made from none.
func (f *Fold) Program() *Program {
	if f.none() {
		return nil
	}
	return f.p
}
