package engine

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// Program is a curriculum made ready for folding trials. It never changes once made and is safe for concurrent use; each
// Fold made from it belongs to one goroutine at a time.
type Program struct {
	c           *curriculum.Curriculum
	fingerprint string
	origin      string

	behaviours []*behaviour
	names      map[string]int // of behaviours, former ones too
	rules      []*rule
	closes     bool               // some rules wait for a session to close
	doors      int                // how many
	away       []*curriculum.Away // the longest pause first

	places, handlers, help map[string]bool
	measures               map[string]curriculum.Unit
	signs                  map[string]*curriculum.Sign
}

// Option changes how a curriculum is compiled.
type Option func(*options)

type options struct{ functions []expression.Function }

// WithFunctions lets the conditions in braces call functions of the host program. They must be pure and safe for
// concurrent use. A condition whose function panics does not hold; that is reported once for each function, as
// CodeFunctionBroke.
func WithFunctions(fns ...expression.Function) Option {
	return func(o *options) { o.functions = append(o.functions, fns...) }
}

// Refusal is one thing in a curriculum that the engine cannot evaluate: a statement it does not know how to work out, or
// a fault in a curriculum built by a program.
type Refusal struct {
	Pos       curriculum.Pos `json:"pos"`
	Code      string         `json:"code"`
	Feature   string         `json:"feature"` // the statement, in the language's own spelling
	Behaviour string         `json:"behaviour,omitempty"`
	Step      string         `json:"step,omitempty"`
	Text      string         `json:"text"`
	Next      string         `json:"next"` // what to do about it
}

// Error is the refusal as one line: place, text, next step.
func (r Refusal) Error() string {
	var b strings.Builder
	if r.Pos.Line > 0 {
		fmt.Fprintf(&b, "%s:%d: ", r.Pos.File, r.Pos.Line)
	}
	b.WriteString(r.Text)
	if r.Next != "" {
		b.WriteString("; " + r.Next)
	}
	return b.String()
}

// Refusals is every refusal of a curriculum, in the order of the text.
type Refusals []Refusal

// Error lists all refusals, one a line.
func (rs Refusals) Error() string {
	lines := make([]string, len(rs))
	for i, r := range rs {
		lines[i] = r.Error()
	}
	return strings.Join(lines, "\n")
}

// Curriculum is what the program was made from; it must not be changed.
func (p *Program) Curriculum() *curriculum.Curriculum {
	if p == nil {
		return nil
	}
	return p.c
}

// Fingerprint stands for the meaning of the curriculum, whatever its spelling.
func (p *Program) Fingerprint() string {
	if p == nil {
		return ""
	}
	return p.fingerprint
}
