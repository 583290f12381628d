package automaton

import (
	"fmt"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// Write is a history in tally marks: a line for each session, place and handler. Lines after the first say what came
// between: a new session, the next day, the same session elsewhere.
func (m *Machine) Write(history []int) []string {
	var out []string
	var line strings.Builder
	where, between, fresh := "", "", true
	flush := func() {
		if line.Len() > 0 {
			out = append(out, line.String())
			line.Reset()
		}
		fresh = true
	}
	for _, li := range history {
		l := &m.letters[li]
		if !l.IsTrial() {
			flush()
			switch {
			case l.Edge == Midnight:
				between = "past midnight"
			case l.Edge == NextDay || between == "next day":
				between = "next day"
			default:
				between = "next session"
			}
			continue
		}
		c := &l.Cases[0]
		if w := c.where(); w != where && !fresh {
			flush()
		}
		where = c.where()
		if fresh {
			head := strings.TrimSpace(strings.Join([]string{between, where}, " "))
			if between != "" && where != "" {
				head = between + ", " + where
			}
			if head != "" {
				line.WriteString(head + ": ")
			}
			between, fresh = "", false
		} else {
			line.WriteByte(' ')
		}
		line.WriteString(l.Mark)
	}
	flush()
	if between != "" {
		out = append(out, "then the session ends")
	}
	return out
}

// Marks is a history as one list of tally marks, with what lies between them: "|" before the first trial of a new
// session, "||" where it is on the next date, and once more for each further date. Places and handlers stand in brackets where they change.
func (m *Machine) Marks(history []int) []string {
	var out []string
	where := ""
	for _, li := range history {
		l := &m.letters[li]
		mark := l.Mark
		if l.IsTrial() {
			if w := l.Cases[0].where(); w != where {
				if where = w; w == "" {
					w = "nowhere named"
				}
				if short, ok := strings.CutSuffix(mark, ")"); ok {
					mark = short + ", " + w + ")"
				} else {
					mark += "(" + w + ")"
				}
			}
		} else if n := len(out); n > 0 && out[n-1] == "|" && l.Edge == NextDay {
			out = out[:n-1]
		}
		out = append(out, mark)
	}
	return out
}

// Trials are the trials of a history, as a dog of that name would have made them in a behaviour at a level: a second
// apart, on as many dates as it asks for, beginning at a time. Edges only bear on the trials behind them, so that the end
// of a last session needs somebody to close it.
func (m *Machine) Trials(history []int, dog, behaviour string, at time.Time) []curriculum.Trial {
	var out []curriculum.Trial
	session := 1
	start := at
	for _, li := range history {
		l := &m.letters[li]
		switch l.Edge {
		case SessionEnd:
			session++
			continue
		case NextDay:
			session++
			start = start.AddDate(0, 0, 1)
			at = start
			continue
		case Midnight:
			start = start.AddDate(0, 0, 1)
			at = start
			continue
		}
		t := l.Cases[0].Trial(m.stay.Prompts)
		t.ID = fmt.Sprintf("t%d", len(out)+1)
		t.Dog, t.Behaviour, t.At, t.Session = dog, behaviour, at, fmt.Sprintf("s%d", session)
		out = append(out, t)
		at = at.Add(time.Second)
	}
	return out
}
