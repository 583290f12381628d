package proof

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

const (
	codeOneWay     = "one-way"
	codeNoChance   = "no-chance"
	codeCueTooSoon = "cue-too-soon"
	codeUnmeasured = "unmeasured"
	codeGuessable  = "guessable"
)

var stepCodes = []codeEntry{
	{
		Code: codeOneWay, Severity: Warning, Title: "a step with no way back and nobody who looks",
		Means: "The step has neither an ease nor a flag or split: a dog that fails here fails on until somebody notices. " +
			"A step that only counts (done 8 times) is always passed and needs none. Common practice.",
		Faulty:   "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeNoChance, Severity: Warning, Title: "a share of successes where the dog has no chance of its own",
		Means: "While a new cue and the old prompt come together, the dog follows the old one: that it does well says nothing about the new cue. " +
			"Such goes are counted (done 8 times), and the share is asked for once there is a pause between the two. " +
			"Pairings first and a growing pause after them is how time delay, a usual way of fading prompts, is taught.",
		Faulty:   "rung 1\nbehaviour settle {\n  step follow \"follows the hand 1 m\" {\n    prompt lure\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step paired \"word and hand, 1 m\" {\n    prompt word, lure\n    advance when 4 of last 5\n    ease when 3 misses of last 5\n  }\n  step alone \"the word, 1 m\" {\n    prompt word\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step follow \"follows the hand 1 m\" {\n    prompt lure\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step paired \"word and hand, 1 m\" {\n    prompt word, lure\n    advance when done 8 times\n  }\n  step alone \"the word, 1 m\" {\n    prompt word\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
	},
	{
		Code: codeCueTooSoon, Severity: Warning, Title: "a cue put on before the movement is there",
		Means:    "The behaviour begins by pairing a cue with a prompt. What the dog does then is still changing, and the cue comes to mean the first clumsy try. Get the movement first, then name it. Common practice.",
		Faulty:   "rung 1\nbehaviour settle {\n  step paired \"word and hand, 1 m\" {\n    prompt word, lure\n    advance when done 8 times\n  }\n  step alone \"the word, 1 m\" {\n    prompt word\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step follow \"follows the hand 1 m\" {\n    prompt lure\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step paired \"word and hand, 1 m\" {\n    prompt word, lure\n    advance when done 8 times\n  }\n  step alone \"the word, 1 m\" {\n    prompt word\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
	},
	{
		Code: codeUnmeasured, Severity: Warning, Title: "a rule asks for what nobody is told to write down",
		Means: "The rule looks at seconds, metres or another measure, but neither the success sentence nor the instruction nor the set-up says to write it down, and the step does not ramp over it. " +
			"A trial without the measure does not meet the rule, so on a tally sheet the dog never advances. Add a few words, such as: write down the seconds.",
		Faulty:   "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s\" {\n    advance when 8 of last 10 within 1.5 s\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step go \"lies down within 3 s; write down the seconds\" {\n    advance when 8 of last 10 within 1.5 s\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeGuessable, Severity: Warning, Title: "a choice that guessing passes",
		Means: "A dog that guesses between two answers gets 4 of 5 in nearly one block of five (6/32), 8 of 10 in one of eighteen (56/1024), 9 of 10 in one of ninety (11/1024): sums of the binomial distribution. " +
			"Ask for 9 of 10 or more, and mix the order so that no side comes up more than three times running; the sheet must say so.",
		Faulty:   "rung 1\nbehaviour turn {\n  step which-way \"to the side asked, 90 deg\" {\n    choice of left, right\n    do \"left and right in mixed order\"\n    advance when 4 of each 5\n    flag when after 80 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour turn {\n  step which-way \"to the side asked, 90 deg\" {\n    choice of left, right\n    do \"left and right in mixed order\"\n    advance when 9 of each 10\n    flag when after 80 trials\n  }\n}\n",
	},
}

var stepChecks = []check{
	{[]string{codeOneWay}, (*subject).oneWay},
	{[]string{codeNoChance}, (*subject).noChance},
	{[]string{codeCueTooSoon}, (*subject).cueTooSoon},
	{[]string{codeUnmeasured}, (*subject).unmeasured},
	{[]string{codeGuessable}, (*subject).guessable},
}

// countsOnly reports whether a criterion is met by going on, however the trials turn out.
func countsOnly(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Done, curriculum.After:
		return true
	case curriculum.Named:
		return countsOnly(c.Is)
	case curriculum.And:
		return !slices.ContainsFunc(c.All, func(x curriculum.Criterion) bool { return !countsOnly(x) })
	case curriculum.Or:
		return slices.ContainsFunc(c.Any, countsOnly)
	}
	return false
}

// alwaysPassed reports whether one of the step's advance rules is met by going on.
func (p place) alwaysPassed() bool {
	return slices.ContainsFunc(p.rules(curriculum.Advance), func(r *curriculum.Rule) bool { return countsOnly(r.When) })
}

