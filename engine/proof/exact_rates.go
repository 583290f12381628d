package proof

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
	"example.com/rung/engine/odds"
)

const (
	// longWait is how many trials a dog may be expected to stay at one level without a move either way and without a
	// flag: about two weeks of homework.
	longWait = 100
	// shortSwing is how many trials a swing up and down again must have: fewer are a coin toss.
	shortSwing = 3
	// fineRamp is how many levels, close together, make a ramp on which the rules, and not what the dog learns from one
	// level to the next, decide where it works.
	fineRamp = 4
	// balanceLow and balanceHigh are the success rates between which the school wants a dog to work.
	balanceLow, balanceHigh = 0.65, 0.90
)

// fine reports whether the levels of the rung's step lie close together: one ramp of numbers, none twice the one before
// but perhaps the second.
func (r rung) fine() bool {
	if r.step == len(r.b.Steps) || len(r.b.Steps[r.step].Ramps) != 1 {
		return false
	}
	p := r.b.Steps[r.step].Ramps[0]
	for i, v := range p.Values {
		if v.Quantity.IsZero() {
			return false
		}
		if i < 2 {
			continue
		}
		small, large := v.Quantity.Float(), p.Values[i-1].Quantity.Float()
		if small, large = min(small, large), max(small, large); large >= 2*small {
			return false
		}
	}
	return len(p.Values) >= fineRamp
}

// steady is what a dog comes to that succeeds with a steady chance and otherwise is wrong.
type steady struct {
	worst  float64 // expected trials until a move, at the chance at which they are most
	chance float64
	holds  []float64 // the chances at which going on is as likely as going back
}

// ratesBudget is how many states are looked at for rates: they need more work than histories.
const ratesBudget = 20_000

// steady works the rung out; ok is false where success and miss alone do not say how it goes on, or misses alone lead
// nowhere.
func (j *judge) steady() (out steady, ok bool) {
	q := odds.Question{Budget: min(j.x.budget, ratesBudget), Functions: j.x.functions}
	for p := 5; p <= 95; p += 5 {
		q.Chances = append(q.Chances, float64(p)/100)
	}
	a, err := odds.Of(j.x.c, j.b.Name, j.name(), q)
	if err != nil || len(a.Steps) != 1 {
		return out, false
	}
	back := false
	for _, r := range a.Rows {
		back = back || r.FirstAdvance+r.Never+r.Unknown < 1-1e-9
		if r.Unknown > 0 {
			continue // how long that takes nobody can tell
		}
		if float64(r.Mean) > out.worst {
			out.worst, out.chance = float64(r.Mean), r.Chance
		}
	}
	out.holds = a.Steps[0].HoldsAt
	return out, back
}

// rates looks at what the moves of a rung come to at steady success rates.
func (j *judge) rates(o Options) error {
	advance, ease := j.first(curriculum.Advance), j.first(curriculum.Ease)
	dead := slices.ContainsFunc(j.found, func(v verdict) bool { return v.code == codeNever && v.rule >= 0 && moves(j.rule(v.rule)) })
	if advance < 0 || ease < 0 || dead {
		return nil
	}
	off := func(codes ...string) bool {
		return !slices.ContainsFunc(codes, func(c string) bool { return o.severityOf(c) != Off })
	}
	if !off(codeSwing) {
		sw, ok, err := j.swing()
		if err != nil {
			return err
		}
		if ok && sw.trials < shortSwing {
			j.add(verdict{code: codeSwing, rule: advance, other: ease, answer: Disproved, marks: sw.marks, because: sw.because,
				text: sw.text(), help: "ask for more before a move, at least one way"})
		}
	}
	if off(codeLongWait, codeBalance, codeHolding) {
		return nil
	}
	if off(codeHolding) && j.flagged() && !j.fine() {
		return nil // neither is asked of it
	}
	w, ok := j.steady()
	if ok && !off(codeLongWait) && !j.flagged() {
		j.longWait(w, ease)
	}
	if ok && !off(codeBalance) && j.fine() && len(w.holds) == 1 {
		if b := w.holds[0]; b < balanceLow || b > balanceHigh {
			j.add(verdict{code: codeBalance, rule: advance, other: ease, answer: Proved,
				text: fmt.Sprintf("on this ramp the rules hold a dog near %.0f%% right", 100*b),
				help: fmt.Sprintf("between %.0f%% and %.0f%% it stays busy and not lost: 5 of last 6 against 2 misses of last 4 holds it near 72%%", 100*balanceLow, 100*balanceHigh)})
		}
	}
	if !off(codeHolding) {
		return j.holding(w.holds, advance, ease)
	}
	return nil
}

