package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// never reports a rule that holds at no moment of any history, with the reason.
func (j *judge) never(i int, ms *machines) error {
	r := j.rule(i)
	alone, _ := j.part(func(k int, _ *curriculum.Rule) bool { return k == i })
	only, err := j.x.of(j.rung, alone, j.limit)
	if err != nil {
		return err
	}
	holds := func(ms *machines) bool { return ms.seen(1).holds[0] }
	v := verdict{code: codeNever, rule: i, other: -1, answer: Disproved, because: ms.because()}
	if len(ms.assumptions()) > 0 || !only.complete {
		v.answer = NotProved
	}
	if holds(only) {
		v.code = codeBeaten
		if r.Word == curriculum.Flag {
			v.code = codeIdleFlag
		}
		v.text = ruleText(r) + " never gets its turn: the dog has always moved on or back before it can hold"
		v.help = "delete it, or make it hold sooner"
		if n := countedAtLevel(r.When); n > 0 {
			v.help = fmt.Sprintf("count at the step, whatever moves come between: after %d trials at this step", n)
		}
		j.instead(&v, only, ms)
		j.add(v)
		return nil
	}
	reason, help, err := j.contradiction(i)
	if err != nil {
		return err
	}
	v.help = help
	if j.limit > 0 && bySession(r) {
		free, err := j.x.of(j.rung, alone, 0)
		if err != nil {
			return err
		}
		if holds(free) {
			reason = fmt.Sprintf("a session has at most %s of it", plural(j.limit, "trial"))
			v.help = fmt.Sprintf("ask for what %s can show, or raise the limit", plural(j.limit, "trial"))
		}
	}
	if n, what, have := tooMany(r.When, j.stay.Places, j.x.c); n > 0 {
		reason = fmt.Sprintf("it asks for %d %s, and there are %s", n, what, have)
		v.help = fmt.Sprintf("ask for fewer, or declare more %s", what)
	}
	if j.countsNoEases(r.When) {
		reason = "it counts eases, and nothing eases here"
		v.help = "add the rule that is to be counted, such as ease when 3 misses of last 5, or take this one out"
	}
	v.text = fmt.Sprintf("%s can never hold: %s", ruleText(r), reason)
	j.add(v)
	return nil
}

// countsNoEases reports whether a criterion is a count of eases by itself, at a level without ease rules.
func (j *judge) countsNoEases(c curriculum.Criterion) bool {
	if n, ok := c.(curriculum.Named); ok {
		return j.countsNoEases(n.Is)
	}
	_, counts := c.(curriculum.Eased)
	return counts && !slices.ContainsFunc(j.stay.Rules, func(r curriculum.Rule) bool { return r.Word == curriculum.Ease })
}

// contradiction says of a rule that can never hold by itself which of the parts that it joins with `and` are enough to
// keep it from holding: none of them can be left out.
func (j *judge) contradiction(i int) (reason, help string, err error) {
	together := func(parts []curriculum.Criterion) (never bool, err error) {
		stay, _ := j.part(func(k int, _ *curriculum.Rule) bool { return k == i })
		stay.Rules[0].When = curriculum.And{All: parts}
		if len(parts) == 1 {
			stay.Rules[0].When = parts[0]
		}
		ms, err := j.x.of(j.rung, stay, j.limit)
		if err != nil {
			return false, err
		}
		return ms.complete && !ms.seen(1).holds[0], nil
	}
	all := joined(j.rule(i).When)
	core := all
	for k := 0; k < len(core) && len(core) > 1; {
		rest := slices.Delete(slices.Clone(core), k, k+1)
		never, err := together(rest)
		if err != nil {
			return "", "", err
		}
		if never {
			core = rest
		} else {
			k++
		}
	}
	var names []string
	for _, c := range core {
		names = append(names, "`"+curriculum.CriterionNames(c)+"`")
	}
	switch {
	case len(core) > 1:
		return strings.Join(names, " and ") + " contradict each other", "change or leave out one of them", nil
	case len(all) > 1:
		return "no history meets " + names[0], "change or leave out that part", nil
	default:
		return "no history meets it", "look at its numbers: they ask for what cannot be", nil
	}
}

// joined are the parts that a criterion joins with `and`, those of a named one too; of any other the criterion itself.
func joined(c curriculum.Criterion) []curriculum.Criterion {
	switch c := c.(type) {
	case curriculum.Named:
		if parts := joined(c.Is); len(parts) > 1 {
			return parts
		}
	case curriculum.And:
		var out []curriculum.Criterion
		for _, p := range c.All {
			out = append(out, joined(p)...)
		}
		return out
	}
	return []curriculum.Criterion{c}
}

// instead adds to a verdict the shortest way in which a rule by itself would come to hold, as far as the moves of the
// whole let it: to the move that is made before.
func (j *judge) instead(v *verdict, only, all *machines) {
	m, history, ok := only.shortest(func(_ automaton.At, st automaton.Step) bool { return st.Holds&1 != 0 })
	if !ok {
		return
	}
	whole := all.all[0]
	var way []int
	for _, li := range history {
		l := &m.Letters()[li]
		to, found := 0, false
		if l.IsTrial() {
			to, found = whole.LetterOf(&l.Cases[0])
		} else {
			to = slices.IndexFunc(whole.Letters(), func(x automaton.Letter) bool { return x.Edge == l.Edge })
			found = to >= 0
		}
		if found {
			way = append(way, to)
		}
	}
	steps := whole.Run(way)
	if len(steps) == 0 || steps[len(steps)-1].To != automaton.Ended {
		return
	}
	by := whole.Rules()[steps[len(steps)-1].Takes]
	v.machine, v.history, v.instead = whole, way[:len(steps)], true
	v.other = slices.IndexFunc(j.stay.Rules, func(r curriculum.Rule) bool {
		return r.Word == by.Word && r.Pos == by.Source.Pos && curriculum.CriterionText(r.When) == by.Text
	})
}

