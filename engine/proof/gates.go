package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/odds"
)

const (
	codeWeakGate = "weak-gate"

	halfKnown   = .6 // the success rate of a dog that does not know it yet
	gateTrials  = 20
	gateLimit   = .5 // the chance of passing by then from which a gate is weak
	gateSession = 10 // trials in a session, where nothing limits them
)

var gateCodes = []codeEntry{{
	Code: codeWeakGate, Severity: Warning, Title: "known that is not known",
	Means: "A criterion or a step whose name says that the dog knows it (known, fluent, sure, solid ...) is passed within 20 trials by most dogs that are right only 60% of the time: worked out exactly, each trial like the one before. " +
		"A window of five slides until luck helps, which does no harm on a ramp, where the next level shows it. Where something is to be called known, take whole blocks on two days, or the first trial of several sessions. " +
		"That what was passed at a lower mark is kept less well was found with people (Fuller and Fienup 2017, Behav Anal Pract; Longino and others 2021, Behav Anal Pract 15:397), not with dogs.",
	Faulty:   "rung 1\ncriterion known = 4 of last 5\nbehaviour settle {\n  step go \"down within 3 s\" {\n    advance when known\n    flag when after 40 trials\n  }\n}\n",
	Repaired: "rung 1\ncriterion known = 8 of each 10 and 4 of last 5 in 2 days\nbehaviour settle {\n  step go \"down within 3 s\" {\n    advance when known\n    flag when after 40 trials\n  }\n}\n",
}}

var gateChecks = []check{{[]string{codeWeakGate}, (*subject).weakGates}}

// knowing are words that call a dog finished with something.
var knowing = []string{"known", "know", "knows", "fluent", "fluency", "mastered", "mastery", "sure", "solid", "reliable", "finished", "proofed"}

// gate is the criterion in an advance rule that by its name says the dog knows it, or nil. One with something added to it
// counts by what it is together.
func gate(c curriculum.Criterion) *curriculum.Named {
	switch c := c.(type) {
	case curriculum.Named:
		if saysKnown(c.Name) {
			return &c
		}
	case curriculum.And:
		for _, x := range c.All {
			if g := gate(x); g != nil {
				return g
			}
		}
	}
	return nil
}

// saysKnown reports whether a name says that the dog knows it.
func saysKnown(name string) bool {
	return !strings.HasPrefix(name, "not-") && slices.ContainsFunc(strings.Split(name, "-"), func(w string) bool { return slices.Contains(knowing, strings.ToLower(w)) })
}

func (s *subject) weakGates() {
	known := map[string]float64{} // by criterion and session
	for _, p := range s.places() {
		for _, r := range p.rules(curriculum.Advance) {
			promise := p.step.Name
			if g := gate(r.When); g != nil {
				promise = g.Name
			}
			if !saysKnown(promise) || s.neverHolds(p, r) {
				continue
			}
			trials := gateSession
			if n := s.roomOf(p).session; n > 0 {
				trials = n
			}
			key := fmt.Sprint(trials, " ", curriculum.CriterionText(r.When))
			chance, done := known[key]
			if !done {
				chance = s.passes(r.When, trials)
				known[key] = chance
			}
			if chance <= gateLimit {
				continue
			}
			f := p.finding(codeWeakGate, r.Pos, "a dog that is right only %.0f%% of the time passes %s within %d trials with a chance of %.0f%%", 100*halfKnown, promise, gateTrials, 100*chance)
			f.Help, f.Answer = "ask for a whole block, and on two days: 8 of each 10 and 4 of last 5 in 2 days", Disproved
			s.report(f)
		}
	}
}

// passes is the exact chance that a dog that half knows it meets a criterion in time; nought where that cannot be worked
// out: other findings say so.
func (s *subject) passes(c curriculum.Criterion, session int) float64 {
	a, err := odds.OfCriterion(c, s.c, odds.Question{Chances: []float64{halfKnown}, By: gateTrials, Sessions: odds.Sessions{Trials: session}, Budget: s.options.states(), Functions: s.options.Functions})
	if err != nil || len(a.Rows) != 1 {
		return 0
	}
	return a.Rows[0].Advance
}
