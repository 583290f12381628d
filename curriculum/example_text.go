package curriculum

import (
	"fmt"
	"strconv"
	"strings"
)

// ExampleText is an example in the language's own spelling, laid out as `rung tidy` does. The curriculum gives the
// units of measures.
func (c *Curriculum) ExampleText(e Example) string {
	var b strings.Builder
	fmt.Fprintf(&b, "example %s {\n", quoted(e.Name))
	for i := range e.Items {
		b.WriteString("  " + c.exampleLine(&e.Items[i]) + "\n")
	}
	b.WriteString("}\n")
	return b.String()
}

// quoted is a text in quotes as the language has it: only quotes and backslashes are escaped.
func quoted(s string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(s) + `"`
}

func (c *Curriculum) exampleLine(item *ExampleItem) string {
	switch {
	case item.Dog != nil:
		return item.Dog.String()
	case item.Start != nil:
		return item.Start.String()
	case item.Trials != nil:
		return item.Trials.line(c)
	case item.Session != nil:
		return item.Session.String()
	case item.Sign != nil:
		return "sign " + item.Sign.String()
	case item.Clear != nil:
		return "clear " + item.Clear.String()
	case item.Case != nil:
		then := make([]string, len(item.Case.Then))
		for i, e := range item.Case.Then {
			then[i] = e.rest()
		}
		return "case " + item.Case.line(c) + " then " + strings.Join(then, " and ")
	case item.Expect != nil:
		return "expect " + item.Expect.String()
	}
	return ""
}

// String is the line in the language's own spelling.
func (d *ExampleDog) String() string {
	var parts []string
	add := func(yes bool, text string) {
		if yes {
			parts = append(parts, text)
		}
	}
	kg := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) + " kg" }
	add(d.Profile != "", d.Profile)
	add(d.AgeMonths > 0, fmt.Sprintf("%d %s old", d.AgeMonths, plural(d.AgeMonths, "month", "months")))
	add(d.AgeDays > 0, fmt.Sprintf("%d %s old", d.AgeDays, plural(d.AgeDays, "day", "days")))
	add(d.WeightKg > 0, kg(d.WeightKg))
	add(d.AdultWeightKg > 0, kg(d.AdultWeightKg)+" grown")
	add(d.Neutered == Yes, "neutered")
	add(d.Neutered == No, "not neutered")
	for _, a := range d.Avoid {
		add(true, "avoids "+a)
	}
	for _, q := range d.Cues {
		add(true, "senses "+q)
	}
	return "dog " + strings.Join(parts, ", ")
}

// String is the line in the language's own spelling.
func (s *ExampleStart) String() string {
	if s.Kept {
		return "start " + s.Behaviour + " kept"
	}
	return "start " + placeOf(s.Behaviour, s.Step, s.Level)
}

// String is the line in the language's own spelling.
func (s *ExampleSession) String() string {
	t := "session"
	if s.AfterDays > 0 {
		t += fmt.Sprintf(" after %d %s", s.AfterDays, plural(s.AfterDays, "day", "days"))
	}
	if s.Place != "" {
		t += " in " + s.Place
	}
	if s.Handler != "" {
		t += " with " + s.Handler
	}
	return t
}

// String is what stands behind the line's word, in the language's own spelling.
func (s *ExampleSign) String() string {
	t := s.Name
	if s.Behaviour != "" {
		t += " in " + s.Behaviour
	}
	if s.By != "" {
		t += " by " + quoted(s.By)
	}
	return t
}

// placeOf is a behaviour, and a step and level where there is one.
func placeOf(behaviour, step string, level LevelRef) string {
	if step == "" {
		return behaviour
	}
	return strings.TrimSpace(behaviour + " at " + step + " " + level.String())
}

func (t *ExampleTrials) line(c *Curriculum) string {
	marks := make([]string, len(t.Marks))
	for i, m := range t.Marks {
		marks[i] = m.text(c)
	}
	return placeOf(t.Behaviour, t.Step, t.Level) + ": " + strings.Join(marks, " ")
}

// String is the mark itself, without what was recorded beside it.
func (m Mark) String() string {
	switch {
	case m.Bar == SessionBar:
		return "|"
	case m.Bar == DayBar:
		return "||"
	case m.Outcome == Success && m.Help == LateHelp:
		return "h"
	case m.Outcome == Success && m.Help == EarlyHelp:
		return "e"
	}
	return map[Outcome]string{Success: "+", Wrong: "-", Silent: "0", OptOut: "o!", Void: "x"}[m.Outcome]
}

func (m Mark) text(c *Curriculum) string {
	var parts []string
	for _, v := range m.Measures {
		part := v.Name + " " + strconv.FormatFloat(v.Value, 'f', -1, 64)
		if u := c.unitOf(v.Name); u != NoUnit {
			part += " " + string(u)
		}
		parts = append(parts, part)
	}
	switch m.Rewarded {
	case Yes:
		parts = append(parts, "rewarded")
	case No:
		parts = append(parts, "unrewarded")
	}
	if len(parts) == 0 {
		return m.String()
	}
	return m.String() + " (" + strings.Join(parts, ", ") + ")"
}

// unitOf is the unit in which a measure is recorded.
func (c *Curriculum) unitOf(measure string) Unit {
	switch measure {
	case "latency", "duration":
		return Second
	case "distance":
		return Metre
	}
	for _, m := range c.Measures {
		if m.Name == measure {
			return m.Unit
		}
	}
	return NoUnit
}

// String is what is expected in the language's own spelling, without the word expect.
func (e Expectation) String() string {
	switch {
	case e.Plan && !e.LeftOut:
		return "plan has " + e.Behaviour
	case e.Plan && e.Because != "":
		return "plan leaves out " + e.Behaviour + " because " + e.Because
	case e.Plan:
		return "plan leaves out " + e.Behaviour
	}
	return e.Behaviour + " " + e.rest()
}

// rest is what stands behind the behaviour's name.
func (e Expectation) rest() string {
	switch {
	case e.State != "":
		return "is " + string(e.State)
	case e.Noted != "" && e.Not:
		return "notes no " + e.Noted
	case e.Noted != "":
		return "notes " + e.Noted
	}
	return strings.TrimPrefix(placeOf("", e.Step, e.Level), " ")
}
