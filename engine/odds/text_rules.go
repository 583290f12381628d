package odds

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// ruleByRule says which rule comes first, where several of one word stand together or some move nothing.
func (a *Answer) ruleByRule(b *strings.Builder) {
	words := map[string]int{}
	several, notes := false, false
	for _, r := range a.Rows[0].Rules {
		words[r.Rule]++
		several = several || words[r.Rule] > 1
		notes = notes || !moves(r.Rule)
	}
	if !several && !notes {
		return
	}
	var at []string
	for _, r := range a.Rows {
		at = append(at, percent(r.Chance))
	}
	fill(b, fmt.Sprintf("Rule by rule, by trial %d, right %s:", a.Rows[0].By, strings.Join(at, ", ")), "", "  ")
	each := func(text, lead string, i int, of func(*Rule) float64) {
		var shares []string
		for _, r := range a.Rows {
			rule := &r.Rules[i]
			if rule.Unknown > 0 {
				shares = append(shares, "not known")
				continue
			}
			shares = append(shares, fine(of(rule)))
		}
		if one := slices.Compact(slices.Clone(shares)); len(one) == 1 && len(shares) > 1 {
			shares = []string{one[0] + " at each"}
		}
		fill(b, text+": "+strings.Join(shares, ", "), lead, lead+"  ")
	}
	for i, rule := range a.Rows[0].Rules {
		word := rule.Rule
		if word == string(curriculum.StopToday) {
			word += " today"
		}
		each(word+" when "+rule.Criterion, "  ", i, func(r *Rule) float64 { return r.By })
		if rule.InSession != nil {
			each(fmt.Sprintf("in the first session of %d", rule.Session), "    ", i, func(r *Rule) float64 { return *r.InSession })
		}
	}
	for _, rule := range a.Rows[0].Rules {
		for _, n := range rule.Notes {
			if !slices.Contains(a.Steps[0].Notes, n) {
				fill(b, fmt.Sprintf("%s when %s: %s.", rule.Rule, rule.Criterion, n), "", "  ")
			}
		}
	}
	if notes {
		fill(b, notedMeans(words), "", "  ")
	}
	b.WriteString("\n")
}

func moves(word string) bool {
	return word == string(curriculum.Advance) || word == string(curriculum.Ease) || word == string(curriculum.Split)
}

// notedMeans says what the chances of rules that move nothing are.
func notedMeans(words map[string]int) string {
	var named, parts []string
	for _, word := range []curriculum.RuleWord{curriculum.StopToday, curriculum.Flag} {
		if words[string(word)] > 0 {
			named = append(named, string(word))
		}
	}
	if len(named) > 0 {
		text := "A " + strings.Join(named, " or ") + " counts where it is noted before the dog has moved"
		if words[string(curriculum.StopToday)] > 0 {
			text += "; sessions are taken to go on behind a stop"
		}
		parts = append(parts, text+".")
	}
	if words[string(curriculum.Skip)] > 0 {
		parts = append(parts, "A skip is that of a dog all of whose trials name this step.")
	}
	return strings.Join(parts, " ")
}
