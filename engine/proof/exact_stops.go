package proof

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// A stop ends the work for the day. What can only come after it never comes, as long as people keep to it: a second stop,
// and what a move or a flag counts inside one session. Flags ask somebody to look, and may do so again: one is idle only
// where another always begins to hold at the same trial.

// besideStates are how many states are looked at for what rules do beside each other. It is advice, and a rule that needs
// more of them is hardly idle.
const besideStates = 20_000

// small is the machines of some rules without the moves; nil where they do not stand for every history.
func (j *judge) small(stay *automaton.Stay, limit int) (*machines, error) {
	x := *j.x
	x.budget, x.made = min(x.budget, besideStates), map[string]*machines{}
	ms, err := x.of(j.rung, stay, limit)
	if err != nil || !ms.complete || len(ms.assumptions()) > 0 {
		return nil, err
	}
	return ms, nil
}

// stops looks at the stops of the step beside each other. Of two that hold alike the later one is idle.
func (j *judge) stops() error {
	left := j.those(curriculum.StopToday)
	for _, i := range slices.Backward(slices.Clone(left)) {
		others := except(left, i)
		idle, err := j.stoppedBefore(i, others)
		if err != nil {
			return err
		}
		if !idle {
			continue
		}
		left = others
		if err := j.idleBeside(i, others, "ends no day: whenever it holds, %s has ended it, before or at that trial", "delete it, or let it hold sooner than the other"); err != nil {
			return err
		}
	}
	return nil
}

// stoppedBefore reports whether a stop never holds in a session that none of some others has ended, before or at the same
// trial.
func (j *judge) stoppedBefore(i int, others []int) (bool, error) {
	own := j.ofSession(j.rule(i).When)
	if len(own) == 0 {
		return false, nil
	}
	stay := *j.stay
	stay.Rules = []curriculum.Rule{{Word: curriculum.StopToday, When: curriculum.And{All: own}}}
	for _, k := range others {
		if r := j.rule(k); len(j.ofSession(r.When)) == len(joined(r.When)) {
			stay.Rules = append(stay.Rules, *r)
		}
	}
	if len(stay.Rules) == 1 {
		return false, nil
	}
	ms, err := j.small(&stay, 0)
	if err != nil || ms == nil {
		return false, err
	}
	rest := uint64(1)<<len(stay.Rules) - 2
	return !slices.ContainsFunc(ms.all, func(m *automaton.Machine) bool {
		if j.rung.stopsOnlyHere() {
			return reached(m, 1, rest, true)
		}
		// what came before in the session was at a step that may not have the other stops
		for _, st := range m.Steps() {
			if st.Holds&1 != 0 && st.Holds&rest == 0 {
				return true
			}
		}
		return false
	}), nil
}

// ofSession are the parts that a criterion of a stop joins with `and` and that look at the evidence of the session, which
// moves leave as it is. Conditions in braces are of the step, so they are not asked where other steps have a say.
func (j *judge) ofSession(c curriculum.Criterion) []curriculum.Criterion {
	return slices.DeleteFunc(joined(c), func(c curriculum.Criterion) bool {
		return curriculum.AnyPart(c, func(p curriculum.Criterion) bool {
			switch p.(type) {
			case curriculum.After, curriculum.FirstTrial, curriculum.Eased, curriculum.SessionShare, curriculum.Repeated:
				return true
			}
			return false
		}) || !j.rung.stopsOnlyHere() && len(expressionsOf(c)) > 0
	})
}

// stopsOnlyHere reports whether the evidence of a session can only be of this step: the behaviour has no other.
func (r rung) stopsOnlyHere() bool { return len(r.b.Steps) == 1 && len(r.b.Lapse) == 0 }

// behindStop looks at a move or a flag that counts inside one session: whether the stops always end the session before.
func (j *judge) behindStop(i int) error {
	r := j.rule(i)
	stay, at := j.part(func(k int, x *curriculum.Rule) bool {
		return k == i || x.Word == curriculum.StopToday && growing(x.When)
	})
	if len(at) == 1 || !bySession(r) || j.idle(i) {
		return nil
	}
	ms, err := j.small(stay, j.limit)
	if err != nil || ms == nil {
		return err
	}
	own := uint64(1) << slices.Index(at, i)
	stops := uint64(1)<<len(at) - 1 - own
	if slices.ContainsFunc(ms.all, func(m *automaton.Machine) bool { return reached(m, own, stops, false) }) {
		return nil
	}
	return j.idleBeside(i, except(at, i),
		"never gets its turn: %s ends the work for the day before it can hold", "let it hold sooner than the stop, or count over sessions")
}

// growing reports whether what came before in a session can only make a criterion hold sooner.
func growing(c curriculum.Criterion) bool {
	for p := range curriculum.Parts(c) {
		switch p := p.(type) {
		case curriculum.Window:
			if p.Each || p.AtMost {
				return false
			}
		case curriculum.InSessionCount, curriculum.Done, curriculum.InSession, curriculum.Named, curriculum.And, curriculum.Or:
		default:
			return false
		}
	}
	return true
}

