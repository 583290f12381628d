package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// together reports two rules that hold at one moment and ask for different things.
func (j *judge) together(a, b int, ms *machines, at []int) {
	x, y := j.rule(at[a]), j.rule(at[b])
	if x.Word == y.Word {
		return
	}
	for _, r := range []*curriculum.Rule{x, y} {
		if r.Word == curriculum.Split && len(r.Into) == 0 && !j.stay.Room {
			return // it only asks a senior to look
		}
	}
	for _, r := range []*curriculum.Rule{x, y} {
		if r.Word == curriculum.Split && curriculum.AnyPart(r.When, isEased) && (x.Word == curriculum.Ease || y.Word == curriculum.Ease) {
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
	won, lost := x, y
	if int(takes) == b {
		won, lost = y, x
	}
	j.add(verdict{code: codeTogether, rule: at[a], other: at[b], machine: m, history: history, answer: Disproved, because: assumed(m, history),
		text: fmt.Sprintf("%s and %s can hold at one moment; then %s is taken", ruleText(x), ruleText(y), won.Word),
		help: fmt.Sprintf("write `%s`, which is how it is taken now, or let one of them ask for what rules the other out", without(lost, won))})
}

// without is a rule as it is written, kept from holding where another does.
func without(r, other *curriculum.Rule) string {
	not := *r
	not.When = curriculum.And{All: []curriculum.Criterion{r.When, curriculum.Not{Is: other.When}}}
	if and, ok := r.When.(curriculum.And); ok {
		not.When = curriculum.And{All: append(slices.Clone(and.All), curriculum.Not{Is: other.When})}
	}
	return strings.Trim(ruleText(&not), "`")
}

func isEased(c curriculum.Criterion) bool {
	_, ok := c.(curriculum.Eased)
	return ok
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
