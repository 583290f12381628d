package proof

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// Findings by proof: the rules of a level as one machine (engine/automaton), every history at once. What the limits of a
// session keep from ever holding is found in reach.go and said once. Texts do not speak of a behaviour by name: those of
// several behaviours that share a ladder then become one finding (see together).

const (
	codeNever     = "never-holds"
	codeBeaten    = "always-beaten"
	codeIdleFlag  = "idle-flag"
	codeTogether  = "both-at-once"
	codeFirst     = "first-trial"
	codeOnAMiss   = "advance-on-a-miss"
	codeLongWait  = "long-wait"
	codeSwing     = "short-swing"
	codeBalance   = "out-of-balance"
	codeHolding   = "holding-rate"
	codeNotProved = "not-proved"
)

var exactChecks = []check{
	{codes: []string{codeNever, codeBeaten, codeIdleFlag, codeTogether, codeFirst, codeOnAMiss, codeLongWait, codeSwing, codeBalance, codeHolding, codeNotProved}, run: (*subject).exact},
}

// exact looks at the rules of every rung. Rungs with the same rules share what is found.
func (s *subject) exact() {
	x := &machinery{c: s.c, budget: s.options.states(), functions: s.options.Functions, made: map[string]*machines{}, dogs: s.noDog}
	known := map[string][]verdict{}
	for _, r := range s.rungs() {
		key := r.key()
		found, ok := known[key]
		if !ok {
			j := &judge{x: x, rung: r}
			err := j.rules()
			if err == nil {
				err = j.rates(s.options)
			}
			if err != nil { // a curriculum built by a program, or more conditions than can be told apart
				j.found = []verdict{{code: codeNotProved, rule: j.unreadable(), other: -1, answer: NotProved, because: err.Error(), text: "the rules of this step could not be looked at", help: "simplify the conditions in its rules"}}
			}
			found = j.found
			known[key] = found
		}
		stuck := s.stuck(r, found)
		for _, v := range found {
			tail := ""
			if stuck && v.rule >= 0 && v.ends() && r.stay.Rules[v.rule].Word == curriculum.Advance {
				tail = s.never(r.place())
			}
			s.reportVerdict(r, v, tail)
		}
	}
}

// unreadable is the first rule of which by itself no machine can be made; the first of all where it takes several.
func (j *judge) unreadable() int {
	return max(0, slices.IndexFunc(j.stay.Rules, func(r curriculum.Rule) bool {
		if r.Word == curriculum.Skip {
			r.Word = curriculum.Advance
		}
		one := *j.stay
		one.Rules = []curriculum.Rule{r}
		_, err := automaton.Make(j.x.c, &one, automaton.Options{Budget: 1, Functions: j.x.functions, Never: j.x.noDog})
		return err != nil
	}))
}

// ends reports whether the rule of a verdict never makes its move, in any history.
func (v *verdict) ends() bool {
	return (v.code == codeNever || v.code == codeBeaten) && v.answer == Disproved
}

// stuck reports whether no advance of a rung ever makes its move, so that what comes after it is never reached.
func (s *subject) stuck(r rung, found []verdict) bool {
	if r.step == len(r.b.Steps) || r.place().skipped() {
		return false
	}
	advances := 0
	for i := range r.stay.Rules {
		rule := &r.stay.Rules[i]
		if rule.Word != curriculum.Advance {
			continue
		}
		advances++
		if !s.neverHolds(r.place(), rule) && !slices.ContainsFunc(found, func(v verdict) bool { return v.rule == i && v.ends() }) {
			return false
		}
	}
	return advances > 0
}

// reportVerdict reports a verdict with what follows from it for the behaviour.
func (s *subject) reportVerdict(r rung, v verdict, tail string) {
	if r.step < len(r.b.Steps) && s.saidBefore(r, v) {
		return
	}
	f := Finding{Code: v.code, Behaviour: r.b.Name, Step: r.name(), Text: v.text, Help: v.help, Answer: v.answer, Because: v.because}
	if v.rule >= 0 {
		f.Pos = r.stay.Rules[v.rule].Pos
	} else {
		f.Pos = r.b.Steps[r.step].Pos
	}
	if v.other >= 0 {
		text := "the other rule"
		switch {
		case v.instead:
			text = "this one moves the dog before"
		case v.beside && r.stay.Rules[v.other].Word == curriculum.StopToday:
			text = "this one ends the work for the day"
		}
		f.Related = append(f.Related, Related{Pos: r.stay.Rules[v.other].Pos, Text: text})
	}
	f.History = v.marks
	if v.history != nil {
		f.History = v.machine.Marks(v.history)
	}
	if slices.ContainsFunc(s.found, func(o Finding) bool {
		return o.Code == f.Code && o.Pos == f.Pos && o.Text == f.Text+tail && o.Behaviour == f.Behaviour && o.Step == f.Step
	}) {
		return // two levels of one step
	}
	s.reportFollowed(f, tail)
}

// saidBefore reports whether a verdict is about a rule that the limits of the session, or what is asked of the dog, keep
// from holding, or about a pair of which that is one: outOfReach and joinedDogs say so already.
func (s *subject) saidBefore(r rung, v verdict) bool {
	about := []int{v.rule}
	if v.code != codeNever {
		about = append(about, v.other)
	}
	switch v.code {
	case codeNever, codeLongWait, codeSwing, codeBalance, codeHolding:
		return slices.ContainsFunc(about, func(i int) bool { return i >= 0 && s.neverHolds(r.place(), &r.stay.Rules[i]) })
	}
	return slices.ContainsFunc(about, func(i int) bool { return i >= 0 && s.dead[&r.stay.Rules[i]] })
}
