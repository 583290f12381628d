package proof

import (
	"fmt"
	"math/big"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

const (
	codeOverFull       = "over-full"
	codeTooMuchNew     = "too-much-new"
	codeAllExtra       = "all-extra"
	codeNoHandOver     = "no-hand-over"
	codeNoUpkeep       = "no-upkeep"
	codeCourseTooShort = "course-too-short"

	fewestGoes = 3 // of a behaviour in a session, for it to be worth setting up: common practice
	mostNew    = 2 // new behaviours in a session that an adult dog sorts out; a puppy 1: common practice
	quickest   = 5 // seconds of the quickest kind of trial, a lure paid in position: common practice
)

const courseTail = "behaviour settle {\n  review after 1 day, 3 days, 7 days\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n"

var courseCodes = []codeEntry{
	{
		Code: codeOverFull, Severity: Warning, Title: "a session that holds less than it promises",
		Means: "The session's own limits do not go together: more behaviours than its trials allow three goes of each, or more trials than its minutes allow at the quickest (5 s a trial, or what takes says). " +
			"Plans stay within all limits, so the larger number is never reached. Common practice.",
		Faulty:   "rung 1\nsession {\n  at most 8 trials, 10 behaviours\n}\n" + courseTail,
		Repaired: "rung 1\nsession {\n  at most 8 trials, 2 behaviours\n}\n" + courseTail,
	},
	{
		Code: codeTooMuchNew, Severity: Warning, Title: "too many new behaviours in one session",
		Means:    "More than two new behaviours in a session (one for puppies) blur into each other. Common practice.",
		Faulty:   "rung 1\nsession {\n  at most 30 trials, 4 new behaviours\n}\n" + courseTail,
		Repaired: "rung 1\nsession {\n  at most 30 trials, 1 new behaviour\n}\n" + courseTail,
	},
	{
		Code: codeAllExtra, Severity: Warning, Title: "every reward comes on top of the day's food",
		Means: "Extras are limited to a share of the day's energy, and every food is an extra. In a full session a dog of 10 kg reaches that share (resting need 70 x kg^0.75, times 1.6 for an adult). " +
			"Declare a food that is taken from the day's ration.",
		Faulty:   "rung 1\nfood cheese 4 kcal, extra\nsession {\n  at most 30 trials\n  extras at most 10% of daily energy\n}\n" + courseTail,
		Repaired: "rung 1\nfood cheese 4 kcal, extra\nfood ration 1.5 kcal\nsession {\n  at most 30 trials\n  extras at most 10% of daily energy\n}\n" + courseTail,
	},
	{
		Code: codeNoHandOver, Severity: Warning, Title: "nothing asks whether the owner can get it",
		Means:    "The course has several handlers and no rule looks at who handled: a dog can finish that works for the trainer alone. Give some behaviour a step with: 9 of last 10 among { handler == \"owner\" }, or: in 2 handlers. Looked at in a curriculum with a name.",
		Faulty:   "rung 1\ncurriculum \"x\" {\n}\nhandler senior, owner\n" + courseTail,
		Repaired: "rung 1\ncurriculum \"x\" {\n}\nhandler senior, owner\nbehaviour settle {\n  review after 1 day, 3 days, 7 days\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5 in 2 handlers\n    flag when after 40 trials\n  }\n}\n",
	},
	{
		Code: codeNoUpkeep, Severity: Warning, Title: "nothing keeps what was learnt",
		Means:    "No review is asked for, so what is finished is never looked at again. Growing gaps keep it cheap: review after 3 days, 7 days, 14 days, 30 days. Looked at in a curriculum with a name.",
		Faulty:   "rung 1\ncurriculum \"x\" {\n}\nbehaviour settle {\n" + cueTail,
		Repaired: "rung 1\ncurriculum \"x\" {\n}\n" + courseTail,
	},
	{
		Code: codeCourseTooShort, Severity: Warning, Title: "the rules take longer than the course",
		Means: "Even a dog that never makes a mistake cannot finish in the sessions that the course has: rules that ask for other days or sessions, or the number of trials, take more. " +
			"The bound is the fewest sessions that the rules allow; real dogs need several times as many. Looked at where the course says how long it lasts and how often it meets.",
		Faulty:   "rung 1\ncurriculum \"x\" {\n  course lasts 2 weeks, 1 session a week\n}\nbehaviour settle {\n  review after 1 day, 3 days\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5 in 3 days\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\ncurriculum \"x\" {\n  course lasts 3 weeks, 1 session a week\n}\nbehaviour settle {\n  review after 1 day, 3 days\n  step go \"lies down within 3 s\" {\n    advance when 4 of last 5 in 3 days\n    flag when after 40 trials\n  }\n}\n",
	},
}

var courseChecks = []check{
	{[]string{codeOverFull, codeTooMuchNew, codeAllExtra}, (*subject).sessions},
	{[]string{codeNoHandOver}, (*subject).handOver},
	{[]string{codeNoUpkeep}, (*subject).upkeep},
	{[]string{codeCourseTooShort}, (*subject).calendar},
}

func (s *subject) sessions() {
	for _, x := range s.c.Sessions {
		at := orPos(x.LimitsPos, x.Pos)
		if x.MaxNew > mostNew {
			s.report(Finding{
				Code: codeTooMuchNew, Pos: at, Text: fmt.Sprintf("%d new behaviours in one session blur into each other", x.MaxNew),
				Help: "at most 1 new behaviour, 2 for a grown dog",
			})
		}
		if x.MaxBehaviours > 1 && x.MaxTrials > 0 && x.MaxBehaviours*fewestGoes > x.MaxTrials {
			s.report(Finding{
				Code: codeOverFull, Pos: at, Text: fmt.Sprintf("%s in %s: less than three goes for each", plural(x.MaxBehaviours, "behaviour"), plural(x.MaxTrials, "trial")),
				Help: fmt.Sprintf("at most %s, or more trials", plural(max(1, x.MaxTrials/fewestGoes), "behaviour")),
			})
		}
		s.minutes(x)
		s.extras(x)
	}
}

// minutes compares a session's trials with its time.
func (s *subject) minutes(x *curriculum.Session) {
	if x.Lasts.IsZero() || x.MaxTrials == 0 {
		return
	}
	cycle := s.quickestTrial()
	quotient := new(big.Rat).Quo(x.Lasts.Base(), cycle.Base())
	fits := int(new(big.Int).Quo(quotient.Num(), quotient.Denom()).Int64())
	if x.MaxTrials <= fits {
		return
	}
	s.report(Finding{
		Code: codeOverFull, Pos: orPos(x.LimitsPos, x.Pos), Text: fmt.Sprintf("%d trials do not fit into %s: at %s for the quickest trial there is room for %d", x.MaxTrials, x.Lasts, cycle, fits),
		Help: fmt.Sprintf("at most %d trials, or more minutes", max(1, fits)),
	})
}

// quickestTrial is the shortest time that a behaviour says a trial takes, or that of the quickest kind of trial.
func (s *subject) quickestTrial() curriculum.Quantity {
	var out curriculum.Quantity
	for _, p := range s.places() {
		if t := p.b.SheetOf(p.i).Takes; !t.IsZero() && t.Num > 0 && (out.IsZero() || t.Cmp(out) < 0) {
			out = t
		}
	}
	if q := curriculum.Q(quickest, curriculum.Second); out.IsZero() || out.Cmp(q) > 0 {
		return q // some behaviour does not say, and may be as quick as that
	}
	return out
}

// extras looks at a session in which nothing can be paid from the day's ration.
func (s *subject) extras(x *curriculum.Session) {
	if x.Extras.IsZero() || x.MaxTrials == 0 || len(s.c.Foods) == 0 || slices.ContainsFunc(s.c.Foods, func(f curriculum.Food) bool { return !f.Extra }) {
		return
	}
	var least curriculum.Quantity
	for _, f := range s.c.Foods {
		if !f.Energy.IsZero() && (least.IsZero() || f.Energy.Cmp(least) < 0) {
			least = f.Energy
		}
	}
	share, _ := x.Extras.Rat().Float64()
	allowed := share * 1.6 * schedules.Resting(10)
	needs := float64(x.MaxTrials) * least.Float()
	if needs <= allowed {
		return
	}
	at := x.ExtrasPos
	if at.Line == 0 {
		at = x.Pos
	}
	s.report(Finding{
		Code: codeAllExtra, Pos: at, Text: fmt.Sprintf("a full session is %.0f kcal of extras, and %s of a 10 kg dog's day is %.0f kcal", needs, x.Extras, allowed),
		Help: "declare a food that comes out of the day's ration (without the word extra)",
	})
}

// handOver asks whether any rule looks at who handled.
func (s *subject) handOver() {
	if !s.whole() || len(s.c.Handlers) < 2 {
		return
	}
	for _, p := range s.places() {
		for _, r := range p.step.Rules {
			byHandler := curriculum.AnyPart(r.When, func(c curriculum.Criterion) bool {
				over, ok := c.(curriculum.Repeated)
				return ok && over.Over == curriculum.Handlers
			})
			if byHandler || slices.Contains(s.reads(r.When), "handler") {
				return
			}
		}
	}
	s.report(Finding{
		Code: codeNoHandOver, Pos: s.c.Pos, Text: fmt.Sprintf("no rule looks at who handled, though the course has %s", plural(len(s.c.Handlers), "handler")),
		Help: `end some behaviours with a step for the owner: advance when 9 of last 10 among { handler == "owner" }`,
	})
}

func (s *subject) upkeep() {
	if !s.whole() {
		return
	}
	var without []*curriculum.Behaviour
	for _, b := range s.c.Behaviours {
		if len(b.Review) == 0 {
			without = append(without, b)
		}
	}
	help := "add: review after 3 days, 7 days, 14 days, 30 days"
	switch n := len(without); {
	case n > 0 && n == len(s.c.Behaviours):
		s.report(Finding{Code: codeNoUpkeep, Pos: s.c.Pos, Text: "no behaviour has a review: what is finished is never looked at again", Help: help})
	default:
		for _, b := range without {
			s.report(Finding{Code: codeNoUpkeep, Pos: b.Pos, Behaviour: b.Name, Text: b.Name + " has no review: once finished it is never looked at again", Help: help})
		}
	}
}
