package automaton

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/schedules"
)

// Stay is what a machine is made of: the rules of a level and what bears on them.
type Stay struct {
	Rules   []curriculum.Rule // advance, ease, split, stop and flag; or lapse alone. Skips are passed over.
	Decide  curriculum.Decide
	Step    string   // for conditions that ask for it
	Prompts []string // of the step
	Places  []string // where the step is trained; empty means anywhere
	Room    bool     // a split by halves finds room
	// Short is a value below the full one that a trial may be asked for, where values vary inside the level.
	Short curriculum.LevelRef
}

// Only is the stay with the rules of some words alone.
func (s *Stay) Only(words ...curriculum.RuleWord) *Stay {
	o := *s
	o.Rules = slices.DeleteFunc(slices.Clone(s.Rules), func(r curriculum.Rule) bool { return !slices.Contains(words, r.Word) })
	return &o
}

// Key is equal for stays with the same machine: their rules mean the same, in the same order.
func (s *Stay) Key() string {
	var b strings.Builder
	split := false
	for i := range s.Rules {
		r := &s.Rules[i]
		if r.Word != curriculum.Skip {
			fmt.Fprintf(&b, "%s %v %s\n", r.Word, len(r.Into) > 0, curriculum.CriterionText(r.When))
			split = split || r.Word == curriculum.Split
		}
	}
	fmt.Fprintf(&b, "decide %d %v, room %v", s.Decide.EveryTrials, s.Decide.EachSession, split && s.Room)
	// what groups and conditions alone can ask for; a word that happens to stand there parts two stays for nothing
	rules := b.String()
	asks := func(word string) bool { return strings.Contains(rules, "{") && strings.Contains(rules, word) }
	if strings.Contains(rules, "place") {
		fmt.Fprintf(&b, "\n%q", s.Places)
	}
	if asks("step") {
		fmt.Fprintf(&b, "\n%q", s.Step)
	}
	if asks(expression.FullValue) || strings.Contains(rules, "full value") {
		fmt.Fprintf(&b, "\n%q", s.Short)
	}
	if asks("early") {
		fmt.Fprintf(&b, "\n%q", s.Prompts)
	}
	return b.String()
}

// Build makes the machine of one level of a step; step may be the number of steps, for the time when the behaviour is
// kept. Levels count from 0 as written.
func Build(c *curriculum.Curriculum, behaviour string, step, level int, opts Options) (*Machine, error) {
	s, err := StayAt(c, behaviour, step, level)
	if err != nil {
		return nil, err
	}
	return Make(c, s, opts)
}

// StayAt is the stay at a level of a curriculum.
func StayAt(c *curriculum.Curriculum, behaviour string, step, level int) (*Stay, error) {
	var b *curriculum.Behaviour
	if c != nil {
		b = c.Behaviour(behaviour)
	}
	if b == nil {
		return nil, fmt.Errorf("behaviour %q: %w", behaviour, ErrNoSuch)
	}
	if step == len(b.Steps) && step > 0 {
		last := b.Steps[step-1]
		return &Stay{Rules: b.Lapse, Step: last.Name, Prompts: last.Prompts, Places: last.Places}, nil
	}
	if step < 0 || step > len(b.Steps) {
		return nil, fmt.Errorf("step %d of %s: %w", step, behaviour, ErrNoSuch)
	}
	s := b.Steps[step]
	levels := s.Levels
	if len(levels) == 0 {
		levels = curriculum.LayOut(s.Ramps, s.Raise)
	}
	if level < 0 || level >= len(levels) {
		return nil, fmt.Errorf("level %d of %s at %s: %w", level, behaviour, s.Name, ErrNoSuch)
	}
	out := &Stay{Rules: s.Rules, Decide: s.Decide, Step: s.Name, Prompts: s.Prompts, Places: s.Places}
	out.Short = short(s, levels[level])
	out.Room = level > 0 && room(levels[level-1], levels[level], s.Ramps)
	return out, nil
}

// short is a value of a ramp that varies inside the level and is below the level's own; nil where there is none.
func short(s *curriculum.Step, l curriculum.Level) curriculum.LevelRef {
	for i := range s.Ramps {
		r := &s.Ramps[i]
		full, ok := l.Get(r.Of)
		if !r.Varies() || !ok || full.Quantity.IsZero() {
			continue
		}
		var grain *big.Rat
		if !r.Grain.IsZero() {
			grain = r.Grain.Base()
		}
		most := r.Values[len(r.Values)-1].Quantity.Base()
		if most.Cmp(full.Quantity.Base()) < 0 {
			most = full.Quantity.Base()
		}
		v, err := schedules.Varied(full.Quantity.Base(), grain, most)
		if err != nil {
			continue
		}
		least := v.List()[0]
		if q, ok := curriculum.FromBase(least, full.Quantity.Unit); ok && least.Cmp(v.Full()) < 0 {
			return curriculum.LevelRef{{Of: r.Of, LevelValue: curriculum.LevelValue{Quantity: q}}}
		}
	}
	return nil
}

// room reports whether a level fits half-way between two: some numeric ramp differs by more than its grain.
func room(before, this curriculum.Level, ramps []curriculum.Ramp) bool {
	for _, r := range ramps {
		v, ok := before.Get(r.Of)
		w, also := this.Get(r.Of)
		if !ok || !also || v.Quantity.IsZero() || w.Quantity.IsZero() {
			continue
		}
		gap := w.Quantity.Base()
		gap.Sub(gap, v.Quantity.Base())
		if gap.Abs(gap).Cmp(r.Grain.Base()) > 0 {
			return true
		}
	}
	return false
}

// Of makes the machine of a criterion alone, as if it stood in an advance rule: it ends when the criterion holds.
func Of(when curriculum.Criterion, c *curriculum.Curriculum, opts Options) (*Machine, error) {
	return Make(c, &Stay{Rules: []curriculum.Rule{{Word: curriculum.Advance, When: when}}}, opts)
}

func moves(w curriculum.RuleWord) bool {
	return w == curriculum.Advance || w == curriculum.Ease || w == curriculum.Split
}

// hasShare reports whether a criterion has a whole-session share in it.
func hasShare(c curriculum.Criterion) bool {
	return curriculum.AnyPart(c, func(p curriculum.Criterion) bool { _, is := p.(curriculum.SessionShare); return is })
}
