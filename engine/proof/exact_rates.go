package proof

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
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

// walk is a dog that succeeds with a steady chance, and otherwise is wrong: how it goes through a machine trial by trial.
type walk struct {
	m          *automaton.Machine
	good, bad  int // letters
	ends       int // letter at the end of a session, or -1
	perSession int
}

// newWalk is a walk through the moves of a stay; ok is false where success and miss alone do not say how it goes on.
func (j *judge) newWalk() (w *walk, ok bool) {
	stay, at := j.part(func(_ int, r *curriculum.Rule) bool { return moves(r) })
	if len(at) == 0 {
		return nil, false
	}
	o := automaton.Options{Budget: j.x.budget, Without: []automaton.Kind{automaton.Silent, automaton.Helped, automaton.Early, automaton.OptOut}}
	m, err := automaton.Make(j.x.c, stay, o)
	if err != nil || !m.Complete() || len(m.Opaque())+len(m.Assumptions()) > 0 {
		return nil, false
	}
	w = &walk{m: m, good: -1, bad: -1, ends: -1, perSession: least(j.limit, 10)}
	for li, l := range m.Letters() {
		switch {
		case l.Edge == automaton.NextDay, l.Edge == automaton.SessionEnd && w.ends < 0:
			w.ends = li
		case !l.IsTrial():
		case l.Miss():
			if w.bad >= 0 {
				return nil, false
			}
			w.bad = li
		default:
			if w.good >= 0 {
				return nil, false
			}
			w.good = li
		}
	}
	return w, w.good >= 0 && w.bad >= 0
}

// run walks until the stay has almost surely ended, or so many trials have been made: the expected number of trials, and
// the chances that it ended by each rule.
func (w *walk) run(p float64, trials int) (mean float64, by []float64) {
	by = make([]float64, len(w.m.Rules()))
	now, next := make([]float64, w.m.Len()), make([]float64, w.m.Len())
	now[w.m.Start()] = 1
	step := func(letter int, chance float64) {
		for s, here := range now {
			if here == 0 {
				continue
			}
			st := w.m.Next(automaton.State(s), letter)
			if st.To == automaton.Ended {
				by[st.Takes] += here * chance
				continue
			}
			next[st.To] += here * chance
		}
	}
	turn := func() {
		now, next = next, now
		clear(next)
	}
	for t := 1; t <= trials; t++ {
		alive := 0.0
		for _, here := range now {
			alive += here
		}
		if alive < 1e-12 {
			break
		}
		mean += alive
		step(w.good, p)
		step(w.bad, 1-p)
		turn()
		if w.ends >= 0 && t%w.perSession == 0 {
			step(w.ends, 1)
			turn()
		}
	}
	return mean, by
}

// eases reports whether misses alone can take the dog back.
func (w *walk) eases() bool {
	for _, st := range w.m.Steps() {
		if st.Takes >= 0 && w.m.Rules()[st.Takes].Word == curriculum.Ease {
			return true
		}
	}
	return false
}

// forward is the chance that the stay ends by an advance rather than an ease or split.
func (w *walk) forward(p float64) float64 {
	_, by := w.run(p, 20_000)
	up, all := 0.0, 0.0
	for i, r := range w.m.Rules() {
		all += by[i]
		if r.Word == curriculum.Advance {
			up += by[i]
		}
	}
	return up / all
}

// balance is the success rate at which a dog is as likely to go on as to go back.
func (w *walk) balance() float64 {
	low, high := 0.001, 0.999
	for range 30 {
		mid := (low + high) / 2
		if w.forward(mid) < 0.5 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
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
	w, ok := j.newWalk()
	if ok && !off(codeLongWait) && !j.flagged() && w.eases() {
		j.longWait(w, ease)
	}
	if ok && !off(codeBalance) && j.fine() {
		if b := w.balance(); b < balanceLow || b > balanceHigh {
			j.add(verdict{code: codeBalance, rule: advance, other: ease, answer: Proved,
				text: fmt.Sprintf("on this ramp the rules hold a dog near %.0f%% right", 100*b),
				help: fmt.Sprintf("between %.0f%% and %.0f%% it stays busy and not lost: 5 of last 6 against 2 misses of last 4 holds it near 72%%", 100*balanceLow, 100*balanceHigh)})
		}
	}
	if !off(codeHolding) {
		return j.holding(w, ok, advance, ease)
	}
	return nil
}

// holding says what the two ways of a rung come to.
func (j *judge) holding(w *walk, known bool, advance, ease int) error {
	sw, ok, err := j.swing()
	if err != nil {
		return err
	}
	var texts []string
	if ok {
		texts = append(texts, sw.text())
	}
	if known {
		texts = append(texts, fmt.Sprintf("one that is right %.1f%% of the time goes on as often as back", 100*w.balance()))
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
func (j *judge) longWait(w *walk, at int) {
	worst, rate := 0.0, 0
	for p := 5; p <= 95; p += 5 {
		if mean, _ := w.run(float64(p)/100, 2*longWait); mean > worst {
			worst, rate = mean, p
		}
	}
	if worst <= longWait {
		return
	}
	about := fmt.Sprintf("about %.0f", worst)
	if worst > 1.5*longWait {
		about = fmt.Sprintf("more than %d", int(math.Floor(worst/50)*50))
	}
	j.add(verdict{code: codeLongWait, rule: at, other: j.first(curriculum.Advance), answer: Proved,
		text: fmt.Sprintf("a dog that is right %d%% of the time stays here for %s trials: neither good enough to go on nor bad enough to go back", rate, about),
		help: "bring the two rules closer, or flag when after 40 trials"})
}

// swing is the shortest way up a level and back again.
type swing struct {
	trials  int
	marks   []string
	because string
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
	for _, word := range []curriculum.RuleWord{curriculum.Advance, curriculum.Ease} {
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
		out.marks = append(out.marks, m.Marks(history)...)
		out.because = cmp.Or(out.because, assumed(m, history))
	}
	return out, true, nil
}
