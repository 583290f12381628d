package odds

import (
	"fmt"
	"maps"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// Dog is what is taken for granted about the trials: each is as the one before, whatever came of it. No real dog is so;
// it is the yardstick that rules are held against.
type Dog struct {
	// Chance is the share of successes among evidence: trials with an unaided chance.
	Chance float64
	// Helped and Silent are shares of the misses; the others are wrong.
	Helped, Silent float64
	// Early and OptOut are shares of all trials: helped before any chance, and left.
	Early, OptOut float64
	// Short is the share of trials that fall short in all that a rule measures beside the outcome (seconds, metres,
	// degrees ...); the others carry the best value there is.
	Short float64
}

// kindChances is the chance of each kind of trial.
func (d Dog) kindChances() ([]float64, error) {
	for _, s := range []struct {
		name  string
		share float64
	}{{"chance of success", d.Chance}, {"share of helped misses", d.Helped}, {"share of silent misses", d.Silent}, {"share of early help", d.Early},
		{"share of opt-outs", d.OptOut}, {"share of helped and silent misses", d.Helped + d.Silent}, {"share of early help and opt-outs", d.Early + d.OptOut}, {"share that falls short", d.Short}} {
		if !(s.share >= 0 && s.share <= 1+1e-12) {
			return nil, fmt.Errorf("odds: the %s is %g, which is not between 0%% and 100%%", s.name, s.share)
		}
	}
	out := make([]float64, len(automaton.Kinds))
	evidence := max(0, 1-d.Early-d.OptOut)
	miss := evidence * (1 - d.Chance)
	for i, k := range automaton.Kinds {
		switch k {
		case automaton.Success:
			out[i] = evidence * d.Chance
		case automaton.Helped:
			out[i] = miss * d.Helped
		case automaton.Silent:
			out[i] = miss * d.Silent
		case automaton.Wrong:
			out[i] = miss * max(0, 1-d.Helped-d.Silent)
		case automaton.Early:
			out[i] = d.Early
		case automaton.OptOut:
			out[i] = d.OptOut
		}
	}
	return out, nil
}

// Sessions is how the trials are put into sessions. Each session is on a day of its own.
type Sessions struct {
	Trials int // of the behaviour in a session; 0 takes all trials for one session
	// Places and Handlers take turns session by session, from the first on. Where there are none, none is recorded.
	Places, Handlers []string
}

// rounds is after how many sessions places and handlers are as in the first again.
func (s Sessions) rounds() int {
	p, h := max(1, len(s.Places)), max(1, len(s.Handlers))
	a, b := p, h
	for b > 0 {
		a, b = b, a%b
	}
	return p / a * h
}

// at is who and where in a session.
func (s Sessions) at(round int) (place, handler string) {
	if len(s.Places) > 0 {
		place = s.Places[round%len(s.Places)]
	}
	if len(s.Handlers) > 0 {
		handler = s.Handlers[round%len(s.Handlers)]
	}
	return place, handler
}

// sort of trial: kind k, short or not, is 2k or 2k+1.
const sorts = 2

// chances is the chance of each sort of trial.
func (d Dog) chances() ([]float64, error) {
	kinds, err := d.kindChances()
	if err != nil {
		return nil, err
	}
	var out []float64
	for _, c := range kinds {
		out = append(out, c*(1-d.Short), c*d.Short)
	}
	return out, nil
}

// dealer finds the letter of a machine that a trial bears.
type dealer struct {
	m           *automaton.Machine
	best, worst []curriculum.MeasureValue // of the measures that the rules ask for
	all         uint64                    // every condition that nobody can work out
}

func newDealer(m *automaton.Machine, measures []curriculum.Measure) *dealer {
	d := &dealer{m: m, all: 1<<len(m.Opaque()) - 1}
	small := func(m string) bool {
		return m == "latency" || slices.ContainsFunc(measures, func(k curriculum.Measure) bool { return k.Name == m && k.SmallerIsBetter })
	}
	least, most := map[string]float64{}, map[string]float64{}
	for _, l := range m.Letters() {
		for i := range l.Cases {
			for _, v := range l.Cases[i].Measures {
				lo, seen := least[v.Name]
				if !seen || v.Value < lo {
					least[v.Name] = v.Value
				}
				if !seen || v.Value > most[v.Name] {
					most[v.Name] = v.Value
				}
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(least)) {
		lo, hi := curriculum.MeasureValue{Name: name, Value: least[name]}, curriculum.MeasureValue{Name: name, Value: most[name]}
		if small(name) {
			lo, hi = hi, lo
		}
		d.worst, d.best = append(d.worst, lo), append(d.best, hi)
	}
	return d
}

// letter is the letter of a trial of a kind at a place with a handler.
func (d *dealer) letter(k automaton.Kind, short bool, place, handler string) (int, error) {
	c := automaton.Case{Kind: k, Place: place, Handler: handler, Measures: d.best, Assumed: d.all}
	if short {
		c.Measures = d.worst
	}
	l, ok := d.m.LetterOf(&c)
	if !ok {
		return 0, fmt.Errorf("odds: the rules cannot take a trial in %q with %q", place, handler)
	}
	return l, nil
}
