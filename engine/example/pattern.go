package example

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

const (
	longestPattern = 3   // marks that are repeated, whatever they are
	longestRun     = 9   // successes before a miss, repeated too
	mostOfPattern  = 130 // trials
)

// pattern looks for what fires a rule whose reasons lie beyond one stay at a level: a few marks repeated, all in one
// session or so many in each, until the goal is reached. The shortest is taken.
func (d *draft) pattern() (items []curriculum.ExampleItem, trials int, ok bool) {
	if r := d.s.rule(d.at); r.Word == curriculum.Skip {
		return nil, 0, false
	}
	marks := []curriculum.Mark{{Outcome: curriculum.Success}, {Outcome: curriculum.Wrong}, {Outcome: curriculum.Silent}}
	words := d.swings()
	last := [][]curriculum.Mark{nil}
	for range longestPattern {
		var next [][]curriculum.Mark
		for _, w := range last {
			for _, m := range marks {
				next = append(next, append(slices.Clone(w), m))
			}
		}
		words, last = append(words, next...), next
	}
	for n := longestPattern; n <= longestRun; n++ {
		words = append(words, append(slices.Repeat([]curriculum.Mark{{Outcome: curriculum.Success}}, n), curriculum.Mark{Outcome: curriculum.Wrong}))
	}
	most := mostOfPattern
	for _, each := range []int{0, 1} {
		for _, w := range words {
			if found, n := d.repeat(w, each, most); found != nil {
				items, trials, ok, most = found, n, true, n-1
			}
		}
	}
	return items, trials, ok
}

// swings are what takes a dog up a level of the rule's step and down again, so that it can stay at the step for ever; down
// and up where the draft led to a piece.
func (d *draft) swings() [][]curriculum.Mark {
	if d.at.Step == len(d.b().Steps) || len(d.b().Steps[d.at.Step].Levels) < 2 && d.lead == nil {
		return nil
	}
	up := &draft{s: d.s, goal: d.goal, dog: d.dog}
	moves := []func(curriculum.RuleWord) bool{isAdvance, isEase}
	if d.lead != nil {
		slices.Reverse(moves)
	}
	for level, want := range moves {
		if _, ok := up.stay(d.at.Step, min(level, len(d.b().Steps[d.at.Step].Levels)-1), 0, want); !ok {
			return nil
		}
	}
	if len(up.items) != 1 || up.items[0].Trials == nil {
		return nil
	}
	return [][]curriculum.Mark{up.items[0].Trials.Marks}
}

// repeat plays a pattern with so many trials a session (0: all in one) until the rule fires, nil where it does not.
func (d *draft) repeat(word []curriculum.Mark, each, most int) ([]curriculum.ExampleItem, int) {
	d.begin()
	cov := newCoverage(d.s.p)
	cov.in = map[engine.RuleAt]bool{}
	pl := newPlayer(d.s.p, script{items: d.items}, nil)
	pl.fold.Watch(cov)
	pl.items(d.items)
	var line *curriculum.ExampleTrials
	for n := range most {
		if each > 0 && n > 0 && n%each == 0 {
			line.Marks = append(line.Marks, curriculum.Mark{Bar: curriculum.DayBar})
			pl.bar(curriculum.DayBar, curriculum.Pos{})
		}
		if line == nil {
			line = &curriculum.ExampleTrials{Behaviour: d.b().Name}
			d.items = append(d.items, curriculum.ExampleItem{Trials: line})
		}
		m := word[n%len(word)]
		line.Marks = append(line.Marks, m)
		pl.trials(&curriculum.ExampleTrials{Behaviour: line.Behaviour, Marks: []curriculum.Mark{m}}, curriculum.Pos{})
		if d.reached(cov) {
			d.trials = len(pl.played)
			items, ok := d.played()
			if !ok {
				return nil, 0
			}
			return items, d.trials
		}
	}
	return nil, 0
}

// withinLevel reports whether all that a rule looks at happens in one stay at a level.
func withinLevel(r *curriculum.Rule) bool {
	within := r.Word != curriculum.StopToday && r.Word != curriculum.Skip
	for c := range curriculum.Parts(r.When) {
		switch c := c.(type) {
		case curriculum.Eased:
			within = false
		case curriculum.After:
			within = within && !c.AtStep
		}
	}
	return within
}
