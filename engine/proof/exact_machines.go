package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/engine/automaton"
)

// moving are the rules that make moves while a dog works at a step.
var moving = []curriculum.RuleWord{curriculum.Ease, curriculum.Split, curriculum.Advance}

// rung is one level of one step, or the time when a behaviour is kept, whose rules differ from those of the levels
// before it: most steps are one rung.
type rung struct {
	b     *curriculum.Behaviour
	step  int // of kept: the number of steps
	level int // the first that has these rules
	stay  *automaton.Stay
	limit int // trials of the behaviour in one session; 0 for no limit
}

func (r rung) name() string {
	if r.step == len(r.b.Steps) {
		return ""
	}
	return r.b.Steps[r.step].Name
}

// place is its step; of kept the last one.
func (r rung) place() place {
	i := min(r.step, len(r.b.Steps)-1)
	return place{r.b, r.b.Steps[i], i}
}

// skips are its skip rules and where they stand among the others: no machine knows them, but a verdict names a rule by its
// place.
func (r rung) skips() string {
	out := ""
	for i := range r.stay.Rules {
		if x := &r.stay.Rules[i]; x.Word == curriculum.Skip {
			out += fmt.Sprintf("%d %s\n", i, curriculum.CriterionText(x.When))
		}
	}
	return out
}

// key is equal for rungs of which the same is found.
func (r rung) key() string {
	return fmt.Sprintf("%v %d %t %t %t %t\n%s%s", r.entries(r.stay), r.limit, r.fine(), r.step == len(r.b.Steps), r.stepGoesOn(), r.stopsOnlyHere(), r.skips(), r.stay.Key())
}

// rungs are all of a curriculum, in its order.
func (s *subject) rungs() []rung {
	var out []rung
	for _, b := range s.c.Behaviours {
		for i := 0; i <= len(b.Steps); i++ {
			out = append(out, s.rungsOf(b, i)...)
		}
	}
	return out
}

func (s *subject) rungsOf(b *curriculum.Behaviour, step int) (out []rung) {
	levels := 1
	if step < len(b.Steps) {
		levels = max(1, len(b.Steps[step].Levels))
	}
	for l := range levels {
		stay, err := automaton.StayAt(s.c, b.Name, step, l)
		if err != nil || len(stay.Rules) == 0 {
			return out
		}
		if !slices.ContainsFunc(out, func(r rung) bool { return r.stay.Key() == stay.Key() }) {
			r := rung{b: b, step: step, level: l, stay: stay}
			if slices.ContainsFunc(stay.Rules, func(r curriculum.Rule) bool {
				return curriculum.AnyPart(r.When, byTime) || r.Word == curriculum.StopToday
			}) {
				r.limit = s.roomOf(r.place()).session
			}
			out = append(out, r)
		}
	}
	return out
}

// bySession reports whether a rule looks at single sessions, so that it matters how long they are.
func bySession(r *curriculum.Rule) bool {
	return r.Word == curriculum.StopToday || curriculum.AnyPart(r.When, func(c curriculum.Criterion) bool {
		switch c := c.(type) {
		case curriculum.InSession, curriculum.InSessionCount, curriculum.SessionShare:
			return true
		case curriculum.Repeated:
			return c.Over == curriculum.Sessions
		}
		return false
	})
}

// byTime reports whether sessions or dates matter to a criterion.
func byTime(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.InSession, curriculum.InSessionCount, curriculum.SessionShare, curriculum.FirstTrial:
		return true
	case curriculum.Repeated:
		return c.Over == curriculum.Sessions || c.Over == curriculum.Days
	case curriculum.After:
		return c.Unit != curriculum.AfterTrials
	}
	return false
}

// machines are those of one stay, for everything that a stay may begin with.
type machines struct {
	all      []*automaton.Machine
	complete bool
	horizon  int  // where not complete: histories of so many trials are known
	unhelped bool // and all without late help
}

