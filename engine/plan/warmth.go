package plan

import (
	"fmt"
	"math"
	"slices"

	"example.com/rung/curriculum"
)

// warmFrom is the degrees Celsius from which a sheet warns of heat: common practice, no source. Most dogs that fell ill
// from heat in a British study did so on ordinary days (Hall and others 2022, Veterinary Sciences 9:231, read as an
// abstract), so a dog's own limit, where it is lower, warns earlier.
const warmFrom = 20

const cautionWarm = "%s degrees: " + wordsHeat

// wordsHeat is what there is to say of heat, however warm it is.
const wordsHeat = "heat can kill at ordinary temperatures, flat-faced, heavy, old or unwell dogs first. Shade, water, short. At heavy panting, slowing down or a wobble: stop, cool the dog with water, then see a veterinarian."

// checkCelsius refuses what is no temperature that anybody works a dog in; nil is none said.
func checkCelsius(v *float64) error {
	if v != nil && !(*v >= -60 && *v <= 60) {
		return &RequestError{Field: "celsius", Value: fmt.Sprint(*v)}
	}
	return nil
}

// livelyUpTo is the degrees above which nothing lively is planned, and whose limit that is; 0 where nobody has set one.
func (b *builder) livelyUpTo() (most int, from string) {
	most, from = b.s.LivelyUpTo, "the session rules say"
	if own := b.v.Dog.Limits.LivelyUpTo; own > 0 && (most == 0 || own < most) {
		most, from = own, b.plan.Dog+"'s profile says"
	}
	return most, from
}

// tooWarm bars lively work where it is too warm for it.
func (b *builder) tooWarm(c *candidate) bool {
	most, from := b.livelyUpTo()
	if most == 0 || b.r.Celsius == nil || *b.r.Celsius <= float64(most) || !c.is(curriculum.Lively) {
		return false
	}
	b.leave(c.name(), TooWarm, "too warm for lively work: it is %s degrees, and %s nothing lively above %d", number(*b.r.Celsius), from, most)
	return true
}

// warmCaution is the word on heat that heads the sheet of a warm day.
func (b *builder) warmCaution() string {
	from := warmFrom
	if most, _ := b.livelyUpTo(); most > 0 {
		from = min(from, most)
	}
	if b.r.Celsius == nil || *b.r.Celsius < float64(from) {
		return ""
	}
	return warmToday(*b.r.Celsius)
}

func warmToday(celsius float64) string { return fmt.Sprintf(cautionWarm, "It is "+number(celsius)) }

// warmCautions is the word on heat for the warmest of the days whose sheet has one.
func (d *Days) warmCautions() []string {
	var warmest *Plan
	for _, s := range d.Sessions {
		if s.Celsius != nil && slices.Contains(s.Cautions, warmToday(*s.Celsius)) && (warmest == nil || *s.Celsius > *warmest.Celsius) {
			warmest = s
		}
	}
	if warmest == nil {
		return nil
	}
	return []string{fmt.Sprintf(cautionWarm, warmest.At.Format("Monday 2 January")+", "+number(*warmest.Celsius))}
}

// warmCautions is the word on heat for the warmest station.
func (c *Class) warmCautions() []string {
	most := math.Inf(-1)
	for _, s := range c.Stations {
		if s.Celsius != nil {
			most = max(most, *s.Celsius)
		}
	}
	if most < warmFrom {
		return nil
	}
	return []string{warmToday(most)}
}

// noteWarmth says up to which warmth the lively work of a session may be done, where nobody said how warm it is.
func (b *builder) noteWarmth(s *choice) {
	most, from := b.livelyUpTo()
	if most == 0 || b.r.Celsius != nil {
		return
	}
	var lively []string
	for i, c := range b.cands {
		if s.n[i] > 0 && c.is(curriculum.Lively) {
			lively = append(lively, c.name())
		}
	}
	if len(lively) > 0 {
		b.note("How warm it is was not said, and %s nothing lively above %d degrees: where it is warmer, leave out %s.", from, most, list(lively))
	}
}
