package naive

import (
	"math/big"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// The few expressions that random cases use: comparisons of a fact with a number or a text, joined by `and`, `or` and
// `not` without brackets, `or` binding least. An expression that reads a fact nobody recorded does not hold.

// facts are what an expression may read.
type facts struct {
	line *line
	dog  *curriculum.Dog
	day  time.Time
}

func (k look) expression(e *curriculum.Expression, l *line) bool {
	return evaluate(e.Text, facts{line: l, dog: k.d.profile, day: l.t.At})
}

func evaluate(text string, f facts) bool {
	recorded := true
	any := false
	for _, part := range strings.Split(text, " or ") {
		all := true
		for _, p := range strings.Split(part, " and ") {
			if !f.comparison(strings.Fields(p), &recorded) {
				all = false
			}
		}
		any = any || all
	}
	return recorded && any
}

func (f facts) comparison(words []string, recorded *bool) bool {
	if words[0] == "not" {
		return !f.comparison(words[1:], recorded)
	}
	v, ok := f.fact(words[0])
	if !ok {
		*recorded = false
		return false
	}
	switch v := v.(type) {
	case bool:
		return v
	case string:
		same := v == strings.Trim(words[2], `"`)
		return same == (words[1] == "==")
	case *big.Rat:
		asked, _ := new(big.Rat).SetString(words[2])
		c := v.Cmp(asked)
		switch words[1] {
		case "<":
			return c < 0
		case "<=":
			return c <= 0
		case ">":
			return c > 0
		case ">=":
			return c >= 0
		case "!=":
			return c != 0
		}
		return c == 0
	}
	return false
}

// fact is what was recorded under a name.
func (f facts) fact(name string) (any, bool) {
	if own, ok := strings.CutPrefix(name, "dog."); ok {
		if f.dog == nil {
			return nil, false
		}
		switch own {
		case "age_months", "age_weeks", "age_days":
			m, w, d, ok := f.dog.AgeAt(f.day)
			n := map[string]int{"age_months": m, "age_weeks": w, "age_days": d}[own]
			return big.NewRat(int64(n), 1), ok
		case "weight_kg":
			return exactly(f.dog.WeightKg), f.dog.WeightKg > 0
		}
		return nil, false
	}
	t := f.line.t
	switch name {
	case "place":
		return t.Place, t.Place != ""
	case "handler":
		return t.Handler, t.Handler != ""
	case "early":
		return t.Early, true
	case "full_value":
		return !f.line.short(), true
	case "rewarded":
		return t.Rewarded == curriculum.Yes, t.Rewarded != curriculum.NotSaid
	}
	v, ok := t.Measure(strings.ReplaceAll(name, "_", "-"))
	return exactly(v), ok
}
