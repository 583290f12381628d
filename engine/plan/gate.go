package plan

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// gate makes candidates of the behaviours that nothing bars, and leaves out the others with the first reason met.
func (b *builder) gate() {
	for i := range b.v.Behaviours {
		v := &b.v.Behaviours[i]
		c := &candidate{b: v.Behaviour, v: v, costs: map[*food]*costs{}}
		if b.bars(c) {
			continue
		}
		b.weigh(c)
		b.cands = append(b.cands, c)
	}
	b.relate()
}

// bars leaves the behaviour out if something bars it; otherwise it fills the candidate's step, level, sheet and cues,
// and its room for trials.
func (b *builder) bars(c *candidate) bool {
	v, name := c.v, c.name()
	own := b.ownLimits(c.b)
	switch {
	case v.Locked:
		b.leave(name, Locked, "%s", b.lockReason(name))
	case own.Never:
		because := own.Because
		if because == "" {
			because = "not for this dog"
		}
		b.leave(name, Profile, "%s's profile: %s", b.plan.Dog, because)
	case v.Stopped:
		b.leave(name, Stopped, "stopped for today")
	case v.State == curriculum.Waiting, v.State == curriculum.Paused:
		word := "waits for "
		if v.State == curriculum.Paused {
			word = "rests until this is met again: "
		}
		missing := strings.Join(v.MissingDoors, "; ")
		if missing == "" {
			missing = "what it needs"
		}
		b.leave(name, Waiting, "%s%s", word, missing)
	default:
		return b.stand(c, own) || b.tooWarm(c) || b.capped(c, own) || b.atHand(c) || b.sensed(c) || b.ahead(c)
	}
	return true
}

func (b *builder) lockReason(name string) string {
	for _, l := range b.v.Locked {
		if slices.Contains(l.Behaviours, name) {
			return "locked until a named person clears it: " + l.SignText() + ", seen " + day(l.At)
		}
	}
	return "locked until a named person clears the sign"
}

// ownLimits is what the profile says of the behaviour, under its name or a former one.
func (b *builder) ownLimits(x *curriculum.Behaviour) curriculum.BehaviourLimits {
	if l, ok := b.v.Dog.Limits.Behaviours[x.Name]; ok {
		return l
	}
	for _, f := range x.Formerly {
		if l, ok := b.v.Dog.Limits.Behaviours[f]; ok {
			return l
		}
	}
	return curriculum.BehaviourLimits{}
}

// stand finds the step and level the behaviour would be worked at.
func (b *builder) stand(c *candidate, own curriculum.BehaviourLimits) (barred bool) {
	at := min(max(c.v.Step, 0), len(c.b.Steps)-1)
	if at < 0 {
		b.leave(c.name(), Waiting, "has no steps")
		return true
	}
	c.step, c.level = c.b.Steps[at], c.v.At
	c.sheet = c.b.SheetOf(at)
	level, held, ok := holdAt(c.step, c.v, own.Level)
	if !ok {
		b.leave(c.name(), Profile, "%s's profile keeps it at %s, and this step has no such level", b.plan.Dog, own.Level)
		return true
	}
	c.level, c.held = level, held
	return false
}

// holdAt is the level to work at where a profile keeps a behaviour at or below a level: the present one if it is not
// above, else the hardest of the same step that comes before it and is not above.
func holdAt(s *curriculum.Step, v *engine.BehaviourView, limit curriculum.LevelRef) (at curriculum.Level, held, ok bool) {
	if !above(s, v.At, limit) {
		return v.At, false, true
	}
	present := slices.IndexFunc(s.Levels, func(l curriculum.Level) bool { return l.Equal(v.At) })
	if present < 0 {
		present = min(v.Level, len(s.Levels))
	}
	for i := present - 1; i >= 0; i-- {
		if !above(s, s.Levels[i], limit) {
			return s.Levels[i], true, true
		}
	}
	return curriculum.Level{}, true, false
}

