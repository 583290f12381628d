package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

const (
	codeCareWithoutStop = "care-without-stop"
	codeCareHurried     = "care-hurried"
	codeBodyUnguarded   = "body-unguarded"
	codeOneSided        = "one-sided"
)

const careTail = "    advance when 5 in a row in 2 days\n    ease when 1 opt-out in this session\n    stop today when 2 opt-outs in this session\n  }\n}\n"

var bodyCodes = []codeEntry{
	{
		Code: codeCareWithoutStop, Severity: Warning, Title: "care work in which the dog cannot say no",
		Means: "In care work the dog may leave at any time, and what it says by leaving has to do something: an easier try next (an ease rule about opt-outs) and an end for today when it says it again (a stop rule). " +
			"Common practice in cooperative care; steps that only count exposures need neither.",
		Faulty:   "rung 1\nbehaviour file {\n  counts as care\n  step stroke \"one stroke on one nail\" {\n    advance when 5 in a row in 2 days\n    ease when 2 misses in a row\n  }\n}\n",
		Repaired: "rung 1\nbehaviour file {\n  counts as care\n  step stroke \"one stroke on one nail\" {\n" + careTail,
	},
	{
		Code: codeCareHurried, Severity: Warning, Title: "care work that is pushed",
		Means:    "Pay for the fastest share, a time limit or a leap over steps has no place where a dog lets something be done to it: it pays for getting it over with. Common practice.",
		Faulty:   "rung 1\nbehaviour file {\n  counts as care\n  step stroke \"one stroke on one nail; write down the seconds\" {\n    reward best 60% of last 10 for latency\n" + careTail,
		Repaired: "rung 1\nbehaviour file {\n  counts as care\n  step stroke \"one stroke on one nail; write down the seconds\" {\n    reward every success\n" + careTail,
	},
	{
		Code: codeBodyUnguarded, Severity: Warning, Title: "work that loads the body, without limits",
		Means: "The behaviour counts as impact, and says neither how many trials a session or day may have nor anything about the dog's age (in a need, a rule or a caution). " +
			"Repeated jumps, turns and stairs wait for a grown body and are few at any age; the counts are common practice, what is right for one dog a vet says.",
		Faulty:   "rung 1\nbehaviour hop {\n  counts as impact\n" + cueTail,
		Repaired: "rung 1\nbehaviour hop {\n  counts as impact\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n" + cueTail,
	},
	{
		Code: codeOneSided, Severity: Warning, Title: "turns to one side only",
		Means:    "A behaviour that loads the body goes to one side, by its name or its side, and no other goes to the other; or there is one, and the two are no pair, so that nothing keeps them level. Work both sides alike. Common practice.",
		Faulty:   "rung 1\nbehaviour pivot-left {\n  counts as impact\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n" + cueTail,
		Repaired: "rung 1\nbehaviour pivot-left {\n  counts as impact\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n  pairs with pivot-right within 2 steps\n" + cueTail + "behaviour pivot-right {\n  counts as impact\n  at most 6 trials a session\n  needs dog { age_months >= 12 }\n" + cueTail,
	},
}

var bodyChecks = []check{
	{[]string{codeCareWithoutStop, codeCareHurried}, (*subject).care},
	{[]string{codeBodyUnguarded, codeOneSided}, (*subject).body},
}

func (s *subject) care() {
	for _, p := range s.places() {
		if !is(p.b, curriculum.Care) {
			continue
		}
		if !p.alwaysPassed() {
			s.careStops(p)
		}
		s.careHurry(p)
	}
}

func (s *subject) careStops(p place) {
	leaves := slices.ContainsFunc(p.rules(curriculum.Ease), func(r *curriculum.Rule) bool { return curriculum.AnyPart(r.When, aboutOptOuts) })
	stops := slices.ContainsFunc(p.rules(curriculum.StopToday), func(r *curriculum.Rule) bool { return curriculum.AnyPart(r.When, aboutOptOuts) })
	var lacks, help []string
	if !leaves {
		lacks, help = append(lacks, "nothing gets easier"), append(help, "ease when 1 opt-out in this session")
	}
	if !stops {
		lacks, help = append(lacks, "nothing ends for today"), append(help, "stop today when 2 opt-outs in this session")
	}
	if len(lacks) == 0 {
		return
	}
	f := p.finding(codeCareWithoutStop, p.step.Pos, "when the dog leaves, %s", andList(lacks))
	f.Help = "add: " + strings.Join(help, "; ")
	s.report(f)
}

func aboutOptOuts(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return c.Count == curriculum.OptOuts
	case curriculum.InSessionCount:
		return c.Count == curriculum.OptOuts
	}
	return false
}

