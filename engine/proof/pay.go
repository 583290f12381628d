package proof

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

const (
	codeThinTooSoon  = "thin-too-soon"
	codeLongUnpaid   = "long-unpaid"
	codeSafetyThin   = "safety-thinned"
	mostUnpaid       = 4 // successes running that go unpaid: the house's limit, no source
	repairedThinning = "    thin variable ratio 1.5, 2, 3\n"
)

const fluentStep = "  step alone \"starts within 2 s\" {\n    prompt word\n    advance when 8 of last 10\n    flag when after 40 trials\n  }\n"

var payCodes = []codeEntry{
	{
		Code: codeThinTooSoon, Severity: Warning, Title: "paid now and then before it is learnt",
		Means: "Rewards thin out in a step before which no step with the same prompts pays every success, or before the cue is put on. Pay each one until it is fluent; only then make pay less predictable, and at most halve it. " +
			"A known thing that is paid now and then lasts longer; a new one that is paid now and then falls apart. Common practice.",
		Faulty:   "rung 1\nbehaviour settle {\n  step alone \"starts within 2 s\" {\n    prompt word\n    thin variable ratio 1.5, 2, 3\n    advance when 8 of last 10\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n" + fluentStep + "  step now-and-then \"starts within 2 s\" {\n    prompt word\n" + repairedThinning + "    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
	},
	{
		Code: codeLongUnpaid, Severity: Warning, Title: "too many unpaid successes running",
		Means:    "The schedule lets more than four successes running go unpaid, or knows no longest run at all. A variable ratio n draws from 1, 2 ... 2n-1, so 3 is the largest whole one that keeps to four by itself; a larger one can be bounded. House default, no source.",
		Faulty:   "rung 1\nbehaviour settle {\n" + fluentStep + "  step now-and-then \"starts within 2 s\" {\n    prompt word\n    thin variable ratio 2, 4\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n" + fluentStep + "  step now-and-then \"starts within 2 s\" {\n    prompt word\n    thin variable ratio 2, 4 with at most 4 unpaid\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
	},
	{
		Code: codeSafetyThin, Severity: Warning, Title: "a safety cue that is not always paid",
		Means:    "The behaviour counts as safety: it has to work on the day it matters. Such a cue is paid every time, for life. Common practice.",
		Faulty:   "rung 1\nbehaviour call {\n  counts as safety\n" + fluentStep + "  step now-and-then \"starts within 2 s\" {\n    prompt word\n    thin variable ratio 1.5, 2\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
		Repaired: "rung 1\nbehaviour call {\n  counts as safety\n" + fluentStep + "  step now-and-then \"starts within 2 s\" {\n    prompt word\n    reward every success\n    advance when 8 of last 10\n    ease when 3 misses of last 5\n  }\n}\n",
	},
}

var payChecks = []check{{[]string{codeThinTooSoon, codeLongUnpaid, codeSafetyThin}, (*subject).pay}}

// schedulesOf lists the step's reward schedules, those of a thinning ramp one by one.
func (p place) schedulesOf() []curriculum.Schedule {
	var out []curriculum.Schedule
	if p.step.Reward != nil {
		out = append(out, *p.step.Reward)
	}
	for _, r := range p.step.Ramps {
		for _, v := range r.Values {
			if v.Thin != nil {
				out = append(out, *v.Thin)
			}
		}
	}
	return out
}

// thinned reports whether a schedule leaves successes unpaid by counting them. In-hold and interval schedules pay a
// long act several times or once, and the best share pays for getting better: neither is thinning.
func thinned(s curriculum.Schedule) bool {
	switch s.Kind {
	case curriculum.FixedRatio, curriculum.VariableRatio, curriculum.RandomRatio:
		return s.Value.Cmp(curriculum.Q(1, curriculum.NoUnit)) > 0
	}
	return false
}

func (s *subject) pay() {
	for _, p := range s.places() {
		thin := slices.DeleteFunc(p.schedulesOf(), func(x curriculum.Schedule) bool { return !thinned(x) })
		if len(thin) == 0 {
			continue
		}
		at := p.step.PaidAt
		if is(p.b, curriculum.Safety) {
			f := p.finding(codeSafetyThin, at, "%s counts as safety, so every success is paid, for life", p.b.Name)
			f.Help = "write: reward every success"
			s.report(f)
		}
		if !p.fluentBefore() {
			f := p.finding(codeThinTooSoon, at, "rewards thin out in %s, and no step before it pays every success with the same prompts", p.step.Name)
			f.Help = "pay every success here, and thin in a later step"
			s.report(f)
		} else if later := p.namedLater(); later != "" {
			f := p.finding(codeThinTooSoon, at, "rewards thin out in %s, and only %s puts the cue on", p.step.Name, later)
			f.Help = "pay every success until the cue is known, and thin after that"
			s.report(f)
		}
		for _, x := range thin {
			if run, bounded := longestUnpaid(x); !bounded || run > mostUnpaid {
				many := "any number of successes"
				if bounded {
					many = plural(run, "success")
				}
				f := p.finding(codeLongUnpaid, at, "%s lets %s running go unpaid", x, many)
				f.Help = "add: with at most 4 unpaid"
				s.report(f)
				break
			}
		}
	}
}

// longestUnpaid is the longest run of successes that a schedule leaves unpaid.
func longestUnpaid(x curriculum.Schedule) (n int, bounded bool) {
	kind := schedules.Fixed
	switch x.Kind {
	case curriculum.VariableRatio:
		kind = schedules.Variable
	case curriculum.RandomRatio:
		kind = schedules.Random
	}
	r, err := schedules.NewRatio(kind, x.Value.Num, x.Value.Den)
	if err == nil && x.MostUnpaid > 0 {
		r, _, err = r.Capped(x.MostUnpaid)
	}
	if err != nil {
		return 0, true // the reader or the engine says so
	}
	return r.LongestUnpaid()
}

// namedLater is a later step in which a new cue is paired with the prompts of this one, or "".
func (p place) namedLater() string {
	for i := p.i + 1; i < len(p.b.Steps); i++ {
		l := place{p.b, p.b.Steps[i], i}
		if l.pairing() && slices.ContainsFunc(l.step.Prompts, func(x string) bool { return slices.Contains(p.step.Prompts, x) }) {
			return l.step.Name
		}
	}
	return ""
}

// fluentBefore reports whether an earlier step has the same prompts, asks for successes and pays each.
func (p place) fluentBefore() bool {
	for i, st := range p.b.Steps[:p.i] {
		e := place{p.b, st, i}
		if slices.Equal(sortedCopy(st.Prompts), sortedCopy(p.step.Prompts)) && !slices.ContainsFunc(e.schedulesOf(), thinned) && !e.alwaysPassed() {
			return true
		}
	}
	return false
}

func sortedCopy(names []string) []string { return slices.Sorted(slices.Values(names)) }
