package example

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
)

// sameStates bounds the search for a history that tells two rules apart.
const sameStates = 20_000

// difference is what tells a rule and its change apart.
type difference struct {
	none    bool   // shown: nothing does
	history string // the shortest history, in tally marks
}

// sameness finds out whether changes make a difference. Equal stays are looked at once.
type sameness struct {
	c     *curriculum.Curriculum
	mu    sync.Mutex
	known map[string]difference
}

// of is what tells a change apart: of all rules it concerns, in order, the first history; none where nothing does for
// any of them.
func (s *sameness) of(ch *change) difference {
	all := difference{none: true}
	for _, at := range sortedRules(ch.rules) {
		for _, level := range s.levels(at) {
			d := s.between(at, ch.rules[at], level)
			if d.history != "" {
				return d
			}
			all.none = all.none && d.none
		}
	}
	return all
}

func sortedRules(rules map[engine.RuleAt]*curriculum.Rule) (out []engine.RuleAt) {
	for at := range rules {
		out = append(out, at)
	}
	slices.SortFunc(out, func(a, b engine.RuleAt) int {
		for _, d := range []int{a.Behaviour - b.Behaviour, a.Step - b.Step, a.Rule - b.Rule} {
			if d != 0 {
				return d
			}
		}
		return 0
	})
	return out
}

// levels are the kinds of level that a step has: without and with room for a split before it.
func (s *sameness) levels(at engine.RuleAt) []int {
	b := s.c.Behaviours[at.Behaviour]
	if at.Step == len(b.Steps) || len(b.Steps[at.Step].Levels) < 2 {
		return []int{0}
	}
	return []int{0, 1}
}

// between is what tells a rule from its change, or from its absence, during a stay at a level.
func (s *sameness) between(at engine.RuleAt, now *curriculum.Rule, level int) difference {
	b := s.c.Behaviours[at.Behaviour]
	st, err := automaton.StayAt(s.c, b.Name, at.Step, level)
	if err != nil || at.Rule >= len(st.Rules) {
		return difference{}
	}
	was := st.Rules[at.Rule]
	if !withinLevel(&was) || now != nil && !withinLevel(now) {
		return difference{}
	}
	if now != nil && (now.To != was.To || now.ToFirst != was.ToFirst) {
		return difference{} // where it leads differs, not when
	}
	// both side by side, with whatever else moves the dog
	rules := []curriculum.Rule{was}
	if now != nil {
		rules = append(rules, *now)
	}
	for i, r := range st.Rules {
		if i != at.Rule && r.Word != curriculum.Skip && r.Word != curriculum.Flag && r.Word != curriculum.StopToday {
			rules = append(rules, r)
		}
	}
	st.Rules = rules
	key := fmt.Sprint(st.Decide.EveryTrials, st.Decide.EachSession, st.Room, st.Step, st.Prompts, st.Places, now == nil)
	for i := range rules {
		key += "|" + string(rules[i].Word) + " " + curriculum.CriterionText(rules[i].When)
	}
	s.mu.Lock()
	d, ok := s.known[key]
	s.mu.Unlock()
	if ok {
		return d
	}
	d = tellApart(s.c, st, now != nil)
	s.mu.Lock()
	s.known[key] = d
	s.mu.Unlock()
	return d
}

// tellApart looks for a history after which the first rule of a stay holds and the second does not, or the other way
// round, while no rule that comes before them moves the dog. Without a second rule, for one in which the first fires.
func tellApart(c *curriculum.Curriculum, st *automaton.Stay, two bool) difference {
	m, err := automaton.Make(c, st, automaton.Options{Budget: sameStates})
	if err != nil {
		return difference{}
	}
	word := st.Rules[0].Word
	history, ok := m.Shortest(func(_ automaton.At, s automaton.Step) bool {
		first, second := s.Holds&1 != 0, s.Holds>>1&1 != 0
		if !two {
			second = false
		}
		if first == second {
			return false
		}
		switch word {
		case curriculum.StopToday, curriculum.Flag, curriculum.Ease:
			return true
		case curriculum.Split:
			return s.SplitDue
		}
		return s.Takes <= 0 || two && s.Takes == 1
	})
	if ok {
		return difference{history: strings.Join(m.Write(history), "; ")}
	}
	return difference{none: m.Complete() && len(m.Opaque()) == 0}
}