func (s *subject) careHurry(p place) {
	if r := p.step.Reward; r != nil && r.Kind == curriculum.Percentile {
		f := p.finding(codeCareHurried, p.step.PaidAt, "care work is paid for %s", r)
		f.Help = "write: reward every success"
		s.report(f)
	}
	for i := range p.step.Rules {
		r := &p.step.Rules[i]
		switch {
		case r.Word == curriculum.Skip:
			f := p.finding(codeCareHurried, r.Pos, "a skip leaps over steps of care work")
			f.Help = "take it out: every step is walked"
			s.report(f)
		case curriculum.AnyPart(r.When, timed):
			f := p.finding(codeCareHurried, r.Pos, "this rule of care work asks for speed")
			f.Help = "take the time limit out"
			s.report(f)
		}
	}
}

// timed reports whether a criterion asks for speed.
func timed(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return c.Qualify.Within != nil
	case curriculum.SessionShare:
		return c.Qualify.Within != nil
	case curriculum.Statistic:
		return c.Measure == "latency"
	}
	return false
}

func (s *subject) body() {
	for _, b := range s.c.Behaviours {
		if !is(b, curriculum.Impact) {
			continue
		}
		var lacks, help []string
		if !capped(b) && !s.impactCapped() {
			lacks, help = append(lacks, "how many trials there may be"), append(help, "at most 6 trials a session")
		}
		if !s.speaksOfAge(b) {
			lacks, help = append(lacks, "how old the dog must be"), append(help, "needs dog { age_months >= 12 }")
		}
		if len(lacks) > 0 {
			s.report(Finding{
				Code: codeBodyUnguarded, Pos: b.Pos, Behaviour: b.Name,
				Text: b.Name + " loads the body, and nothing says " + andList(lacks), Help: "add: " + strings.Join(help, "; "),
			})
		}
		s.sides(b)
	}
}

// capped reports whether the behaviour, or each of its steps, has a cap on trials.
func capped(b *curriculum.Behaviour) bool {
	trials := func(cs []curriculum.Cap) bool {
		return slices.ContainsFunc(cs, func(c curriculum.Cap) bool { return c.Of == curriculum.CapTrials })
	}
	return trials(b.Caps) || !slices.ContainsFunc(b.Steps, func(st *curriculum.Step) bool { return !trials(st.Caps) })
}

// impactCapped reports whether every kind of session bounds the trials that load the body.
func (s *subject) impactCapped() bool {
	return len(s.c.Sessions) > 0 && !slices.ContainsFunc(s.c.Sessions, func(x *curriculum.Session) bool { return len(x.Impact) == 0 })
}

// speaksOfAge reports whether a need, a rule or a caution of the behaviour looks at the dog's age.
func (s *subject) speaksOfAge(b *curriculum.Behaviour) bool {
	var facts []string
	for _, n := range b.Needs {
		facts = append(facts, s.readsOf(n.Dog)...)
	}
	names := slices.Clone(b.Sheet.Cautions)
	for _, st := range b.Steps {
		names = append(names, st.Sheet.Cautions...)
		for _, r := range st.Rules {
			facts = append(facts, s.reads(r.When)...)
		}
	}
	for _, k := range s.c.Cautions {
		if slices.Contains(names, k.Name) {
			facts = append(facts, s.readsOf(k.When)...)
		}
	}
	return slices.ContainsFunc(facts, func(f string) bool { return strings.HasPrefix(f, "dog.age_") })
}

// mirrored is the name that the behaviour to the other side would have; "" where it has no side.
func mirrored(b *curriculum.Behaviour) string {
	words := strings.Split(b.Name, "-")
	for i, w := range words {
		if o := otherSide(w); o != "" {
			words[i] = o
			return strings.Join(words, "-")
		}
	}
	if o := otherSide(b.Sheet.Side); o != "" {
		return b.Name + "-" + o
	}
	return ""
}

func otherSide(side string) string {
	switch strings.ToLower(side) {
	case "left":
		return "right"
	case "right":
		return "left"
	case "clockwise":
		return "anticlockwise"
	case "anticlockwise", "counterclockwise":
		return "clockwise"
	}
	return ""
}

// sides asks whether something is worked to the other side, and whether the two are kept level.
func (s *subject) sides(b *curriculum.Behaviour) {
	mirror := mirrored(b)
	if mirror == "" || slices.ContainsFunc(s.c.Behaviours, func(o *curriculum.Behaviour) bool {
		_, pair := b.PairedWith(o)
		return pair && mirrored(o) != ""
	}) {
		return
	}
	f := Finding{
		Code: codeOneSided, Pos: b.Pos, Behaviour: b.Name,
		Text: b.Name + " loads one side, and nothing is worked to the other", Help: "add behaviour " + mirror + ", and let the two be a pair",
	}
	if o := s.c.Behaviour(mirror); o != nil {
		if b.Name > mirror {
			return // said at the other one
		}
		f.With = []string{mirror}
		f.Text = fmt.Sprintf("%s and %s load one side each, and nothing keeps them level", b.Name, mirror)
		f.Help = fmt.Sprintf("make them a pair: pairs with %s within 2 steps", mirror)
	}
	s.report(f)
}
