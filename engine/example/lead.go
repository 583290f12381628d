package example

import (
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// lead is a way on which a draft begins, where a start at the rule's step is not enough.
type lead struct {
	items          []curriculum.ExampleItem
	trials         int
	place, handler string
}

// mostOfLead is how many levels are climbed at most between a split and its second piece.
const mostOfLead = 8

// pieces leads to the second piece that a split of the rule's step puts in. From there a dog can go down and up within
// the step, also where the author wrote a single level.
func (s *suggester) pieces(g goal, dog *curriculum.ExampleDog) *lead {
	b := s.c.Behaviours[g.at.Behaviour]
	if g.at.Step == len(b.Steps) {
		return nil
	}
	for i, r := range b.Steps[g.at.Step].Rules {
		if r.Word != curriculum.Split || len(r.Into) < 2 || i == g.at.Rule {
			continue
		}
		split := goal{at: engine.RuleAt{Behaviour: g.at.Behaviour, Step: g.at.Step, Rule: i}}
		d := &draft{s: s, goal: split, dog: dog, level: s.levels(split.at)[0]}
		if items, _, ok := d.find(); ok {
			d.items = items[:len(items)-1] // without what it expects
			if d.climbTo(r.Into[1]) {
				return &lead{d.items, d.trials, d.place, d.handler}
			}
		}
	}
	return nil
}

// climbTo goes up from wherever the dog stands to a piece of the draft's step.
func (d *draft) climbTo(piece string) bool {
	b := d.b()
	for range mostOfLead {
		pl := newPlayer(d.s.p, script{items: d.items}, nil)
		pl.items(d.items)
		at, ok := pl.fold.Of(pl.dog.Name, b.Name, pl.now)
		if !ok || at.State != curriculum.Working {
			return false
		}
		if at.Step == b.Steps[d.at.Step].Name && at.Level[curriculum.PieceRamp] == piece {
			return true
		}
		step := b.Step(at.Step)
		level := slices.IndexFunc(b.Steps[step].Levels, func(l curriculum.Level) bool { return l.Meets(levelOf(at.Level).Values) })
		if _, ok := d.stay(step, max(0, level), 0, isAdvance); !ok { // a piece has the rules of its step
			return false
		}
	}
	return false
}

func isAdvance(w curriculum.RuleWord) bool { return w == curriculum.Advance }
func isEase(w curriculum.RuleWord) bool    { return w == curriculum.Ease }

// begin puts the dog where the draft goes on.
func (d *draft) begin() {
	d.items, d.place, d.handler, d.trials = nil, "", "", 0
	if l := d.lead; l != nil {
		d.place, d.handler, d.trials = l.place, l.handler, l.trials
		for _, item := range l.items {
			if item.Trials != nil { // what follows may be written behind its marks
				line := *item.Trials
				line.Marks = slices.Clone(line.Marks)
				item.Trials = &line
			}
			d.items = append(d.items, item)
		}
		return
	}
	if d.dog != nil {
		d.items = append(d.items, curriculum.ExampleItem{Dog: d.dog})
	}
	d.starts()
}
