package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// never reports a rule that holds at no moment of any history beside the others: because moves are always made before, or
// because it never holds by itself either.
func (j *judge) never(i int, ms *machines, at []int) error {
	only, err := j.x.of(j.rung, j.alone(i), j.limit)
	if err != nil {
		return err
	}
	v := verdict{code: codeNever, rule: i, other: -1, answer: Disproved, because: ms.because()}
	if len(ms.assumptions()) > 0 || !only.complete {
		v.answer = NotProved
	}
	if only.seen(1).holds[0] {
		j.outrun(&v, only, ms, at)
		j.add(v)
		return nil
	}
	reason, err := j.whyNever(&v)
	if err != nil {
		return err
	}
	v.text = fmt.Sprintf("%s can never hold: %s", ruleText(j.rule(i)), reason)
	if v.answer == NotProved {
		v.text = fmt.Sprintf("%s holds in no history that was looked at: %s", ruleText(j.rule(i)), reason)
	}
	j.add(v)
	return nil
}

// outrun says of a rule that could hold that moves, whose machines stand at those places, are always made before.
func (j *judge) outrun(v *verdict, only, all *machines, at []int) {
	r := j.rule(v.rule)
	v.code = codeBeaten
	if r.Word == curriculum.Flag {
		v.code = codeIdleFlag
	}
	v.text = ruleText(r) + " never gets its turn: the dog has always moved on or back before it can hold"
	v.help = "delete it, or make it hold sooner"
	if n := countedAtLevel(r.When); n > 0 && j.stepGoesOn() {
		v.help = fmt.Sprintf("count at the step, whatever moves come between: after %d trials at this step", n)
	}
	j.instead(v, only, all, at)
}

// whyNever is why a rule never holds by itself; what helps, and the other rule that is the reason, go into the verdict. The
// nearest reason is looked for last.
func (j *judge) whyNever(v *verdict) (reason string, err error) {
	r := j.rule(v.rule)
	if reason, v.help, err = j.contradiction(v.rule); err != nil {
		return "", err
	}
	if j.limit > 0 && bySession(r) {
		free, err := j.x.of(j.rung, j.alone(v.rule), 0)
		if err != nil {
			return "", err
		}
		if free.seen(1).holds[0] {
			reason = fmt.Sprintf("a session has at most %s of it", plural(j.limit, "trial"))
			v.help = fmt.Sprintf("ask for what %s can show, or raise the limit", plural(j.limit, "trial"))
		}
	}
	if n, what, have := tooMany(r.When, j.stay.Places, j.x.c); n > 0 {
		reason = fmt.Sprintf("it asks for %d %s, and there are %s", n, what, have)
		v.help = fmt.Sprintf("ask for fewer, or declare more %s", what)
	}
	eases := easesOf(r.When)
	if eases == 0 {
		return reason, nil
	}
	if k := j.splitBefore(eases); k >= 0 {
		v.other, v.help = k, "count no more eases than the split does, or take one of the two out"
		return ruleText(j.rule(k)) + " comes before and begins that count anew", nil
	}
	if j.first(curriculum.Ease) < 0 {
		v.help = "add the rule that is to be counted, such as ease when 3 misses of last 5, or take this one out"
		return "it counts eases, and nothing eases here", nil
	}
	return reason, nil
}

// easesOf is how many eases a criterion counts by itself; 0 where it does not.
func easesOf(c curriculum.Criterion) int {
	switch c := c.(type) {
	case curriculum.Named:
		return easesOf(c.Is)
	case curriculum.Eased:
		return c.N
	}
	return 0
}

// splitBefore is a split that falls due at fewer eases than so many, or -1: the count begins anew with each split.
func (j *judge) splitBefore(eases int) int {
	return slices.IndexFunc(j.stay.Rules, func(r curriculum.Rule) bool {
		n := easesOf(r.When)
		return r.Word == curriculum.Split && n > 0 && n < eases
	})
}

