package main

import (
	"math"
	"math/rand/v2"

	"example.com/rung/curriculum"
)

// learner is a dog as the simulation sees it: a chance of success for every behaviour, which practice raises, nights
// lower a little and harder levels lower at once. It is made up for the demo and fitted to no dog.
type learner struct {
	start  float64            // chance in a new behaviour
	gain   float64            // share of what is still missing that one success adds
	keep   float64            // share of the day's gain left the next morning
	quick  float64            // usual latency in seconds
	silent float64            // share of failed trials without any answer
	helped float64            // share of failed trials that end with late help
	leaves float64            // chance to leave, in care work, for each trial that goes badly
	harder map[string]float64 // what a place or a handler takes off the chance

	skill map[string]float64 // chance by behaviour, now
}

func (l *learner) chance(b *curriculum.Behaviour, s *curriculum.Step, place, handler string) float64 {
	if cannotFail(s) {
		return 0.95
	}
	return clamp(l.of(b) - l.harder[place] - l.harder[handler])
}

func (l *learner) of(b *curriculum.Behaviour) float64 {
	if p, ok := l.skill[b.Name]; ok {
		return p
	}
	return l.start
}

func (l *learner) practise(b *curriculum.Behaviour, success bool) {
	p := l.of(b)
	if success {
		p += l.gain * (0.98 - p)
	} else {
		p -= 0.01
	}
	l.skill[b.Name] = clamp(p)
}

// moved lowers the chance where the dog meets a harder level and gives some back where it was eased.
func (l *learner) moved(b *curriculum.Behaviour, newStep, up bool) {
	d := -0.03
	if newStep {
		d = -0.08
	}
	if !up {
		d = 0.06
	}
	l.skill[b.Name] = clamp(l.of(b) + d)
}

func (l *learner) night(order []*curriculum.Behaviour) {
	for _, b := range order {
		if p, ok := l.skill[b.Name]; ok && p > l.start {
			l.skill[b.Name] = l.start + (p-l.start)*l.keep
		}
	}
}

// outcome draws how one trial goes.
func (l *learner) outcome(r *rand.Rand, b *curriculum.Behaviour, s *curriculum.Step, place, handler string) (curriculum.Outcome, curriculum.Timing) {
	u, v, w := r.Float64(), r.Float64(), r.Float64() // always three draws, so that one answer does not shift the rest
	switch {
	case w < 0.012:
		return curriculum.Void, curriculum.NoHelp
	case w > 0.985 && len(s.Help) > 0:
		return curriculum.Success, curriculum.EarlyHelp
	case u < l.chance(b, s, place, handler):
		return curriculum.Success, curriculum.NoHelp
	case isCare(b) && v < l.leaves:
		return curriculum.OptOut, curriculum.NoHelp
	case len(s.Help) > 0 && v > 1-l.helped:
		return curriculum.Success, curriculum.LateHelp
	case v < l.leaves+l.silent:
		return curriculum.Silent, curriculum.NoHelp
	}
	return curriculum.Wrong, curriculum.NoHelp
}

// latency is drawn around the dog's usual one; a dog that is not sure yet is slower.
func (l *learner) latency(r *rand.Rand, p float64) float64 {
	return tenth(l.quick * (1.5 - 0.5*p) * math.Exp(0.25*r.NormFloat64()))
}

// cannotFail says whether the step only counts goes, so that the dog has no chance to get it wrong.
func cannotFail(s *curriculum.Step) bool {
	for _, r := range s.Rules {
		if _, ok := r.When.(curriculum.Done); ok && r.Word == curriculum.Advance {
			return true
		}
	}
	return false
}

func isCare(b *curriculum.Behaviour) bool {
	for _, k := range b.Kinds {
		if k == curriculum.Care {
			return true
		}
	}
	return false
}

func clamp(p float64) float64 { return math.Max(0.05, math.Min(0.97, p)) }

func tenth(x float64) float64 { return math.Round(x*10) / 10 }