// holding says what the two ways of a rung come to.
func (j *judge) holding(at []float64, advance, ease int) error {
	sw, ok, err := j.swing()
	if err != nil {
		return err
	}
	var texts []string
	if ok {
		texts = append(texts, sw.text())
	}
	for _, p := range at {
		texts = append(texts, fmt.Sprintf("one that is right %.1f%% of the time goes on as often as back", 100*p))
	}
	if texts != nil {
		j.add(verdict{code: codeHolding, rule: advance, other: ease, answer: Proved, marks: sw.marks, because: sw.because, text: strings.Join(texts, "; ")})
	}
	return nil
}

// first is the first rule of a word, or -1.
func (j *judge) first(w curriculum.RuleWord) int {
	return slices.IndexFunc(j.stay.Rules, func(r curriculum.Rule) bool { return r.Word == w })
}

// flagged reports whether a senior is asked to look after some number of trials or sessions at the latest.
func (j *judge) flagged() bool {
	return slices.ContainsFunc(j.stay.Rules, func(r curriculum.Rule) bool { return r.Word == curriculum.Flag && inTime(r.When) })
}

func inTime(c curriculum.Criterion) bool {
	switch c := c.(type) {
	case curriculum.Named:
		return inTime(c.Is)
	case curriculum.Or:
		return slices.ContainsFunc(c.Any, inTime)
	case curriculum.After, curriculum.Done:
		return true
	}
	return false
}

// longWait reports a success rate at which the dog is expected to stay for very long.
func (j *judge) longWait(w steady, at int) {
	if w.worst <= longWait {
		return
	}
	about := fmt.Sprintf("about %.0f trials", w.worst)
	if w.worst > 10*longWait {
		about = fmt.Sprintf("more than %d trials", 10*longWait)
	}
	j.add(verdict{code: codeLongWait, rule: at, other: j.first(curriculum.Advance), answer: Proved,
		text: fmt.Sprintf("a dog that is right %.0f%% of the time stays here for %s: neither good enough to go on nor bad enough to go back", 100*w.chance, about),
		help: "bring the two rules closer, or flag when after 40 trials"})
}

// swing is the shortest way up a level and back again.
type swing struct {
	trials  int
	marks   []string
	because string
	ways    [2]leg // up, and back
}

// leg is a history of a machine.
type leg struct {
	machine *automaton.Machine
	history []int
}

func (s swing) text() string {
	return plural(s.trials, "trial") + " take a dog up a level and back again"
}

// swing is the shortest of the rung; false where there is none.
func (j *judge) swing() (swing, bool, error) {
	stay, at := j.part(func(_ int, r *curriculum.Rule) bool { return moves(r) })
	ms, err := j.x.of(j.rung, stay, j.limit)
	if err != nil {
		return swing{}, false, err
	}
	var out swing
	for i, word := range []curriculum.RuleWord{curriculum.Advance, curriculum.Ease} {
		m, history, ok := ms.shortest(func(_ automaton.At, st automaton.Step) bool {
			return st.Takes >= 0 && j.rule(at[st.Takes]).Word == word
		})
		if !ok {
			return swing{}, false, nil
		}
		for _, li := range history {
			if m.Letters()[li].IsTrial() {
				out.trials++
			}
		}
		out.ways[i] = leg{m, history}
		out.marks = append(out.marks, m.Marks(history)...)
		out.because = cmp.Or(out.because, assumed(m, history))
	}
	return out, true, nil
}