// above reports whether a level goes beyond the limit in any ramp that the limit names and the step has. A value that
// cannot be compared counts as beyond.
func above(s *curriculum.Step, l curriculum.Level, limit curriculum.LevelRef) bool {
	for _, most := range limit {
		has, ok := l.Get(most.Of)
		i := slices.IndexFunc(s.Ramps, func(r curriculum.Ramp) bool { return r.Of == most.Of })
		if !ok || i < 0 || has.Equal(most.LevelValue) {
			continue
		}
		ramp := s.Ramps[i]
		place := func(v curriculum.LevelValue) int {
			return slices.IndexFunc(ramp.Values, func(x curriculum.LevelValue) bool { return x.Equal(v) })
		}
		switch a, m := has.Quantity, most.Quantity; {
		case !a.IsZero() && !m.IsZero() && a.Unit.Dimension() == m.Unit.Dimension():
			if cmp := a.Cmp(m); cmp > 0 && !ramp.Falling || cmp < 0 && ramp.Falling {
				return true
			}
		default:
			if x, y := place(has), place(most.LevelValue); x < 0 || y < 0 || x > y {
				return true
			}
		}
	}
	return false
}

// capped works out how many trials the caps leave, and bars the behaviour where they leave none.
func (b *builder) capped(c *candidate, own curriculum.BehaviourLimits) bool {
	c.most = 1 << 20
	bound := func(n int) { c.most = min(c.most, n) }
	if b.limits.each >= 0 {
		bound(b.limits.each)
	}
	if b.limits.trials >= 0 {
		bound(b.limits.trials)
	}
	if own.Trials > 0 {
		bound(own.Trials)
	}
	if l := b.limits.impact; l >= 0 && c.is(curriculum.Impact) {
		if l == 0 {
			b.leave(c.name(), CapReached, "%s", b.impactFull())
			return true
		}
		bound(l)
	}
	for _, k := range append(slices.Clone(c.b.Caps), c.step.Caps...) {
		used, span := 0, "a session"
		switch {
		case k.Of == curriculum.CapTrials && k.Per == curriculum.PerDay:
			used, span = c.v.TrialsToday, "today"
		case k.Of == curriculum.CapTrials && k.Per == curriculum.PerWeek:
			used, span = c.v.Trials7Days, "in seven days"
		case k.Of == curriculum.CapSessions && k.Per == curriculum.PerDay:
			used, span = c.v.SessionsToday, "today"
		case k.Of == curriculum.CapSessions && k.Per == curriculum.PerWeek:
			used, span = c.v.Sessions7Days, "in seven days"
		}
		if used >= k.N {
			what := plural(used, "trial", "trials")
			if k.Of == curriculum.CapSessions {
				what = plural(used, "session", "sessions")
			}
			b.leave(c.name(), CapReached, "%s %s already, %d is the most", what, span, k.N)
			return true
		}
		if k.Of == curriculum.CapTrials {
			bound(k.N - used)
		}
	}
	return false
}

// impactCaps is the session's caps on impact trials, and the profile's behind them.
func (b *builder) impactCaps() []curriculum.Cap {
	caps := slices.Clone(b.s.Impact)
	if n := b.v.Dog.Limits.ImpactADay; n > 0 {
		caps = append(caps, curriculum.Cap{N: n, Per: curriculum.PerDay})
	}
	return caps
}

// impactSince is the trials that behaviours counting as impact have had in the span of a cap, all together.
func (b *builder) impactSince(per curriculum.CapPer) (n int) {
	for i := range b.v.Behaviours {
		switch v := &b.v.Behaviours[i]; {
		case !slices.Contains(v.Behaviour.Kinds, curriculum.Impact):
		case per == curriculum.PerDay:
			n += v.TrialsToday
		case per == curriculum.PerWeek:
			n += v.Trials7Days
		}
	}
	return n
}

// impactFull says which cap on impact trials leaves the fewest, and how many there have been.
func (b *builder) impactFull() string {
	for i, k := range b.impactCaps() {
		used := b.impactSince(k.Per)
		if max(0, k.N-used) > b.limits.impact {
			continue
		}
		most := plural(k.N, "trial", "trials") + " that load the body"
		if i == len(b.s.Impact) {
			most = b.plan.Dog + "'s profile: " + most
		}
		switch k.Per {
		case curriculum.PerDay:
			return fmt.Sprintf("%s are the most a day, of all such work together; today has had %d", most, used)
		case curriculum.PerWeek:
			return fmt.Sprintf("%s are the most a week, of all such work together; seven days have had %d", most, used)
		default:
			return most + " are the most a session, of all such work together"
		}
	}
	return ""
}

