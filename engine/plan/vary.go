package plan

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// vary is the level that each of the next n trials of a candidate asks for, where a ramp of its step varies inside its
// levels; nil where none does. The list goes on where the trials at this level have left it.
func (b *builder) vary(c *candidate, n int) []curriculum.Level {
	var out []curriculum.Level
	for _, r := range c.step.Ramps {
		at := slices.IndexFunc(c.level.Values, func(v curriculum.NamedValue) bool { return v.Of == r.Of })
		v := engine.VariedValues(&r, c.level)
		if v == nil || at < 0 {
			continue
		}
		if out == nil {
			out = make([]curriculum.Level, n)
			for i := range out {
				out[i] = curriculum.Level{Values: slices.Clone(c.level.Values)}
			}
		}
		unit := unitOf(&r, c.level.Values[at].Quantity)
		for i, x := range v.Draw(b.evidence(c), n, b.seed(c)) {
			out[i].Values[at].Quantity = spelt(x, unit)
		}
	}
	return out
}

// evidence is how many trials were evidence at a candidate's level since it was entered.
func (b *builder) evidence(c *candidate) int {
	for _, s := range b.v.Standing.Behaviours {
		if s.Behaviour == c.name() {
			return s.Trials
		}
	}
	return 0
}

// Asked is the values that an item asks for, trial by trial, of one ramp that varies inside the level.
type Asked struct {
	Of     string   `json:"of"`
	Values []string `json:"values"` // one for each trial, in order
	Full   string   `json:"full"`   // the level's own
	Set    []string `json:"set"`    // what is drawn from, easiest first; each whole round of them has this mean
	Mean   string   `json:"mean"`
}

// asked is what the sheet prints of the values that vary.
func (b *builder) asked(c *candidate, levels []curriculum.Level) []Asked {
	var out []Asked
	for _, r := range c.step.Ramps {
		v := engine.VariedValues(&r, c.level)
		full, ok := c.level.Get(r.Of)
		if v == nil || !ok {
			continue
		}
		a := Asked{Of: r.Of, Full: full.String(), Mean: about(v.Mean(), unitOf(&r, full.Quantity))}
		for _, l := range levels {
			x, _ := l.Get(r.Of)
			a.Values = append(a.Values, x.String())
		}
		for _, x := range v.List() {
			a.Set = append(a.Set, spelt(x, unitOf(&r, full.Quantity)).String())
		}
		out = append(out, a)
	}
	return out
}

// unitOf is the unit in which a ramp's values are written when they vary: the grain's, or seconds for long times, since
// a third of a minute is no number to read at arm's length.
func unitOf(r *curriculum.Ramp, full curriculum.Quantity) curriculum.Unit {
	switch {
	case !r.Grain.IsZero():
		return r.Grain.Unit
	case full.Unit.Dimension() == curriculum.Time:
		return curriculum.Second
	}
	return full.Unit
}

// spelt is a value in base units, in the unit given.
func spelt(x *big.Rat, unit curriculum.Unit) curriculum.Quantity {
	q, _ := curriculum.FromBase(x, unit)
	return q
}

// about is a value in base units with at most one decimal, in the unit given.
func about(x *big.Rat, unit curriculum.Unit) string {
	f, _ := new(big.Rat).Quo(x, curriculum.Q(1, unit).Base()).Float64()
	return strings.TrimSpace(strings.TrimSuffix(fmt.Sprintf("%.1f", f), ".0") + " " + string(unit))
}

// askWords is the values in order, and what they are drawn from.
func (it *Item) askWords() string {
	var parts []string
	for _, a := range it.Asked {
		parts = append(parts, fmt.Sprintf("%s %s, in this order (from %s; mean %s)", a.Of, strings.Join(a.Values, ", "), strings.Join(a.Set, ", "), a.Mean))
	}
	return strings.Join(parts, "; ")
}

// ownerAsk is the values in order; what they are of is said where there are several.
func (it *Item) ownerAsk() string {
	var parts []string
	for _, a := range it.Asked {
		text := strings.Join(a.Values, ", ")
		if len(it.Asked) > 1 {
			text = a.Of + " " + text
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}