// contradiction says of a rule that can never hold by itself which of the parts that it joins with `and` are enough to
// keep it from holding: none of them can be left out.
func (j *judge) contradiction(i int) (reason, help string, err error) {
	together := func(parts []curriculum.Criterion) (never bool, err error) {
		if len(parts) == 1 {
			return j.impossible(i, parts[0])
		}
		return j.impossible(i, curriculum.And{All: parts})
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
	if len(core) == 1 {
		if reason, help, err = j.noTrial(i, core[0]); reason != "" || err != nil {
			return reason, help, err
		}
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

// impossible reports whether no history meets a criterion where a rule stands.
func (j *judge) impossible(i int, when curriculum.Criterion) (bool, error) {
	stay := j.alone(i)
	stay.Rules[0].When = when
	ms, err := j.x.of(j.rung, stay, j.limit)
	if err != nil {
		return false, err
	}
	return ms.complete && !ms.seen(1).holds[0], nil
}

// noTrial says of a criterion that no history meets which of the conditions on its trials no trial meets, if that is why.
func (j *judge) noTrial(i int, c curriculum.Criterion) (reason, help string, err error) {
	one := curriculum.Window{K: 1, N: 1}
	switch c := c.(type) {
	case curriculum.Named:
		return j.noTrial(i, c.Is)
	case curriculum.InSession:
		return j.noTrial(i, c.Is)
	case curriculum.Repeated:
		return j.noTrial(i, c.Is)
	case curriculum.Holds:
		if j.x.noDog(c.Expr) {
			return "no dog meets `" + curriculum.CriterionText(c) + "`", turnRound, nil
		}
		return "no trial meets `" + curriculum.CriterionText(c) + "`", turnRound, nil
	case curriculum.Window:
		one.Count, one.Qualify = c.Count, c.Qualify
	case curriculum.InSessionCount:
		one.Count, one.Qualify.Where = c.Count, c.Where
	case curriculum.SessionShare:
		one.Qualify = c.Qualify
	default:
		return "", "", nil
	}
	never, err := j.impossible(i, one)
	if !never || err != nil {
		return "", "", err
	}
	for _, without := range []func(*curriculum.Qualifiers){
		func(q *curriculum.Qualifiers) { q.EvenHelped = false },
		func(q *curriculum.Qualifiers) { q.Within = nil },
		func(q *curriculum.Qualifiers) { q.Holding = nil },
		func(q *curriculum.Qualifiers) { q.Where = nil },
		func(q *curriculum.Qualifiers) { q.Among = nil },
	} {
		less := one
		without(&less.Qualify)
		never, err := j.impossible(i, less)
		if err != nil {
			return "", "", err
		}
		if never {
			one = less
		}
	}
	who := "trial"
	for _, e := range []*curriculum.Expression{one.Qualify.Where, one.Qualify.Among} {
		if e != nil && j.x.noDog(e) {
			who = "dog"
		}
	}
	return fmt.Sprintf("no %s meets `%s`", who, one.Qualify), turnRound, nil
}

const turnRound = "turn one of the comparisons round, or write or for and"

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
// whole, whose rules stand at those places, let it: to the move that is made before.
func (j *judge) instead(v *verdict, only, all *machines, at []int) {
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
	v.machine, v.history, v.instead = whole, way[:len(steps)], true
	v.other = at[steps[len(steps)-1].Takes]
}

// countedAtLevel is the number of trials that a criterion counts from the level's entry, or 0.
func countedAtLevel(c curriculum.Criterion) (n int) {
	for c := range curriculum.Parts(c) {
		if a, ok := c.(curriculum.After); ok && a.Unit == curriculum.AfterTrials && !a.AtStep && n == 0 {
			n = a.N
		}
	}
	return n
}

// tooMany is the first criterion that asks for more places or handlers than there are.
func tooMany(c curriculum.Criterion, here []string, cur *curriculum.Curriculum) (n int, what, have string) {
	curriculum.AnyPart(c, func(c curriculum.Criterion) bool {
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
