package proof

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// fromTheStart reports a rule that holds at the very first trial: whatever it is, or though it counts several.
func (j *judge) fromTheStart(i, k int, ms *machines) {
	r := j.rule(i)
	if curriculum.AnyPart(r.When, isEased) {
		return // it goes by the eases before
	}
	for _, m := range ms.all {
		always, letter := true, -1
		for li, l := range m.Letters() {
			if !l.IsTrial() {
				continue
			}
			if m.Next(m.Start(), li).Holds>>k&1 == 0 {
				always = false
			} else if letter < 0 {
				letter = li
			}
		}
		if letter < 0 {
			continue
		}
		text := ""
		switch {
		case always:
			text = "holds at the very first trial, whatever the dog does"
		case r.Word == curriculum.Advance && curriculum.AnyPart(r.When, countsSeveral):
			text = "holds at the very first trial already"
		default:
			continue
		}
		j.add(verdict{code: codeFirst, rule: i, other: -1, machine: m, history: []int{letter}, answer: Disproved, because: assumed(m, []int{letter}),
			text: ruleText(r) + " " + text, help: "ask for more than one trial can show, such as 4 of last 5"})
		return
	}
}

// countsSeveral reports whether a criterion asks for more than one trial.
func countsSeveral(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return c.N > 1
	case curriculum.InSessionCount:
		return c.N > 1
	}
	return false
}

// onAMiss reports an advance, or a skip, that is made at a miss. At the end of a block, of a session or of so many trials
// to decide after that is meant; so it is where goes are counted, whatever comes of them.
func (j *judge) onAMiss(i, k int, stay *automaton.Stay, ms *machines) error {
	r := j.rule(i)
	meant := curriculum.AnyPart(r.When, func(c curriculum.Criterion) bool {
		w, ok := c.(curriculum.Window)
		_, share := c.(curriculum.SessionShare)
		return ok && w.Each || share
	}) || goesOnly(r.When)
	if decides := j.stay.Decide.EachSession || j.stay.Decide.EveryTrials > 0; meant || decides && r.Word != curriculum.Skip {
		return nil
	}
	ms, err := j.telling(stay, k, ms)
	if err != nil {
		return err
	}
	m, history, ok := ms.shortestIn(func(x *automaton.Machine) func(automaton.At, automaton.Step) bool {
		return func(at automaton.At, st automaton.Step) bool {
			return int(st.Takes) == k && x.Letters()[at.Letter].Miss()
		}
	})
	if ok {
		j.add(verdict{code: codeOnAMiss, rule: i, other: -1, machine: m, history: history, answer: Disproved, because: assumed(m, history),
			text: ruleText(r) + " can move a dog on at a miss", help: betterOn(r)})
	}
	return nil
}

// telling are machines of a stay that tell misses from all else, where it matters to a move: the ones given if they do,
// or those of the stay with one more rule that does.
func (j *judge) telling(stay *automaton.Stay, move int, ms *machines) (*machines, error) {
	_, _, mixed := ms.shortestIn(func(x *automaton.Machine) func(automaton.At, automaton.Step) bool {
		return func(at automaton.At, st automaton.Step) bool {
			l := &x.Letters()[at.Letter]
			return int(st.Takes) == move && !l.Miss() && slices.ContainsFunc(l.Kinds(), automaton.Kind.Miss)
		}
	})
	if !mixed {
		return ms, nil
	}
	more := *stay
	more.Rules = append(slices.Clone(stay.Rules), curriculum.Rule{Word: curriculum.Flag, When: curriculum.Window{K: 1, N: 1, Count: curriculum.Misses}})
	return j.x.of(j.rung, &more, j.limit)
}

// betterOn is the smallest change that keeps an advance or a skip from being made at a miss.
func betterOn(r *curriculum.Rule) string {
	switch {
	case onlyBad(r.When):
		return "it counts what goes wrong: is it meant to be an ease, or to count successes?"
	case countsOnly(r.When):
		return "add `and 1 of last 1`, so that the trial that moves it on is a good one; where goes are to be counted whatever comes of them, write such as done 8 times"
	}
	return "add `and 1 of last 1`, so that the trial that moves it on is a good one"
}

// goesOnly reports whether a criterion is `done 8 times` and the like: goes are counted, whatever comes of them. A `not`
// beside it says when they do not count.
func goesOnly(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Done:
		return true
	case curriculum.Named:
		return goesOnly(c.Is)
	case curriculum.Or:
		return slices.ContainsFunc(c.Any, goesOnly)
	case curriculum.And:
		return slices.ContainsFunc(c.All, goesOnly) && !slices.ContainsFunc(c.All, func(x curriculum.Criterion) bool {
			_, not := x.(curriculum.Not)
			return !not && !countsOnly(x)
		})
	}
	return false
}

// onlyBad reports whether a criterion counts trials that went wrong, and no others.
func onlyBad(c curriculum.Criterion) bool {
	bad, other := false, false
	for p := range curriculum.Parts(c) {
		var of curriculum.Counted
		switch p := p.(type) {
		case curriculum.Window:
			of = p.Count
			other = other || p.AtMost
		case curriculum.InSessionCount:
			of = p.Count
		case curriculum.Named, curriculum.InSession, curriculum.Repeated, curriculum.And, curriculum.Or:
			continue
		default:
			other = true
			continue
		}
		bad, other = bad || of != curriculum.Successes, other || of == curriculum.Successes
	}
	return bad && !other
}
