package plan

import (
	"fmt"
	"maps"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// oneStretch is how close turns must follow one another for the limits of a dog's profile to hold for all of them
// together; it is the gap that parts sessions in a log.
const oneStretch = 30 * time.Minute

// shared reports whether a profile's limits hold for the turns of a class together.
func (c *Class) shared() bool { return c.startOf(1).Sub(c.At) < oneStretch }

// usedUp is why a behaviour is not for a dog in a later turn.
const usedUp = "the earlier turns of the class have all that the profile allows"

// share leaves in a dog's profile what its earlier turns have left of it, in even parts for this turn and those to come:
// what a vet has set for a session is not meant for four of them within the hour.
func (c *Class) share(dog *curriculum.Dog, house *curriculum.Curriculum, d int, before foreseen) {
	if !c.shared() {
		return
	}
	left := c.Dogs[d].Turns - len(before)
	l := &dog.Limits
	trials, minutes := 0, 0.0
	for _, p := range before {
		trials, minutes = trials+p.Trials, minutes+p.Minutes
	}
	over := l.Trials > 0 && trials >= l.Trials || l.Minutes > 0 && l.Minutes-minutes < 0.1
	if l.Trials > 0 && !over {
		l.Trials = (l.Trials - trials + left - 1) / left
	}
	if l.Minutes > 0 && !over {
		l.Minutes = (l.Minutes - minutes) / float64(left)
	}
	l.Behaviours = maps.Clone(l.Behaviours)
	for name, b := range l.Behaviours {
		n := 0
		for _, p := range before {
			if x := house.Behaviour(name); x != nil {
				n += p.trials(x.Name)
			}
		}
		if b.Trials > 0 && !b.Never {
			if b.Trials -= n; b.Trials <= 0 {
				b.Trials, b.Never, b.Because = 0, true, usedUp
			}
			l.Behaviours[name] = b
		}
	}
	if over {
		l.Behaviours = map[string]curriculum.BehaviourLimits{}
		for _, b := range house.Behaviours {
			l.Behaviours[b.Name] = curriculum.BehaviourLimits{Never: true, Because: usedUp}
		}
	}
}

// apart is the groups that are kept apart, of the dogs that are here.
func (c *Class) apart() (groups [][]string) {
	for _, group := range c.Apart {
		var here []string
		for _, d := range group {
			if c.index(d) >= 0 {
				here = append(here, d)
			}
		}
		if len(here) > 1 {
			groups = append(groups, here)
		}
	}
	return groups
}

// strangeCautions is what was seen of the dogs and is no sign of the curriculum.
func (c *Class) strangeCautions(f *engine.Fold) (out []string) {
	for i := range c.Dogs {
		if v := f.Dog(c.Dogs[i].Dog, c.At); v != nil {
			for _, t := range strangeCautions(v.Strange) {
				out = append(out, c.Dogs[i].Dog+": "+t)
			}
		}
	}
	return out
}

// mind gathers what everybody at a station has to know of the dogs.
func (c *Class) mind(f *engine.Fold, day *ClassDay) {
	for i := range c.Dogs {
		d := &c.Dogs[i]
		v := f.Dog(d.Dog, c.At)
		if v == nil {
			continue
		}
		var text []string
		if kinds := v.Dog.Cues; len(kinds) > 0 {
			text = append(text, "cues it can sense: "+list(kinds))
		}
		if len(v.Dog.Avoid) > 0 {
			text = append(text, "must not have "+list(v.Dog.Avoid))
		}
		if most := v.Dog.Limits.LivelyUpTo; most > 0 {
			text = append(text, fmt.Sprintf("nothing lively above %d degrees", most))
		}
		if l := v.Dog.Limits; c.shared() && d.Turns > 1 && (l.Trials > 0 || l.Minutes > 0) {
			var most []string
			if l.Minutes > 0 {
				most = append(most, number(l.Minutes)+" min")
			}
			if l.Trials > 0 {
				most = append(most, plural(l.Trials, "trial", "trials"))
			}
			text = append(text, "at most "+list(most)+" in all its turns together")
		}
		if v.Dog.Notes != "" {
			text = append(text, v.Dog.Notes)
		}
		if len(text) > 0 {
			day.Minding = append(day.Minding, Minding{d.Dog, text})
		}
	}
}
