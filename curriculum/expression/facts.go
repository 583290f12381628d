package expression

import (
	"fmt"
	"time"

	"example.com/rung/curriculum"
)

// Kind is what a trial was, after prompts, help and measures have been weighed. The zero Kind is a trial that is none
// of the four, such as one with early help.
type Kind uint8

const (
	OtherKind Kind = iota
	Success
	Wrong
	Silent
	Helped
)

// FullValue is the fact that a trial asked for the full value of its level, or more, of every ramp that varies inside
// its levels; a trial of any other step always does.
const FullValue = curriculum.FullValue

// Facts is what an expression looks at. Trial may be nil where the expression reads only the dog, Dog may be nil where
// there is no profile; what is missing counts as not recorded.
type Facts struct {
	Trial *curriculum.Trial
	Kind  Kind
	Step  string // the step the trial belongs to; "" means the one it names
	Dog   *curriculum.Dog
	Day   time.Time // the date on which the dog's age is taken
	Short bool      // the trial asked for less than the full value of a ramp that varies inside its levels

	Fault *FunctionError // set by Holds: what became of a function of the host program; nil where nothing did
}

// FunctionError is a function of the host program that panicked.
type FunctionError struct {
	Function string
	Panic    any // what it panicked with
}

// Error names the function and says what it panicked with.
func (e *FunctionError) Error() string {
	return fmt.Sprintf("the function %s of the program that reads this curriculum broke off: %v", e.Function, e.Panic)
}

// Unwrap is what the function panicked with, where that was an error.
func (e *FunctionError) Unwrap() error {
	err, _ := e.Panic.(error)
	return err
}

func hasTrial(f *Facts) bool { return f.Trial != nil }

func isKind(k Kind) func(*Facts) bool { return func(f *Facts) bool { return f.Kind == k } }

// trialFacts is never changed.
var trialFacts = []fact{
	{name: "success", typ: Bool, recorded: hasTrial, yes: isKind(Success)},
	{name: "wrong", typ: Bool, recorded: hasTrial, yes: isKind(Wrong)},
	{name: "silent", typ: Bool, recorded: hasTrial, yes: isKind(Silent)},
	{name: "helped", typ: Bool, recorded: hasTrial, yes: isKind(Helped)},
	{name: "early", typ: Bool, recorded: hasTrial, yes: func(f *Facts) bool { return f.Trial.Early }},
	{
		name: "rewarded", typ: Bool,
		recorded: func(f *Facts) bool { return f.Trial != nil && f.Trial.Rewarded != curriculum.NotSaid },
		yes:      func(f *Facts) bool { return f.Trial.Rewarded == curriculum.Yes },
	},
	{name: FullValue, typ: Bool, recorded: hasTrial, yes: func(f *Facts) bool { return !f.Short }},
	{
		name: "place", typ: Text,
		recorded: func(f *Facts) bool { return f.Trial != nil && f.Trial.Place != "" },
		text:     func(f *Facts) string { return f.Trial.Place },
	},
	{
		name: "handler", typ: Text,
		recorded: func(f *Facts) bool { return f.Trial != nil && f.Trial.Handler != "" },
		text:     func(f *Facts) string { return f.Trial.Handler },
	},
	{name: "step", typ: Text, recorded: func(f *Facts) bool { return stepOf(f) != "" }, text: stepOf},
}

func stepOf(f *Facts) string {
	if f.Step == "" && f.Trial != nil {
		return f.Trial.Step
	}
	return f.Step
}

// measureFact reads a recorded number.
func measureFact(measure string) fact {
	return fact{
		name: FactName(measure), typ: Number,
		recorded: func(f *Facts) bool {
			if f.Trial == nil {
				return false
			}
			_, ok := f.Trial.Measure(measure)
			return ok
		},
		number: func(f *Facts) float64 { v, _ := f.Trial.Measure(measure); return v },
	}
}

// dogFacts is never changed.
var dogFacts = []fact{
	ageFact("age_days", func(_, _, d int) int { return d }),
	ageFact("age_weeks", func(_, w, _ int) int { return w }),
	ageFact("age_months", func(m, _, _ int) int { return m }),
	weightFact("weight_kg", func(d *curriculum.Dog) float64 { return d.WeightKg }),
	weightFact("adult_weight_kg", func(d *curriculum.Dog) float64 { return d.AdultWeightKg }),
	{
		name: "neutered", typ: Bool,
		recorded: func(f *Facts) bool { return f.Dog != nil && f.Dog.Neutered != curriculum.NotSaid },
		yes:      func(f *Facts) bool { return f.Dog.Neutered == curriculum.Yes },
	},
	{
		name: "name", typ: Text,
		recorded: func(f *Facts) bool { return f.Dog != nil && f.Dog.Name != "" },
		text:     func(f *Facts) string { return f.Dog.Name },
	},
}

func ageFact(name string, pick func(months, weeks, days int) int) fact {
	return fact{
		name: name, typ: Number,
		recorded: func(f *Facts) bool { _, _, _, ok := f.Dog.AgeAt(f.Day); return ok },
		number:   func(f *Facts) float64 { m, w, d, _ := f.Dog.AgeAt(f.Day); return float64(pick(m, w, d)) },
	}
}

func weightFact(name string, get func(*curriculum.Dog) float64) fact {
	return fact{
		name: name, typ: Number,
		recorded: func(f *Facts) bool { return f.Dog != nil && get(f.Dog) > 0 },
		number:   func(f *Facts) float64 { return get(f.Dog) },
	}
}
