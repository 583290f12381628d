package example

import (
	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// history writes the trials: as many rounds of easing and coming back as asked for, then what fires the rule.
func (d *draft) history(eased int) bool {
	b, r := d.b(), d.s.rule(d.at)
	if r.Word == curriculum.Skip {
		return d.skip(b, r)
	}
	for round := range eased {
		ease, ok := d.stay(d.at.Step, d.level, round, isEase)
		if !ok {
			return false
		}
		to := target(b, d.at.Step, d.level, ease)
		step, level := to[0], to[1]
		for step < d.at.Step || step == d.at.Step && level < d.level {
			if _, ok := d.stay(step, level, 0, isAdvance); !ok {
				return false
			}
			if level++; level == len(b.Steps[step].Levels) {
				step, level = step+1, 0
			}
		}
	}
	took, ok := d.stay(d.at.Step, d.level, eased, nil)
	if ok && d.side == "" && r.Word == curriculum.Split && took.Word == curriculum.Ease && took.To == "" && d.level > 0 {
		// the ease alone is listed: what was put in is met on the way up
		_, ok = d.stay(d.at.Step, d.level-1, 0, isAdvance)
	}
	return ok
}

// stay writes the shortest history at a level that ends in a move of the word wanted, or, where none is, in what
// fires the draft's own rule. It returns the rule that makes the last move, if there is one.
func (d *draft) stay(step, level, eased int, want func(curriculum.RuleWord) bool) (*curriculum.Rule, bool) {
	b := d.b()
	d.stands = step
	st, err := automaton.StayAt(d.s.c, b.Name, step, level)
	if err != nil {
		return nil, false
	}
	mine := d.s.rule(d.at)
	rules, own := d.lookedAt(st.Rules, want == nil)
	st.Rules = rules
	if d.s.left <= 0 {
		d.s.whole = false
		return nil, false
	}
	m, err := automaton.Make(d.s.c, st, automaton.Options{Budget: min(searchStates, d.s.left), Entry: automaton.Entry{Eased: eased}, Dog: d.profile(), Day: FirstDay})
	if err != nil {
		d.s.whole = false
		return nil, false
	}
	d.s.left -= m.Len()
	if !m.Complete() || len(m.Opaque()) > 0 {
		d.s.whole = false
	}
	history, ok := m.Shortest(func(_ automaton.At, s automaton.Step) bool {
		switch {
		case want == nil && d.side != "":
			return s.Holds>>own&1 != 0
		case want == nil && mine.Word == curriculum.Split:
			return s.SplitDue && s.Holds>>own&1 != 0 && s.Takes >= 0
		case want == nil && (mine.Word == curriculum.StopToday || mine.Word == curriculum.Flag):
			return s.Holds>>own&1 != 0
		case want == nil:
			return s.Takes == int8(own)
		}
		return s.Takes >= 0 && want(rules[s.Takes].Word)
	})
	if !ok {
		return nil, false
	}
	steps := m.Run(history)
	if takes := steps[len(steps)-1].Takes; takes >= 0 {
		return &rules[takes], d.write(m, history, "")
	}
	return mine, d.write(m, history, "")
}

// lookedAt are the rules of a stay that a search minds: its moves and, where the end is wanted, the draft's own rule or,
// in the place of one side of its criterion, a rule that only looks. own is where that stands, or -1.
func (d *draft) lookedAt(all []curriculum.Rule, end bool) (rules []curriculum.Rule, own int) {
	mine := d.s.rule(d.at)
	own = -1
	for i := range all {
		r := all[i]
		isMine := end && d.side == "" && &all[i] == mine
		if isMine {
			own = len(rules)
			if d.by.when != nil {
				r.When = d.by.when
			}
		} else if r.Word == curriculum.Skip || d.by.alone || r.Word == curriculum.StopToday || r.Word == curriculum.Flag {
			continue // other notes end nothing and would only make the search longer
		}
		rules = append(rules, r)
	}
	if end && d.side != "" {
		look := curriculum.Rule{Word: curriculum.Flag, When: d.s.p.Parts(d.at)[d.part], Pos: mine.Pos}
		if mine.Word == curriculum.StopToday {
			look.Word = curriculum.StopToday
		}
		if d.side == Failed {
			look.When = curriculum.Not{Is: look.When}
		}
		rules, own = append(rules, look), len(rules)
	}
	return rules, own
}

// profile is the dog as a machine wants it.
func (d *draft) profile() *curriculum.Dog {
	pl := &player{dog: curriculum.Dog{Name: nobody}}
	if d.dog != nil {
		pl.theDog(d.dog, curriculum.Pos{})
	}
	return &pl.dog
}

// skip writes trials at the first level of the rule's step while the dog stands at the behaviour's first.
func (d *draft) skip(b *curriculum.Behaviour, r *curriculum.Rule) bool {
	m, err := automaton.Of(r.When, d.s.c, automaton.Options{Budget: searchStates})
	if err != nil {
		return false
	}
	history, ok := m.Shortest(func(_ automaton.At, s automaton.Step) bool { return s.Takes == 0 })
	return ok && d.write(m, history, b.Steps[d.at.Step].Name)
}
