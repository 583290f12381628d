package example

import (
	"fmt"
	"sync"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/automaton"
)

// proofStates bounds the machine that one proof looks at.
const proofStates = 5_000

// prover shows of sides that no history has them. Equal questions are answered once.
type prover struct {
	c     *curriculum.Curriculum
	mu    sync.Mutex
	known map[string]bool
}

func newProver(c *curriculum.Curriculum) *prover { return &prover{c: c, known: map[string]bool{}} }

// never reports whether it is shown that no history of any dog has one side of a part of a rule's criterion while the rule
// is looked at. It minds fewer moves than there are, so that it looks at more histories than there are; false where that,
// or the budget, is not enough to tell.
func (x *prover) never(at engine.RuleAt, part curriculum.Criterion, side string) bool {
	b := x.c.Behaviours[at.Behaviour]
	r, levels := ruleAt(x.c, at), 1
	if at.Step < len(b.Steps) {
		s := b.Steps[at.Step]
		if levels = len(s.Levels); levels == 0 || halvesWhatVaries(s) {
			return false
		}
		if closes(r.When) != closes(part) || s.Decide.EachSession && moves(r.Word) {
			return false // it is looked at another moment than the part by itself would be
		}
	}
	if r.Word == curriculum.Skip || !withinLevel(&curriculum.Rule{Word: curriculum.Flag, When: part}) {
		return false
	}
	look := curriculum.Rule{Word: curriculum.Flag, When: part}
	if side == Failed {
		look.When = curriculum.Not{Is: part}
	}
	if r.Word == curriculum.StopToday {
		if look.Word = r.Word; !ofTheSession(part) {
			return false
		}
	}
	for level := range levels {
		st, err := automaton.StayAt(x.c, b.Name, at.Step, level)
		if err != nil {
			return false
		}
		rules := []curriculum.Rule{look}
		for i := range st.Rules {
			m := &st.Rules[i]
			// a stop sees what other stays of the session left; how often it eased, and a split, what came before this one
			if look.Word != curriculum.StopToday && m.Word != curriculum.Split && moves(m.Word) && withinLevel(m) && !asksForPlaces(m.When) {
				rules = append(rules, *m)
			}
		}
		st.Rules, st.Places = rules, nil
		for _, fresh := range []bool{false, true} {
			if fresh && (at.Step > 0 || level > 0) {
				continue
			}
			if !x.noneHolds(st, fresh) {
				return false
			}
		}
	}
	return true
}

// noneHolds reports whether the first rule of a stay holds in no history.
func (x *prover) noneHolds(st *automaton.Stay, fresh bool) bool {
	key := fmt.Sprint(fresh, st.Short, st.Prompts, st.Key())
	x.mu.Lock()
	none, ok := x.known[key]
	x.mu.Unlock()
	if ok {
		return none
	}
	m, err := automaton.Make(x.c, st, automaton.Options{Budget: proofStates, Entry: automaton.Entry{Fresh: fresh}})
	if err == nil && m.Complete() && len(m.Assumptions()) == 0 {
		_, found := m.Shortest(func(_ automaton.At, s automaton.Step) bool { return s.Holds&1 != 0 })
		none = !found
	}
	x.mu.Lock()
	x.known[key] = none
	x.mu.Unlock()
	return none
}

// ofTheSession reports whether a criterion of a stop looks at the session alone, and at nothing that began with the level.
func ofTheSession(c curriculum.Criterion) bool {
	return !curriculum.AnyPart(c, func(p curriculum.Criterion) bool {
		switch p.(type) {
		case curriculum.Named, curriculum.Not, curriculum.And, curriculum.Or, curriculum.InSession, curriculum.Window, curriculum.InSessionCount:
			return false
		}
		return true
	})
}

// halvesWhatVaries reports whether a split may put in levels whose values vary in another way than those written.
func halvesWhatVaries(s *curriculum.Step) bool {
	varies, splits := false, false
	for i := range s.Ramps {
		varies = varies || s.Ramps[i].Varies()
	}
	for i := range s.Rules {
		splits = splits || s.Rules[i].Word == curriculum.Split
	}
	return varies && splits
}

func ruleAt(c *curriculum.Curriculum, at engine.RuleAt) *curriculum.Rule {
	b := c.Behaviours[at.Behaviour]
	if at.Step == len(b.Steps) {
		return &b.Lapse[at.Rule]
	}
	return &b.Steps[at.Step].Rules[at.Rule]
}