func (s *subject) oneWay() {
	for _, p := range s.places() {
		if !p.has(curriculum.Advance) || p.alwaysPassed() || p.has(curriculum.Ease) || p.has(curriculum.Flag) || p.has(curriculum.Split) {
			continue
		}
		f := p.finding(codeOneWay, p.step.Pos, "%s has no ease, split or flag: a dog that fails there fails on, and nobody is told", p.step.Name)
		f.Help = "add: flag when after 40 trials"
		if p.i > 0 {
			f.Help = "add: ease when 3 misses of last 5"
		}
		s.report(f)
	}
}

// pairing reports whether the step gives a new cue together with the prompt it is to replace: a later step goes on with
// some of its prompts only.
func (p place) pairing() bool {
	if len(p.step.Prompts) < 2 || p.pause() != nil {
		return false
	}
	for _, later := range p.b.Steps[p.i+1:] {
		n := 0
		for _, x := range later.Prompts {
			if slices.Contains(p.step.Prompts, x) {
				n++
			}
		}
		if n > 0 && n == len(later.Prompts) && n < len(p.step.Prompts) {
			return true
		}
	}
	return false
}

// pauses are the names under which a ramp lets a cue and the help after it come apart.
var pauses = []string{"pause", "delay", "gap", "wait"}

// pause is the step's ramp over the time between the cue and the help, or nil.
func (p place) pause() *curriculum.Ramp {
	for i := range p.step.Ramps {
		if slices.Contains(pauses, p.step.Ramps[i].Of) {
			return &p.step.Ramps[i]
		}
	}
	return nil
}

func (s *subject) noChance() {
	for _, p := range s.places() {
		for _, r := range p.rules(curriculum.Advance) {
			if countsOnly(r.When) || !curriculum.AnyPart(r.When, countsSuccesses) {
				continue
			}
			if p.pairing() {
				f := p.finding(codeNoChance, r.Pos, "%s come together, so no success here is the dog's own: %s proves nothing", andList(p.step.Prompts), curriculum.CriterionNames(r.When))
				f.Help = "count goes instead: advance when done 8 times"
				s.report(f)
				continue
			}
			if ramp := p.pause(); ramp != nil && len(p.step.Help) > 0 && startsAtNought(*ramp) {
				f := p.finding(codeNoChance, ramp.Pos, "with %s %s the help comes with the cue, so no success there is the dog's own", ramp.Of, ramp.Values[0].Quantity)
				f.Help = "give the first pairings a step of their own: advance when done 8 times"
				s.report(f)
			}
		}
	}
}

func startsAtNought(r curriculum.Ramp) bool {
	q := r.Values[0].Quantity
	return !q.IsZero() && q.Num == 0
}

// countsSuccesses reports whether a criterion is about successes.
func countsSuccesses(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return c.Count == curriculum.Successes
	case curriculum.SessionShare, curriculum.FirstTrial, curriculum.Confidence, curriculum.Sequential, curriculum.Statistic:
		return true
	}
	return false
}

func (s *subject) cueTooSoon() {
	for _, p := range s.places() {
		if p.i != 0 || !p.pairing() {
			continue
		}
		f := p.finding(codeCueTooSoon, p.step.Pos, "%s begins with %s together, before the movement is there by itself", p.b.Name, andList(p.step.Prompts))
		f.Help = "put a step before it that has the old prompt alone"
		s.report(f)
	}
}

// andList is "word, palm and lure".
func andList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

// writtenDown are words by which a sheet asks for a measure. The text is read in lower case.
var writtenDown = []string{"write down", "write the", "write in", "note the", "note down", "record", "stopwatch", "timer", "log the", "measure"}

func (s *subject) unmeasured() {
	for _, p := range s.places() {
		sheet := p.b.SheetOf(p.i)
		said := strings.ToLower(strings.Join([]string{sheet.Success, sheet.Do, sheet.SetUp, p.step.Text}, "\n"))
		if slices.ContainsFunc(writtenDown, func(w string) bool { return strings.Contains(said, w) }) {
			continue
		}
		for i := range p.step.Rules {
			r := &p.step.Rules[i]
			for _, m := range s.measuresOf(r.When) {
				if slices.ContainsFunc(p.step.Ramps, func(x curriculum.Ramp) bool { return x.Of == m }) {
					continue // the card names it at each level
				}
				f := p.finding(codeUnmeasured, r.Pos, "this rule looks at %s, and nobody is told to write it down", m)
				f.Help = "add to the success sentence: write down the " + unitInWords(m)
				s.report(f)
				break
			}
		}
	}
}

func unitInWords(measure string) string {
	switch measure {
	case "latency", "duration":
		return "seconds"
	case "distance":
		return "metres"
	}
	return measure
}