// atHand bars what cannot be trained at this place or with this equipment.
func (b *builder) atHand(c *candidate) bool {
	if len(c.step.Places) > 0 && !slices.Contains(c.step.Places, b.r.Place) {
		if b.r.Place == "" {
			b.leave(c.name(), WrongPlace, "is trained in %s at this step, and the place is not given", orList(c.step.Places))
		} else {
			b.leave(c.name(), WrongPlace, "is trained in %s at this step, not in %s", orList(c.step.Places), b.r.Place)
		}
		return true
	}
	if b.r.Equipment == nil {
		return false
	}
	var missing []string
	for _, e := range c.sheet.Equipment {
		if !slices.Contains(b.r.Equipment, e) {
			missing = append(missing, e)
		}
	}
	if len(missing) > 0 {
		b.leave(c.name(), NoEquipment, "needs %s, not at hand", list(missing))
	}
	return len(missing) > 0
}

// sensed keeps the cues that the dog can sense; a dog whose profile lists kinds of cue gets no behaviour of which it
// senses none. One that has no cue at all, and no word to prompt it, is for every dog.
func (b *builder) sensed(c *candidate) bool {
	kinds := b.v.Dog.Cues
	c.cues = []Cue{}
	for _, q := range c.sheet.Cues {
		if len(kinds) == 0 || slices.Contains(kinds, q.Kind) {
			c.cues = append(c.cues, Cue{q.Kind, q.Text})
		}
	}
	cueless := len(c.sheet.Cues) == 0 && !slices.Contains(c.step.Prompts, curriculum.WordCue)
	if len(kinds) > 0 && len(c.cues) == 0 && !cueless {
		b.leave(c.name(), NoCue, "has no cue that %s can sense (%s)", b.plan.Dog, orList(kinds))
		return true
	}
	return false
}

// ahead bars a behaviour that is further ahead of its partner than their pair allows. What is kept runs nowhere, and
// nobody waits for what is kept or not for this dog.
func (b *builder) ahead(c *candidate) bool {
	if c.v.State == curriculum.Kept {
		return false
	}
	for _, o := range b.v.Behaviours {
		within, ok := c.b.PairedWith(o.Behaviour)
		if ok && c.v.Step-o.Step > within && o.State != curriculum.Kept && !b.ownLimits(o.Behaviour).Never {
			b.leave(c.name(), PairAhead, "%s must catch up first: %s between the two, %d is the most",
				o.Behaviour.Name, plural(c.v.Step-o.Step, "step", "steps"), within)
			return true
		}
	}
	return false
}

// apart reports whether two behaviours may not be in one session yet.
func apart(a, b *engine.BehaviourView) (until string, yes bool) {
	for _, x := range [2][2]*engine.BehaviourView{{a, b}, {b, a}} {
		for _, n := range x[0].Behaviour.NeverWith {
			if n.Other == x[1].Behaviour.Name && !(there(a, n.Until) && there(b, n.Until)) {
				return n.Until, true
			}
		}
	}
	return "", false
}

// there reports whether a behaviour has begun and stands at its step of that name or later.
func there(v *engine.BehaviourView, step string) bool {
	switch v.State {
	case curriculum.Kept:
		return true
	case curriculum.Open, curriculum.Waiting:
		return false
	}
	i := v.Behaviour.Step(step)
	return i >= 0 && v.Step >= i
}

// relate notes which candidates are pairs and which must stay apart.
func (b *builder) relate() {
	for i, c := range b.cands {
		for j, o := range b.cands {
			if i == j {
				continue
			}
			if _, pair := c.b.PairedWith(o.b); pair {
				c.partners = append(c.partners, j)
			}
			if _, yes := apart(c.v, o.v); yes {
				c.apart = append(c.apart, j)
			}
		}
	}
}
