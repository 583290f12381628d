package odds

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// textWide is how many columns texts take.
const textWide = 80

// Text is the answer in words and tables: a line for each step where there are several, all that is known of a step or
// criterion alone.
func (a *Answer) Text() string {
	if a == nil {
		return ""
	}
	var b strings.Builder
	switch {
	case len(a.Steps) == 1 && len(a.Ladders) == 0:
		a.alone(&b)
	case len(a.Rows) > 4*len(a.Steps):
		a.each(&b)
	default:
		a.table(&b)
	}
	fill(&b, "Taken for granted: "+strings.Join(a.Notes, " "), "", "  ")
	return b.String()
}

// rowsOf are the rows of the i-th step.
func (a *Answer) rowsOf(i int) []Row {
	n := len(a.Rows) / len(a.Steps)
	return a.Rows[i*n : (i+1)*n]
}

// Columns of the table: a name, and the chances of moving on and of easing.
const (
	nameWide  = 26
	shareWide = 5
)

// table is a line for each step, under the names of the behaviours.
func (a *Answer) table(b *strings.Builder) {
	if len(a.Steps) == 0 {
		b.WriteString("No steps.\n\n")
		return
	}
	first := a.rowsOf(0)
	heading := func(name string) {
		group := shareWide * len(first)
		line := pad(name, nameWide) + "  " + pad(centred("moved on, %", group-1), group) + "  " + pad(centred("eased, %", group-1), group) + "  holds"
		b.WriteString(strings.TrimRight(line, " ") + "\n" + pad("  right of 100:", nameWide))
		for range 2 {
			b.WriteString("  ")
			for _, r := range first {
				b.WriteString(right(strings.TrimSuffix(percent(r.Chance), "%"), shareWide-1) + " ")
			}
		}
		b.WriteString("  at\n")
	}
	fmt.Fprintf(b, "By trial %d\n", first[0].By)
	for i, s := range a.Steps {
		if i == 0 || s.Behaviour != a.Steps[i-1].Behaviour {
			b.WriteString("\n")
			heading(s.Behaviour)
		}
		rows := a.rowsOf(i)
		name := s.Step
		if s.Levels > 1 {
			name += fmt.Sprintf(", %d levels", s.Levels)
		}
		var on, back []string
		for _, r := range rows {
			on, back = append(on, shareOf(s.Advance, r.Advance)), append(back, shareOf(s.Ease, r.Ease))
		}
		line := tableLine(b, name, on, back) + " "
		for _, h := range s.HoldsAt {
			line += fmt.Sprintf(" %.0f%%", 100*h)
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
		if i+1 == len(a.Steps) || a.Steps[i+1].Behaviour != s.Behaviour {
			a.lapseLine(b, s.Behaviour)
			a.ladder(b, s.Behaviour)
		}
	}
	b.WriteString("\n")
	a.sessions(b)
}

// shareOf is a cell of the table; "-" where there is no such rule.
func shareOf(rules []string, v float64) string {
	if len(rules) == 0 {
		return "-"
	}
	return whole(v)
}

// tableLine is a line of the table without its end. A name too long for its column gets a line of its own.
func tableLine(b *strings.Builder, name string, groups ...[]string) string {
	name = "  " + name
	if utf8.RuneCountInString(name) >= nameWide {
		b.WriteString(name + "\n")
		name = ""
	}
	line := pad(name, nameWide)
	for _, cells := range groups {
		line += "  "
		for _, cell := range cells {
			line += right(cell, shareWide-1) + " "
		}
	}
	return line
}

// lapseLine says how many dogs lapse once the behaviour is kept, in the column of those that go back.
func (a *Answer) lapseLine(b *strings.Builder, behaviour string) {
	var on, back []string
	for _, l := range a.lapsesOf(behaviour) {
		on, back = append(on, "-"), append(back, whole(l.Lapse))
	}
	if back != nil {
		b.WriteString(strings.TrimRight(tableLine(b, "kept, and lapses", on, back), " ") + "\n")
	}
}

// ladder says how long a whole behaviour takes.
func (a *Answer) ladder(b *strings.Builder, behaviour string) {
	var parts []string
	endless := ""
	for _, l := range a.Ladders {
		if l.Behaviour != behaviour {
			continue
		}
		if l.Endless != "" {
			endless = l.Endless
			continue
		}
		parts = append(parts, spreadText(l.Mean, l.SD)+" at "+percent(l.Chance))
	}
	if len(parts) > 0 {
		fill(b, "all of it, in trials: "+strings.Join(parts, ", "), "  ", "    ")
	}
	if endless != "" {
		fill(b, "some dogs never get past "+endless, "  ", "    ")
	}
}

// sessions says of which steps sessions matter, and what is special to steps.
func (a *Answer) sessions(b *strings.Builder) {
	said := map[string][]string{}
	var order []string
	for _, s := range a.Steps {
		for _, n := range s.about() {
			if said[n] == nil {
				order = append(order, n)
			}
			said[n] = append(said[n], s.Behaviour+" at "+s.Step)
		}
	}
	for _, n := range order {
		fill(b, strings.ToUpper(n[:1])+n[1:]+": "+strings.Join(said[n], ", ")+".", "", "  ")
	}
	if len(order) > 0 {
		b.WriteString("\n")
	}
}

// about is what was taken for granted of one step.
func (s *Step) about() (out []string) {
	var parts []string
	switch {
	case s.Session == 1:
		parts = append(parts, "1 trial a session")
	case s.Session > 0:
		parts = append(parts, fmt.Sprintf("%d trials a session", s.Session))
	}
	for _, turns := range []struct {
		lead string
		of   []string
	}{{"at ", s.Places}, {"with ", s.Handlers}} {
		switch len(turns.of) {
		case 0:
		case 1:
			parts = append(parts, "all "+turns.lead+turns.of[0])
		default:
			parts = append(parts, "by turns "+turns.lead+strings.Join(turns.of, ", "))
		}
	}
	if len(parts) > 0 {
		out = append(out, strings.Join(parts, ", "))
	}
	return append(out, s.Notes...)
}

// each is all about one step after the other.
func (a *Answer) each(b *strings.Builder) {
	for i := range a.Steps {
		one := &Answer{Rows: a.rowsOf(i), Steps: a.Steps[i : i+1]}
		one.alone(b)
		if i+1 == len(a.Steps) || a.Steps[i+1].Behaviour != a.Steps[i].Behaviour {
			var parts []string
			for _, l := range a.lapsesOf(a.Steps[i].Behaviour) {
				parts = append(parts, fine(l.Lapse)+" at "+percent(l.Chance))
			}
			if parts != nil {
				fill(b, fmt.Sprintf("once kept, lapsed by %d: %s", a.Rows[0].By, strings.Join(parts, ", ")), "  ", "    ")
			}
			a.ladder(b, a.Steps[i].Behaviour)
			b.WriteString("\n")
		}
	}
}

// alone is all about one step, or criterion.
func (a *Answer) alone(b *strings.Builder) {
	s := &a.Steps[0]
	by := a.Rows[0].By
	lone := s.Behaviour == ""
	columns := []string{"right", fmt.Sprintf("on by %d", by), fmt.Sprintf("back by %d", by), "first move", "half by", "9 of 10 by", "next step"}
	if lone {
		fill(b, strings.Join(s.Advance, ""), "", "  ")
		columns = []string{"right", fmt.Sprintf("holds by %d", by), "trials until it holds", "half by", "9 of 10 by"}
	} else {
		title := s.Behaviour + " at " + s.Step
		if s.Levels > 1 {
			title += fmt.Sprintf(", each of %d levels", s.Levels)
		}
		b.WriteString(title + "\n")
		for _, r := range []struct {
			lead string
			of   []string
		}{{"  on when    ", s.Advance}, {"  back when  ", s.Ease}, {"  split when ", s.Split}} {
			if len(r.of) > 0 {
				fill(b, strings.Join(r.of, ", or "), r.lead, "             ")
			}
		}
	}
	b.WriteString("\n")
	var table [][]string
	for _, r := range a.Rows {
		row := []string{percent(r.Chance), fine(r.Advance), fine(r.Ease), r.firstMove(), r.reached(r.HalfBy), r.reached(r.NineBy), spreadText(r.Through, r.ThroughSD)}
		if lone {
			row = []string{percent(r.Chance), fine(r.Advance), r.firstMove(), r.reached(r.HalfBy), r.reached(r.NineBy)}
		}
		table = append(table, row)
	}
	writeTable(b, columns, table)
	b.WriteString("\n")
	if !lone {
		fill(b, "First move, next step: trials on average ± standard deviation, the latter with all ways back. Half by, 9 of 10 by: the trial by which so many such dogs have made their first move.", "", "  ")
		b.WriteString("\n")
	}
	a.ruleByRule(b)
	for _, h := range s.HoldsAt {
		fill(b, fmt.Sprintf("Up and down are equally likely at %.1f%%: on a fine ramp it holds a dog about there.", 100*h), "", "  ")
	}
	for _, n := range s.about() {
		fill(b, strings.ToUpper(n[:1])+n[1:]+".", "", "  ")
	}
	if len(s.HoldsAt)+len(s.about()) > 0 {
		b.WriteString("\n")
	}
}

// manyTrials is where counting ends for people.
const manyTrials = 10_000
