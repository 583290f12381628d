package engine

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// ownerRun is a run of trials in an owner's words: what must happen and how often, with what beside it, and whether in
// other sessions, on other days or elsewhere.
func ownerRun(run []NextTrial) string {
	if len(run) == 0 {
		return "nothing more"
	}
	parts := runParts(run)
	switch {
	case len(parts) == 1:
		return ownerTries(run) + ownerFacts(run)
	case !alike(run, parts):
		return ownerTries(run) + ownerFacts(run) + spread(run)
	}
	text := strings.Replace(ownerTries(parts[1]), " more", "", 1)
	if strings.Contains(text, ", ") {
		text += ","
	}
	text += onOthers(parts)
	if len(parts[0]) > 0 {
		text = ownerTries(parts[0]) + ", then " + text
	}
	return text + ownerFacts(run)
}

// runParts cuts a run where a session begins; the first part goes on with the present session, and may be empty.
func runParts(run []NextTrial) [][]NextTrial {
	parts := [][]NextTrial{nil}
	for _, t := range run {
		if t.NewSession {
			parts = append(parts, nil)
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], t)
	}
	return parts
}

// alike reports whether all trials are of one sort, and the further sessions of one length, on as many days.
func alike(run []NextTrial, parts [][]NextTrial) bool {
	other := func(t NextTrial) bool { return t.Mark != run[0].Mark }
	uneven := func(p []NextTrial) bool { return len(p) != len(parts[1]) || p[0].NextDay != parts[1][0].NextDay }
	return !slices.ContainsFunc(run, other) && !slices.ContainsFunc(parts[1:], uneven)
}

// onOthers says in which further sessions, or on which days.
func onOthers(parts [][]NextTrial) string {
	on, word := " in ", "session"
	if parts[1][0].NextDay {
		on, word = " on ", "day"
	}
	if n := len(parts) - 1; n > 1 {
		return fmt.Sprintf("%seach of %s more %ss", on, numberWord(n), word)
	}
	return on + "another " + word
}

// ownerTries is what must happen, and how often.
func ownerTries(run []NextTrial) string {
	n := map[string]int{}
	for i := range run {
		n[run[i].Mark]++
	}
	if first := run[0].Mark; n[first] == len(run) {
		if len(run) == 1 {
			return markWords[first].one.owner
		}
		return fmt.Sprintf(markWords[first].more.owner, numberWord(len(run)))
	}
	var parts []string
	for _, m := range searchKinds {
		switch c := n[m.mark]; {
		case c == 1:
			parts = append(parts, markWords[m.mark].one.owner)
		case c > 1:
			more, _, _ := strings.Cut(markWords[m.mark].more.owner, ",")
			parts = append(parts, fmt.Sprintf(more, numberWord(c)))
		}
	}
	return strings.Join(parts, " and ")
}

// ownerFacts is where, with whom, and with what measured; of what differs within the run nothing is said but the places
// and people.
func ownerFacts(run []NextTrial) string {
	var where, with []string
	measures := map[string][]float64{}
	for i := range run {
		t := &run[i]
		if t.Place != "" {
			where = append(where, "at "+t.Place)
		}
		if t.Handler != "" {
			where = append(where, "with "+t.Handler)
		}
		for name, v := range t.Measures {
			measures[name] = append(measures[name], v)
		}
	}
	for _, name := range sortedKeys(measures) {
		if v := distinct(measures[name]); len(v) == 1 {
			with = append(with, ownerMeasure(name, v[0], run))
		}
	}
	if r := run[0].Rewarded; r != nil && !slices.ContainsFunc(run, func(t NextTrial) bool { return t.Rewarded == nil || *t.Rewarded != *r }) {
		with = append(with, map[bool]string{true: "fed", false: "not fed"}[*r])
	}
	text := ""
	if len(where) > 0 {
		text = ", " + strings.Join(distinct(where), " and ")
	}
	if len(with) > 0 {
		text += ", "
		if len(run) > 1 {
			text += "each "
		}
		text += strings.Join(with, ", ")
	}
	return text
}

// ownerMeasure is one measured value.
func ownerMeasure(name string, v float64, run []NextTrial) string {
	number := strconv.FormatFloat(v, 'f', -1, 64)
	unit := func(word string) string {
		if v == 1 {
			return number + " " + word
		}
		return number + " " + word + "s"
	}
	switch name {
	case "latency":
		return "answered in " + unit("second")
	case "duration":
		return "held for " + unit("second")
	case "distance":
		return "from " + unit("metre")
	}
	for i := range run { // with its unit, as the trainer reads it
		for _, part := range strings.Split(run[i].With, ", ") {
			if strings.HasPrefix(part, name+" ") {
				return "with " + strings.ReplaceAll(part, " deg", " degrees")
			}
		}
	}
	return "with " + name + " " + number
}

// spread says over how many further sessions or days a run goes.
func spread(run []NextTrial) string {
	sessions, days := 0, 0
	for i := range run {
		switch {
		case run[i].NextDay:
			days++
		case run[i].NewSession:
			sessions++
		}
	}
	switch {
	case days == 1:
		return ", the last of it on another day"
	case days > 1:
		return fmt.Sprintf(", spread over %s more days", numberWord(days))
	case sessions == 1:
		return ", the last of it in another session"
	}
	return fmt.Sprintf(", in %s more sessions", numberWord(sessions))
}