// countedAtLevel is the number of trials that a criterion counts from the level's entry, or 0.
func countedAtLevel(c curriculum.Criterion) (n int) {
	parts(c, func(c curriculum.Criterion) {
		if a, ok := c.(curriculum.After); ok && a.Unit == curriculum.AfterTrials && !a.AtStep && n == 0 {
			n = a.N
		}
	})
	return n
}

// tooMany is the first criterion that asks for more places or handlers than there are.
func tooMany(c curriculum.Criterion, here []string, cur *curriculum.Curriculum) (n int, what, have string) {
	anyPart(c, func(c curriculum.Criterion) bool {
		r, ok := c.(curriculum.Repeated)
		if !ok {
			return false
		}
		names := cur.Places
		where := " declared"
		switch {
		case r.Over == curriculum.Handlers:
			names = cur.Handlers
		case r.Over != curriculum.Places:
			return false
		case len(here) > 0:
			names, where = here, " at this step"
		}
		if r.N <= len(names) {
			return false
		}
		n, what, have = r.N, r.Over.String(), fmt.Sprintf("%d%s", len(names), where)
		if len(names) > 0 {
			have += " (" + strings.Join(names, ", ") + ")"
		}
		return true
	})
	return n, what, have
}

// flag looks at a flag beside the moves, which may end every stay before it holds.
func (j *judge) flag(i int) error {
	stay, at := j.part(func(k int, r *curriculum.Rule) bool { return k == i || moves(r) })
	if sooner(j.rule(i).When) {
		// it is enough that a stay can be as long as one likes
		only, _ := j.part(func(_ int, r *curriculum.Rule) bool { return moves(r) })
		ms, err := j.x.of(j.rung, only, j.limit)
		if err != nil || !ms.complete || slices.ContainsFunc(ms.all, endless) {
			return err
		}
	}
	ms, err := j.x.of(j.rung, stay, j.limit)
	if err != nil {
		return err
	}
	k := slices.Index(at, i)
	switch s := ms.seen(len(at)); {
	case s.holds[k]:
		j.fromTheStart(i, k, ms)
	case ms.complete:
		return j.never(i, ms)
	}
	return nil
}

// sooner reports whether a criterion holds sooner or later, however the dog does, once there is evidence enough.
func sooner(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Named:
		return sooner(c.Is)
	case curriculum.Or:
		return slices.ContainsFunc(c.Any, sooner)
	case curriculum.After:
		return c.Unit == curriculum.AfterTrials
	case curriculum.Done:
		return true
	}
	return false
}

// endless reports whether a stay can go on for any number of evidence trials: one of them lies on a circle. It looks for
// the states that lead back to where they come from (Tarjan, SIAM Journal on Computing 1 (1972) 146, without recursion).
func endless(m *automaton.Machine) bool {
	letters := len(m.Letters())
	n := m.Len()
	index, low, of := make([]int, n), make([]int, n), make([]int, n) // from 1; of: the circle it belongs to
	var open []int                                                   // states of circles that are not closed yet
	type frame struct{ state, letter int }
	count, circles := 0, 0
	for start := range n {
		if index[start] > 0 {
			continue
		}
		path := []frame{{start, 0}}
		for len(path) > 0 {
			f := &path[len(path)-1]
			s := f.state
			if f.letter == 0 && index[s] == 0 {
				count++
				index[s], low[s] = count, count
				open = append(open, s)
			}
			if f.letter < letters {
				to := int(m.Next(automaton.State(s), f.letter).To)
				f.letter++
				switch {
				case to < 0:
				case index[to] == 0:
					path = append(path, frame{to, 0})
				case of[to] == 0:
					low[s] = min(low[s], index[to])
				}
				continue
			}
			if low[s] == index[s] {
				circles++
				for {
					last := open[len(open)-1]
					open = open[:len(open)-1]
					of[last] = circles
					if last == s {
						break
					}
				}
			}
			path = path[:len(path)-1]
			if len(path) > 0 {
				up := path[len(path)-1].state
				low[up] = min(low[up], low[s])
			}
		}
	}
	for at, st := range m.Steps() {
		if l := &m.Letters()[at.Letter]; st.To >= 0 && of[at.State] == of[st.To] && l.IsTrial() && l.Cases[0].Kind.Evidence() {
			return true
		}
	}
	return false
}

// stop looks at a stop by itself: it sees the whole session, whatever moves come between.
func (j *judge) stop(i int) error {
	stay, _ := j.part(func(k int, _ *curriculum.Rule) bool { return k == i })
	ms, err := j.x.of(j.rung, stay, j.limit)
	if err != nil {
		return err
	}
	switch s := ms.seen(1); {
	case s.holds[0]:
		j.fromTheStart(i, 0, ms)
	case ms.complete:
		return j.never(i, ms)
	}
	return nil
}

// skip looks at a skip by itself: it counts trials at its own step only.
func (j *judge) skip(i int) error {
	r := *j.rule(i)
	r.Word = curriculum.Advance
	ms, err := j.x.of(j.rung, &automaton.Stay{Rules: []curriculum.Rule{r}}, 0)
	if err != nil {
		return err
	}
	if ms.complete && !ms.seen(1).holds[0] {
		j.add(verdict{code: codeNever, rule: i, other: -1, answer: Disproved,
			text: ruleText(j.rule(i)) + " can never hold: its counts contradict each other", help: "look at its numbers: they ask for what cannot be"})
	}
	return nil
}
