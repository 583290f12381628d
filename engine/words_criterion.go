package engine

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
)

// OwnerWords is a criterion as one tells an owner, as words that follow "when": no windows, no percent, no expressions. What
// an owner cannot see or count without a table is said to be the trainer's to judge.
func OwnerWords(c curriculum.Criterion) string {
	switch c := c.(type) {
	case curriculum.Named:
		return OwnerWords(c.Is)
	case curriculum.Window:
		return ownerWindow(c)
	case curriculum.InSessionCount:
		return ownerCount(c.N, c.Count) + " in one session"
	case curriculum.Done:
		return "it was done " + times(c.N)
	case curriculum.InSession:
		return OwnerWords(c.Is) + " in one session"
	case curriculum.Repeated:
		over := [...]string{curriculum.Sessions: "in %s %ssessions", curriculum.Places: "at %s %splaces", curriculum.Handlers: "with %s %speople", curriculum.Days: "on %s %sdays"}[c.Over]
		different, row := "different ", ""
		if c.InARow {
			different, row = "", " one after the other"
		}
		return OwnerWords(c.Is) + ", " + fmt.Sprintf(over, numberWord(c.N), different) + row
	case curriculum.SessionShare:
		if c.N > 1 {
			return numberWord(c.N) + " whole sessions go well"
		}
		return "a whole session goes well"
	case curriculum.FirstTrial:
		if c.N > 1 {
			return fmt.Sprintf("the first try goes well in %s sessions", numberWord(c.N))
		}
		return "the first try of a session goes well"
	case curriculum.Statistic:
		return ownerStatistic(c)
	case curriculum.After:
		unit := [...]string{"try", "session", "day"}[c.Unit]
		if c.N != 1 {
			unit = [...]string{"tries", "sessions", "days"}[c.Unit]
		}
		return fmt.Sprintf("it has been %s %s", numberWord(c.N), unit)
	case curriculum.Eased:
		return "it had to be made easier " + times(c.N)
	case curriculum.Not:
		return "it is not so that " + OwnerWords(c.Is)
	case curriculum.And:
		return joined(c.All, ", and ")
	case curriculum.Or:
		return joined(c.Any, ", or ")
	}
	return "your trainer says so"
}

// ownerStatistic is a statistic of measures: which, of how many, and on which side of what.
func ownerStatistic(s curriculum.Statistic) string {
	what := "the " + s.Measure
	if s.Measure == "latency" {
		what = "the time to the answer"
	}
	of := " of the last " + numberWord(s.N) + " that went well"
	if s.N == 1 {
		of = " of the last one that went well"
	}
	verb := " is "
	switch s.Stat {
	case curriculum.Median, curriculum.Mean:
		verb = " is on the whole "
	case curriculum.Best, curriculum.Worst:
		what = strings.Replace(what, "the ", "the "+string(s.Stat)+" ", 1)
	}
	side := map[string]string{"<=": "at most ", "<": "under ", ">=": "at least ", ">": "over ", "==": "exactly "}[s.Op]
	return what + of + verb + side + strings.ReplaceAll(s.Value.String(), " deg", " degrees")
}

func joined(list []curriculum.Criterion, by string) string {
	var out []string
	for _, c := range list {
		text := OwnerWords(c)
		// two that an owner hears as one are said once
		if len(out) == 0 || out[len(out)-1] != text {
			out = append(out, text)
		}
	}
	return strings.Join(out, by)
}

func ownerWindow(w curriculum.Window) string {
	n := countedWords[w.Count]
	var text string
	switch {
	case w.Count == curriculum.OptOuts:
		text = ownerCount(w.K, w.Count)
	case w.InARow:
		text = ownerCount(w.K, w.Count)
		if w.K > 1 {
			text += ", one after the other"
		}
	default:
		verb := n.more
		if w.K == 1 {
			verb = n.one
		}
		among := "the last " + numberWord(w.N)
		if w.Each {
			among = numberWord(w.N)
		}
		text = fmt.Sprintf("%s of %s %s", numberWord(w.K), among, verb)
		if w.AtMost {
			text = "at most " + text
		}
	}
	if w.Twice {
		text += ", twice"
	}
	q := w.Qualify
	switch {
	case q.Within != nil:
		text += ", each within " + q.Within.String()
	case q.Holding != nil:
		text += ", each for " + q.Holding.String()
	case q.Among != nil && strings.TrimSpace(q.Among.Text) == curriculum.FullValue:
		text += ", of those that asked for the full value"
	case q.Where != nil || q.Among != nil:
		text += ", where your trainer wants it"
	}
	return text
}

// ownerCount is so many of something.
func ownerCount(n int, c curriculum.Counted) string {
	if c == curriculum.OptOuts {
		return "the dog leaves " + times(n)
	}
	if n == 1 {
		return "one " + countedWords[c].one
	}
	return numberWord(n) + " " + countedWords[c].more
}

func times(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return numberWord(n) + " times"
}
