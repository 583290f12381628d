package plan

import (
	"fmt"
	"math"
	"math/big"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

// food is a declared food in whole units: thousandths of a kcal, tenths of a second, thousandths of a gram.
type food struct {
	name   string
	energy int
	stated bool // its energy is
	eat    int
	weight int
	extra  bool
}

// larder is the foods the dog may have.
type larder struct {
	usual  *food // what rewards are made of; nil where nothing is declared
	better *food // for new or difficult work, if extras are allowed
	none   Code  // not empty where no food can be used
	reason string
	notes  []string // on extras; printed where they matter
}

// usualEating is how long a piece is eaten where the food does not say, in tenths of a second: common practice, no
// source.
const usualEating = 20

// stock chooses the foods, and works out what extras the day still has room for.
func (b *builder) stock() {
	if len(b.c.Foods) == 0 {
		b.foods.usual = &food{eat: usualEating}
		b.note("The curriculum declares no food, so no energy can be counted. Take rewards out of the day's ration.")
		if b.limits.energy >= 0 {
			b.foods.none, b.foods.reason = NoFood, "no food is declared, so a limit in kcal cannot be kept"
		}
		return
	}
	var ration, extra []*food
	var avoided []string
	for i := range b.c.Foods {
		f := &b.c.Foods[i]
		if what := avoid(f, b.v.Dog.Avoid); what != "" {
			if what != f.Name {
				what = f.Name + " (" + what + ")"
			}
			avoided = append(avoided, what)
			continue
		}
		x := shelf(f)
		switch {
		case !x.stated && (x.extra || b.limits.energy >= 0):
			// energy that is not known cannot be held against a limit
		case x.extra:
			extra = append(extra, x)
		default:
			ration = append(ration, x)
		}
	}
	if len(avoided) > 0 {
		b.note("Not for %s: %s.", b.plan.Dog, list(avoided))
	}
	b.extras(extra)
	switch {
	case len(ration) > 0:
		b.foods.usual = ration[0]
		if len(extra) > 0 && b.limits.extras > 0 {
			b.foods.better = extra[0]
		}
	case len(extra) > 0 && b.limits.extras > 0:
		b.foods.usual = extra[0]
		b.note("No food of the ration can be used, so all rewards count as extras.")
	default:
		b.foods.none, b.foods.reason = NoFood, "no declared food is left that "+b.plan.Dog+" may have"
		if len(extra) > 0 {
			b.foods.reason = "only extras are left, and today has no room for them"
		} else if b.limits.energy >= 0 {
			b.foods.reason = "no food with a stated energy is left, so a limit in kcal cannot be kept"
		}
		b.note("No food: %s. Declare one in the curriculum, or ask the person who feeds the dog.", b.foods.reason)
	}
}

func shelf(f *curriculum.Food) *food {
	up := func(q curriculum.Quantity, per int64) int {
		r := new(big.Rat).Mul(q.Base(), big.NewRat(per, 1))
		return int(new(big.Int).Div(new(big.Int).Add(r.Num(), new(big.Int).Sub(r.Denom(), big.NewInt(1))), r.Denom()).Int64())
	}
	x := &food{name: f.Name, energy: up(f.Energy, 1000), stated: !f.Energy.IsZero(), eat: usualEating, weight: up(f.Weight, 1000), extra: f.Extra}
	if !f.EatenIn.IsZero() {
		x.eat = up(f.EatenIn, 10)
	}
	return x
}

// avoid is which of the things a dog must not have is in the food: its name, a part of its name, or what it contains.
func avoid(f *curriculum.Food, must []string) string {
	has := func(name, what string) bool {
		name, what = strings.ToLower(name), strings.ToLower(strings.TrimSpace(what))
		if what == "" {
			return false
		}
		word := func(r rune) bool { return r == '-' || r == ' ' || r == '_' }
		return name == what || strings.Contains("-"+strings.Join(strings.FieldsFunc(name, word), "-")+"-", "-"+strings.Join(strings.FieldsFunc(what, word), "-")+"-")
	}
	for _, what := range must {
		for _, name := range append([]string{f.Name}, f.Contains...) {
			if has(name, what) {
				return what
			}
		}
	}
	return ""
}

// extras bounds the energy of extras by the share of the day's energy, less what the day has seen already.
func (b *builder) extras(extra []*food) {
	if len(extra) == 0 {
		return
	}
	daily, from, err := schedules.Daily(b.facts())
	if err != nil {
		b.limits.extras, b.limits.from[limitExtras] = 0, fromProfile
		b.foods.notes = []string{b.plan.Dog + "'s weight is not known, so no extras are planned: rewards come out of the ration."}
		return
	}
	share, said := b.s.Extras, fromSession
	if share.IsZero() {
		share, said = extrasRule, fromDefault
	}
	today, dearest := -b.today.trials, 0
	for _, v := range b.v.Behaviours {
		today += v.TrialsToday
	}
	for _, f := range extra {
		dearest = max(dearest, f.energy)
	}
	fed := b.r.ExtrasFed
	if fed == 0 && !b.r.ExtrasKnown && today > 0 {
		fed = milli(today * dearest)
		b.foods.notes = append(b.foods.notes, fmt.Sprintf("Today's %s are taken to have earned an extra each, as what was fed is not on record.", plural(today, "trial", "trials")))
	}
	s, _ := share.Rat().Float64()
	day, _ := schedules.NewPurses(daily, s, max(fed+b.today.extras, 0)) // no purse, no extras
	b.limits.extras = int(math.Floor(day.Extras*1000 + 1e-6))
	b.limits.from[limitExtras] = said
	b.foods.notes = append(b.foods.notes, fmt.Sprintf("Extras: at most %s of about %.0f kcal a day (%s).", share, daily, from))
}
