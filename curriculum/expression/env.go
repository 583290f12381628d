package expression

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// Type is what a part of an expression is.
type Type uint8

const (
	Invalid Type = iota
	Bool         // yes or no
	Number
	Text
)

// String is the type in a trainer's words.
func (t Type) String() string {
	switch t {
	case Bool:
		return "yes or no"
	case Number:
		return "a number"
	case Text:
		return "a text"
	}
	return "nothing"
}

// Value is an argument or the result of a registered function: the field that Type names counts.
type Value struct {
	Type   Type
	Bool   bool
	Number float64
	Text   string
}

// Function is a function of the host program that expressions may call. Call must be pure and safe for concurrent
// use; it gets as many arguments as Params, of those types, and must not keep the slice. Call may be nil where
// expressions are only checked; such a function makes an expression that calls it not hold. So does one that panics: the
// panic goes no further, and Facts.Fault tells of it.
type Function struct {
	Name    string
	Params  []Type
	Returns Type
	Call    func(args []Value) Value
}

// Scope says which facts stand open to an expression.
type Scope uint8

const (
	TrialAndDog Scope = iota // a trial's facts by their names, the dog's under `dog`
	DogOnly                  // only the dog's facts, by their names or under `dog`
)

// Env is what an expression may name. The zero value knows the facts every curriculum has.
type Env struct {
	Measures  []curriculum.Measure
	Functions []Function
	Scope     Scope

	MaxBytes int // of the text; 0 means DefaultMaxBytes
	MaxDepth int // of brackets; 0 means DefaultMaxDepth
	MaxParts int // literals, names and operators; 0 means DefaultMaxParts
}

// The default limits. A condition somebody can still read has some tens of bytes; the limits leave a hundred times
// that and keep the cost of reading hostile text, and of evaluating any text, small.
const (
	DefaultMaxBytes = 4096
	DefaultMaxDepth = 100
	DefaultMaxParts = 200
)

func (e Env) maxBytes() int { return orDefault(e.MaxBytes, DefaultMaxBytes) }
func (e Env) maxDepth() int { return orDefault(e.MaxDepth, DefaultMaxDepth) }
func (e Env) maxParts() int { return orDefault(e.MaxParts, DefaultMaxParts) }

func orDefault(n, d int) int {
	if n > 0 {
		return n
	}
	return d
}

// Member is the name under which the dog's facts stand.
const Member = "dog"

// fact is something an expression can read; exactly one of the getters is set. recorded is nil for what is always known.
type fact struct {
	name     string
	typ      Type
	recorded func(*Facts) bool
	yes      func(*Facts) bool
	number   func(*Facts) float64
	text     func(*Facts) string
}

// FactName is how a measure's name is written inside braces.
func FactName(measure string) string { return strings.ReplaceAll(measure, "-", "_") }

// IsTrialFact reports whether every trial has a fact of that name, so that a measure cannot bear it.
func IsTrialFact(name string) bool {
	name = FactName(name)
	return name == Member || slices.ContainsFunc(trialFacts, func(f fact) bool { return f.name == name })
}

// IsWord reports whether name has a meaning of its own inside braces, so that no measure or function can bear it.
func IsWord(name string) bool { return slices.Contains(words, FactName(name)) }

var words = []string{"and", "contains", "else", "endsWith", "false", "if", "in", "let", "matches", "nil", "not", "or", "startsWith", "true"}

// facts returns what the bare names and what the members of `dog` may be.
func (e Env) facts() (bare, dog []fact) {
	if e.Scope == DogOnly {
		return dogFacts, dogFacts
	}
	bare = append(bare, trialFacts...)
	for _, m := range []string{"latency", "duration", "distance"} {
		bare = append(bare, measureFact(m))
	}
	for _, m := range e.Measures {
		if !IsTrialFact(m.Name) && !slices.ContainsFunc(bare, func(f fact) bool { return f.name == FactName(m.Name) }) {
			bare = append(bare, measureFact(m.Name))
		}
	}
	return bare, dogFacts
}

// Names lists what an expression may name, in order: the bare names, then the members as dog.NAME, then functions.
func (e Env) Names() []string {
	var out []string
	bare, dog := e.facts()
	for _, f := range bare {
		out = append(out, f.name)
	}
	for _, f := range dog {
		out = append(out, Member+"."+f.name)
	}
	for _, f := range e.Functions {
		out = append(out, f.Name)
	}
	slices.Sort(out)
	return out
}