func (ms *machines) assumptions() []string {
	var out []string
	for _, m := range ms.all {
		out = append(out, m.Assumptions()...)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// shortest is the shortest history of any of them whose last step meets the condition.
func (ms *machines) shortest(meets func(automaton.At, automaton.Step) bool) (*automaton.Machine, []int, bool) {
	return ms.shortestIn(func(*automaton.Machine) func(automaton.At, automaton.Step) bool { return meets })
}

// shortestIn is shortest for a condition that asks the machine.
func (ms *machines) shortestIn(meets func(*automaton.Machine) func(automaton.At, automaton.Step) bool) (m *automaton.Machine, history []int, ok bool) {
	for _, x := range ms.all {
		if h, found := x.Shortest(meets(x)); found && (!ok || len(h) < len(history)) {
			m, history, ok = x, h, true
		}
	}
	return m, history, ok
}

// maxEased is how many different counts of eases a stay is looked at with.
const maxEased = 5

// entries are what a stay of a step may begin with.
func (r rung) entries(stay *automaton.Stay) []automaton.Entry {
	eased, atStep := 0, 0
	pieced, fresh := false, false
	for i := range stay.Rules {
		curriculum.AnyPart(stay.Rules[i].When, func(c curriculum.Criterion) bool {
			switch c := c.(type) {
			case curriculum.Eased:
				eased = max(eased, min(c.N-1, maxEased))
			case curriculum.After:
				if c.AtStep {
					atStep = max(atStep, c.N-1)
				}
				fresh = fresh || c.Unit == curriculum.AfterDays
			case curriculum.FirstTrial:
				fresh = true
			}
			return false
		})
		pieced = pieced || len(stay.Rules[i].Into) > 0
	}
	out := []automaton.Entry{{Fresh: r.step == 0 && r.level == 0 && fresh}}
	add := func(change func(*automaton.Entry)) {
		for _, e := range out {
			e.Fresh = false
			change(&e)
			out = append(out, e)
		}
	}
	for n := 1; n <= eased; n++ {
		e := automaton.Entry{Eased: n}
		out = append(out, e)
	}
	if atStep > 0 && r.stepGoesOn() {
		add(func(e *automaton.Entry) { e.StepTrials = atStep })
	}
	if pieced {
		add(func(e *automaton.Entry) { e.Pieced = true })
	}
	return out
}

// stepGoesOn reports whether a dog may enter the level from its own step: another level comes before it, or an ease at the
// very start leads back to it.
func (r rung) stepGoesOn() bool {
	return r.step < len(r.b.Steps) && (len(r.b.Steps[r.step].Levels) > 1 || slices.ContainsFunc(r.stay.Rules, func(x curriculum.Rule) bool {
		return x.Word == curriculum.Split || x.Word == curriculum.Ease && r.step == 0
	}))
}

// machinery makes machines, each set once for all the steps that share it.
type machinery struct {
	c         *curriculum.Curriculum
	budget    int
	functions []expression.Function
	made      map[string]*machines
	dogs      func(*curriculum.Expression) bool // whether no dog meets a condition; nil where nobody can say
}

func (x *machinery) noDog(e *curriculum.Expression) bool { return x.dogs != nil && x.dogs(e) }

// of is the machines of a stay; an error where its rules cannot be read.
func (x *machinery) of(r rung, stay *automaton.Stay, limit int) (*machines, error) {
	if limit > 0 && !slices.ContainsFunc(stay.Rules, func(r curriculum.Rule) bool { return bySession(&r) }) {
		limit = 0
	}
	entries := r.entries(stay)
	key := fmt.Sprintf("%d %+v\n%s", limit, entries, stay.Key())
	if ms, ok := x.made[key]; ok {
		return ms, nil
	}
	ms := &machines{complete: true, horizon: -1}
	for _, e := range entries {
		o := automaton.Options{Budget: x.budget, Functions: x.functions, Never: x.noDog, SessionTrials: limit, Entry: e}
		m, err := automaton.Make(x.c, stay, o)
		if err != nil {
			return nil, err
		}
		ms.all = append(ms.all, m)
		if m.Complete() {
			continue
		}
		if ms.complete || m.Horizon() < ms.horizon {
			ms.horizon = m.Horizon()
		}
		// less is better than nothing: late help alone makes some windows large
		o.Without = []automaton.Kind{automaton.Helped}
		less, err := automaton.Make(x.c, stay, o)
		if err != nil {
			return nil, err
		}
		ms.all = append(ms.all, less)
		ms.unhelped = less.Complete() && (ms.complete || ms.unhelped)
		ms.complete = false
	}
	x.made[key] = ms
	return ms, nil
}

// because is what a statement about all histories takes for granted; "" for nothing.
func (ms *machines) because() string {
	if !ms.complete {
		text := fmt.Sprintf("the rules have more states than are looked at; every history of up to %s was", plural(ms.horizon, "trial"))
		if ms.unhelped {
			text += ", and every one without late help"
		}
		return text
	}
	if a := ms.assumptions(); len(a) > 0 {
		return "only these were looked at: " + strings.Join(a, "; ")
	}
	return ""
}

// assumed is what a history takes for granted beside the trials it lists.
func assumed(m *automaton.Machine, history []int) string {
	var out []string
	for i, text := range m.Opaque() {
		for _, li := range history {
			l := m.Letters()[li]
			if l.IsTrial() && l.Cases[0].Assumed>>i&1 != 0 {
				out = append(out, text+" holds")
				break
			}
		}
	}
	return strings.Join(out, " and ")
}
