package proof

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// verdict is what was found about the rules of one stay, for every step that has them.
type verdict struct {
	code  string
	rule  int // index in the stay, or -1 for the step
	other int // another rule that it is about, or -1
	text  string
	help  string

	machine *automaton.Machine
	history []int    // nil for none
	instead bool     // the history shows what the other rule does before this one can hold
	beside  bool     // it shows that the other holds too, before this one or with it
	marks   []string // instead of it, where it is of two machines
	answer  Answer
	because string
}

// ruleText is a rule as it is written.
func ruleText(r *curriculum.Rule) string {
	word := string(r.Word)
	if r.Word == curriculum.StopToday {
		word = "stop today"
	}
	if r.To != "" {
		word += " to " + r.To
	}
	return fmt.Sprintf("`%s when %s`", word, curriculum.CriterionNames(r.When))
}

// judge looks at the rules of a rung.
type judge struct {
	x *machinery
	rung
	found []verdict
}

func (j *judge) add(v verdict) { j.found = append(j.found, v) }

func (j *judge) rule(i int) *curriculum.Rule { return &j.stay.Rules[i] }

// part is the stay with some of its rules, and where they stand in the whole.
func (j *judge) part(keep func(int, *curriculum.Rule) bool) (*automaton.Stay, []int) {
	stay := *j.stay
	stay.Rules = nil
	var at []int
	for i := range j.stay.Rules {
		if r := j.rule(i); r.Word != curriculum.Skip && keep(i, r) {
			stay.Rules, at = append(stay.Rules, *r), append(at, i)
		}
	}
	return &stay, at
}

// alone is the stay with one of its rules. A skip, which machines pass over, becomes the advance that it is: of a dog that
// stands elsewhere, so that nothing else bears on it.
func (j *judge) alone(i int) *automaton.Stay {
	stay := *j.stay
	r := *j.rule(i)
	if r.Word == curriculum.Skip {
		r.Word, stay.Decide = curriculum.Advance, curriculum.Decide{}
	}
	stay.Rules = []curriculum.Rule{r}
	return &stay
}

func moves(r *curriculum.Rule) bool {
	return slices.Contains(moving, r.Word) || r.Word == curriculum.Lapse
}

// rules looks at all rules of the rung.
func (j *judge) rules() error {
	stay, at := j.part(func(_ int, r *curriculum.Rule) bool { return moves(r) })
	if len(at) > 0 {
		ms, err := j.x.of(j.rung, stay, j.limit)
		if err != nil {
			return err
		}
		if !ms.complete {
			j.add(verdict{code: codeNotProved, rule: at[0], other: -1, answer: NotProved, because: ms.because(),
				text: "whether the moves of this step hang together is not proved for every history",
				help: smaller(stay.Rules)})
		}
		if err := j.moves(stay, ms, at); err != nil {
			return err
		}
	}
	for i := range j.stay.Rules {
		var err error
		switch r := j.rule(i); r.Word {
		case curriculum.StopToday:
			err = j.stop(i)
		case curriculum.Flag:
			err = j.beside(i, r.When)
		case curriculum.Skip:
			err = j.skip(i)
		}
		if err != nil {
			return err
		}
	}
	if err := j.stops(); err != nil {
		return err
	}
	if err := j.flags(); err != nil {
		return err
	}
	for i := range j.stay.Rules {
		if r := j.rule(i); moves(r) || r.Word == curriculum.Flag {
			if err := j.behindStop(i); err != nil {
				return err
			}
		}
	}
	return nil
}

// seen is what the machines of a stay show of each rule and each pair of rules.
type seen struct {
	holds, works []bool // works: makes the move, or is a split that falls due
	together     map[[2]int]bool
}

func (ms *machines) seen(rules int) seen {
	s := seen{holds: make([]bool, rules), works: make([]bool, rules), together: map[[2]int]bool{}}
	looked := map[automaton.Look]bool{}
	for _, m := range ms.all {
		words := m.Rules()
		for _, st := range m.Steps() {
			if st.Holds == 0 || looked[st.Look] {
				continue
			}
			looked[st.Look] = true
			for a := range rules {
				if st.Holds>>a&1 == 0 {
					continue
				}
				s.holds[a] = true
				s.works[a] = s.works[a] || int(st.Takes) == a || words[a].Word == curriculum.Split
				for b := a + 1; b < rules; b++ {
					if st.Holds>>b&1 != 0 {
						s.together[[2]int{a, b}] = true
					}
				}
			}
		}
	}
	return s
}

// moves looks at ease, split and advance (or lapse) of a stay, which stand at the places at of the whole.
func (j *judge) moves(stay *automaton.Stay, ms *machines, at []int) error {
	s := ms.seen(len(at))
	for k, i := range at {
		switch {
		case !s.holds[k]:
			if ms.complete {
				if err := j.never(i, ms, at); err != nil {
					return err
				}
			}
		case !s.works[k] && ms.complete:
			j.beaten(i, k, ms, at)
		default:
			j.fromTheStart(i, k, ms)
			if j.rule(i).Word == curriculum.Advance {
				if err := j.onAMiss(i, k, stay, ms); err != nil {
					return err
				}
			}
		}
	}
	for a := range at {
		for b := a + 1; b < len(at); b++ {
			if s.together[[2]int{a, b}] && s.works[a] && s.works[b] {
				j.together(a, b, ms, at)
			}
		}
	}
	return nil
}