// follow goes through all histories, step by step, with what is to be remembered of each beside the state. It ends when
// visit has found what it looks for, and leaves out what lies behind a step that does not go on.
func follow[T comparable](m *automaton.Machine, visit func(before T, l *automaton.Letter, st automaton.Step) (after T, goesOn, found bool)) bool {
	type at struct {
		state automaton.State
		memo  T
	}
	var start at
	seen := map[at]bool{start: true}
	for queue := []at{start}; len(queue) > 0; queue = queue[1:] {
		now := queue[0]
		for li := range m.Letters() {
			st := m.Next(now.state, li)
			after, goesOn, found := visit(now.memo, &m.Letters()[li], st)
			if found {
				return true
			}
			if to := (at{st.To, after}); goesOn && st.To >= 0 && !seen[to] {
				seen[to] = true
				queue = append(queue, to)
			}
		}
	}
	return false
}

// reached reports whether a rule comes to hold as long as nobody works on in a session that one of some stops has ended;
// before: not at the very trial that ends it either.
func reached(m *automaton.Machine, rule, stops uint64, before bool) bool {
	return follow(m, func(ended bool, l *automaton.Letter, st automaton.Step) (after, goesOn, found bool) {
		if l.IsTrial() && ended {
			return ended, false, false
		}
		found = st.Holds&rule != 0 && !(before && (ended || st.Holds&stops != 0))
		after = ended || st.Holds&stops != 0
		if l.Edge == automaton.SessionEnd || l.Edge == automaton.NextDay {
			after = false
		}
		return after, true, found
	})
}

// flags looks at the flags of the step beside each other.
func (j *judge) flags() error {
	left := j.those(curriculum.Flag)
	for _, i := range slices.Backward(slices.Clone(left)) {
		others := except(left, i)
		if len(others) == 0 {
			continue
		}
		stay, at := j.part(func(k int, _ *curriculum.Rule) bool { return k == i || slices.Contains(others, k) })
		ms, err := j.small(stay, 0)
		if err != nil {
			return err
		}
		if bit := uint64(1) << slices.Index(at, i); ms == nil || slices.ContainsFunc(ms.all, func(m *automaton.Machine) bool { return beginsAlone(m, bit) }) {
			continue
		}
		left = others
		if err := j.idleBeside(i, others, "tells nothing more: it begins to hold only where %s does", "delete it, or let it hold at another time"); err != nil {
			return err
		}
	}
	return nil
}

// beginsAlone reports whether a flag begins to hold at a moment at which no other rule of the machine does.
func beginsAlone(m *automaton.Machine, flag uint64) bool {
	return follow(m, func(held uint64, _ *automaton.Letter, st automaton.Step) (uint64, bool, bool) {
		return held&^st.Looked | st.Holds, true, st.Holds&^held == flag
	})
}

// idleBeside adds a rule that is idle beside others, with the shortest way in which it comes to hold, and the first of
// the others to hold on that way in the same session.
func (j *judge) idleBeside(i int, others []int, text, help string) error {
	stay, at := j.part(func(k int, _ *curriculum.Rule) bool { return k == i || slices.Contains(others, k) })
	ms, err := j.x.of(j.rung, stay, j.limit)
	if err != nil {
		return err
	}
	k := slices.Index(at, i)
	m, history, ok := ms.shortest(func(_ automaton.At, st automaton.Step) bool { return st.Holds>>k&1 != 0 })
	if !ok {
		return nil // it never holds at all, which is said
	}
	v := verdict{code: codeBeaten, rule: i, other: -1, machine: m, history: history, beside: true, answer: Disproved, because: assumed(m, history), help: help}
	if j.rule(i).Word == curriculum.Flag {
		v.code = codeIdleFlag
	}
	for n, st := range m.Run(history) {
		if l := &m.Letters()[history[n]]; l.Edge == automaton.SessionEnd || l.Edge == automaton.NextDay {
			v.other = -1
		}
		for o := range at {
			if o != k && v.other < 0 && st.Holds>>o&1 != 0 {
				v.other = at[o]
			}
		}
	}
	if v.other < 0 {
		return nil
	}
	v.text = ruleText(j.rule(i)) + " " + fmt.Sprintf(text, ruleText(j.rule(v.other)))
	j.add(v)
	return nil
}

// idle reports whether a rule was found to do nothing.
func (j *judge) idle(i int) bool {
	return slices.ContainsFunc(j.found, func(v verdict) bool {
		return v.rule == i && (v.code == codeNever || v.code == codeBeaten || v.code == codeIdleFlag)
	})
}

// those are the places of the rules of one word that do something.
func (j *judge) those(w curriculum.RuleWord) []int {
	var out []int
	for i := range j.stay.Rules {
		if j.rule(i).Word == w && !j.idle(i) {
			out = append(out, i)
		}
	}
	return out
}

func except(list []int, drop ...int) []int {
	return slices.DeleteFunc(slices.Clone(list), func(i int) bool { return slices.Contains(drop, i) })
}
