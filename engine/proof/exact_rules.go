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
				help: "look for two long windows in one rule, or in two; shorter ones can be proved"})
		}
		if err := j.moves(ms, at); err != nil {
			return err
		}
	}
	for i := range j.stay.Rules {
		var err error
		switch r := j.rule(i); r.Word {
		case curriculum.StopToday:
			err = j.stop(i)
		case curriculum.Flag:
			err = j.flag(i)
		case curriculum.Skip:
			err = j.skip(i)
		}
		if err != nil {
			return err
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

// moves looks at ease, split and advance (or lapse), which stand at the places at of the whole.
func (j *judge) moves(ms *machines, at []int) error {
	s := ms.seen(len(at))
	for k, i := range at {
		switch {
		case !s.holds[k]:
			if ms.complete {
				if err := j.never(i, ms); err != nil {
					return err
				}
			}
		case !s.works[k] && ms.complete:
			j.beaten(i, k, ms, at)
		default:
			j.fromTheStart(i, k, ms)
			if j.rule(i).Word == curriculum.Advance {
				j.onAMiss(i, k, ms)
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

// together reports two rules that hold at one moment and ask for different things.
func (j *judge) together(a, b int, ms *machines, at []int) {
	x, y := j.rule(at[a]), j.rule(at[b])
	if x.Word == y.Word {
		return
	}
	for _, r := range []*curriculum.Rule{x, y} {
		if r.Word == curriculum.Advance && countsOnly(r.When) {
			return // a dog that fails meanwhile is to go back
		}
		if r.Word == curriculum.Split && len(r.Into) == 0 && !j.stay.Room {
			return // it only asks a senior to look
		}
	}
	for _, r := range []*curriculum.Rule{x, y} {
		if r.Word == curriculum.Split && anyPart(r.When, isEased) && (x.Word == curriculum.Ease || y.Word == curriculum.Ease) {
			return // it is meant: the ease that is due counts
		}
	}
	both := uint64(1)<<a | uint64(1)<<b
	m, history, ok := ms.shortestIn(func(m *automaton.Machine) func(automaton.At, automaton.Step) bool {
		return func(_ automaton.At, st automaton.Step) bool { return st.Holds&both == both && !m.Entry().Pieced }
	})
	if !ok {
		return
	}
	steps := m.Run(history)
	takes := steps[len(steps)-1].Takes
	won := x
	if int(takes) == b {
		won = y
	}
	j.add(verdict{code: codeTogether, rule: at[a], other: at[b], machine: m, history: history, answer: Disproved, because: assumed(m, history),
		text: fmt.Sprintf("%s and %s can hold at one moment; then %s is taken", ruleText(x), ruleText(y), won.Word),
		help: "make one of them ask for what rules the other out"})
}

func isEased(c curriculum.Criterion) bool {
	_, ok := c.(curriculum.Eased)
	return ok
}

// fromTheStart reports a rule that holds at the very first trial: whatever it is, or though it counts several.
func (j *judge) fromTheStart(i, k int, ms *machines) {
	r := j.rule(i)
	if anyPart(r.When, isEased) {
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
		case r.Word == curriculum.Advance && anyPart(r.When, countsSeveral):
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

// onAMiss reports an advance that is made at a miss. At the end of a block, of a session or of so many trials to decide
// after that is meant; so it is where nothing but trials or time is counted.
func (j *judge) onAMiss(i, k int, ms *machines) {
	r := j.rule(i)
	meant := j.stay.Decide.EachSession || j.stay.Decide.EveryTrials > 0 || anyPart(r.When, func(c curriculum.Criterion) bool {
		w, ok := c.(curriculum.Window)
		_, share := c.(curriculum.SessionShare)
		return ok && w.Each || share
	}) || !anyPart(r.When, countsWell)
	if meant {
		return
	}
	m, history, ok := ms.shortestIn(func(x *automaton.Machine) func(automaton.At, automaton.Step) bool {
		return func(at automaton.At, st automaton.Step) bool {
			return int(st.Takes) == k && x.Letters()[at.Letter].Miss()
		}
	})
	if !ok {
		return
	}
	j.add(verdict{code: codeOnAMiss, rule: i, other: -1, machine: m, history: history, answer: Disproved, because: assumed(m, history),
		text: ruleText(r) + " can move a dog on at a miss", help: "add `and 1 of last 1`, so that the trial that moves it on is a good one"})
}

// countsWell reports whether a criterion counts what went well.
func countsWell(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Window:
		return c.Count == curriculum.Successes || c.AtMost
	case curriculum.FirstTrial, curriculum.Confidence, curriculum.Sequential, curriculum.Statistic:
		return true
	}
	return false
}

// beaten reports a rule that holds at times, but never when its turn comes.
func (j *judge) beaten(i, k int, ms *machines, at []int) {
	m, history, _ := ms.shortest(func(_ automaton.At, st automaton.Step) bool { return st.Holds>>k&1 != 0 })
	steps := m.Run(history)
	v := verdict{code: codeBeaten, rule: i, other: -1, machine: m, history: history, answer: Disproved, because: ms.because(),
		text: ruleText(j.rule(i)) + " never makes its move", help: "delete it, or make it hold earlier than the other"}
	if by := steps[len(steps)-1].Takes; by >= 0 {
		v.other = at[by]
		v.text += fmt.Sprintf(": whenever it holds, %s does and comes first", ruleText(j.rule(at[by])))
	}
	j.add(v)
}
