package engine

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// dogFact is a fact of a dog's profile as doors put it in words.
type dogFact struct {
	asked   string // behind the number that is asked for
	unknown string // what the profile lacks
	value   func(d *curriculum.Dog, day time.Time) (v float64, known bool)
}

var dogNumbers = map[string]dogFact{
	"age_months": {" months old", "its birth date is not known", func(d *curriculum.Dog, day time.Time) (float64, bool) {
		m, _, _, ok := d.AgeAt(day)
		return float64(m), ok
	}},
	"age_weeks": {" weeks old", "its birth date is not known", func(d *curriculum.Dog, day time.Time) (float64, bool) {
		_, w, _, ok := d.AgeAt(day)
		return float64(w), ok
	}},
	"age_days": {" days old", "its birth date is not known", func(d *curriculum.Dog, day time.Time) (float64, bool) {
		_, _, n, ok := d.AgeAt(day)
		return float64(n), ok
	}},
	"weight_kg": {" kg", "its weight is not known", func(d *curriculum.Dog, _ time.Time) (float64, bool) {
		return d.WeightKg, d.WeightKg > 0
	}},
	"adult_weight_kg": {" kg when grown", "its grown weight is not known", func(d *curriculum.Dog, _ time.Time) (float64, bool) {
		return d.AdultWeightKg, d.AdultWeightKg > 0
	}},
}

var (
	plainComparison = regexp.MustCompile(`^(?:dog\.)?(\w+)\s*(>=|>|<=|<|==)\s*([0-9.]+)$`)
	turnedRound     = regexp.MustCompile(`^([0-9.]+)\s*(>=|>|<=|<|==)\s*(?:dog\.)?(\w+)$`)
	plainNeutered   = regexp.MustCompile(`^(not\s+)?(?:dog\.)?neutered$`)
	conjunction     = regexp.MustCompile(`\s+and\s+|\s*&&\s*`)
)

var comparisonWords = map[string]string{">=": "at least ", ">": "more than ", "<=": "at most ", "<": "less than ", "==": "exactly "}
var turnedComparison = map[string]string{">=": "<=", ">": "<", "<=": ">=", "<": ">", "==": "=="}

// dogDoor is what a need on the dog lacks, in words: plain comparisons that are not met, each with the dog's own value;
// of anything else the text between the braces. Behind "needs" and "waits for".
func dogDoor(text string, d *curriculum.Dog, day time.Time) string {
	var lacks []string
	for _, part := range conjunction.Split(text, -1) {
		words, met, plain := dogPart(strings.TrimSpace(part), d, day)
		if !plain {
			lacks = nil
			break
		}
		if !met {
			lacks = append(lacks, words)
		}
	}
	if lacks == nil {
		if d == nil {
			return fmt.Sprintf(rawDoor+"%s (it has no profile)", text)
		}
		return rawDoor + text
	}
	said := dogToBe + strings.Join(lacks, " and ")
	if d == nil {
		said += " (it has no profile)"
	}
	return said
}

// How a door on the dog begins: put in words, and not.
const (
	dogToBe = "the dog to be "
	rawDoor = "the dog: "
)

// dogPart is one part of a need on the dog; plain where it can be put in words.
func dogPart(part string, d *curriculum.Dog, day time.Time) (words string, met, plain bool) {
	if m := plainNeutered.FindStringSubmatch(part); m != nil {
		words, wanted := "neutered", curriculum.Yes
		if m[1] != "" {
			words, wanted = "not neutered", curriculum.No
		}
		if d != nil && d.Neutered == curriculum.NotSaid {
			words += " (the profile does not say)"
		}
		return words, d != nil && d.Neutered == wanted, true
	}
	name, op, number := "", "", ""
	if m := plainComparison.FindStringSubmatch(part); m != nil {
		name, op, number = m[1], m[2], m[3]
	} else if m := turnedRound.FindStringSubmatch(part); m != nil {
		number, op, name = m[1], turnedComparison[m[2]], m[3]
	}
	fact, ok := dogNumbers[name]
	asked, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil {
		return "", false, false
	}
	unit := fact.asked
	if asked == 1 {
		unit = strings.Replace(unit, "s old", " old", 1)
	}
	words = comparisonWords[op] + number + unit
	if d == nil {
		return words, false, true
	}
	has, known := fact.value(d, day)
	if !known {
		return words + " (" + fact.unknown + ")", false, true
	}
	return words + " (now " + strconv.FormatFloat(has, 'f', -1, 64) + ")", compares(has, op, asked), true
}

func compares(has float64, op string, asked float64) bool {
	switch op {
	case ">=":
		return has >= asked
	case ">":
		return has > asked
	case "<=":
		return has <= asked
	case "<":
		return has < asked
	}
	return has == asked
}

// cardText is a rule's criterion for a person: what it asks of the dog's profile is put in words where it can be.
func cardText(c curriculum.Criterion) string {
	text := curriculum.CriterionText(c)
	for _, h := range asksOfProfile(c) {
		if words, ok := dogWords(h.Expr.Text); ok {
			text = strings.Replace(text, curriculum.CriterionText(h), words, 1)
		}
	}
	return text
}

// asksOfProfile is the expressions that are parts of a criterion, in order.
func asksOfProfile(c curriculum.Criterion) (all []curriculum.Holds) {
	switch c := c.(type) {
	case curriculum.Holds:
		return []curriculum.Holds{c}
	case curriculum.Named:
		return asksOfProfile(c.Is)
	case curriculum.Not:
		return asksOfProfile(c.Is)
	case curriculum.And:
		for _, p := range c.All {
			all = append(all, asksOfProfile(p)...)
		}
	case curriculum.Or:
		for _, p := range c.Any {
			all = append(all, asksOfProfile(p)...)
		}
	}
	return all
}

// dogWords is an expression over the profile as "the dog at least 12 months old".
func dogWords(text string) (string, bool) {
	var said []string
	for _, part := range conjunction.Split(text, -1) {
		words, _, plain := dogPart(strings.TrimSpace(part), nil, time.Time{})
		if !plain || !strings.Contains(part, "dog.") { // without it a measure may be meant
			return "", false
		}
		said = append(said, words)
	}
	return "the dog " + strings.Join(said, " and "), true
}
