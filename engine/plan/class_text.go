package plan

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// Text is the class day for the wall: turn by turn, who works where on what, and who rests.
func (d *ClassDay) Text() string {
	if d == nil {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Class day, %s\n", d.At.Format("Monday 2 January 2006"))
	for _, t := range d.Turns {
		fmt.Fprintf(&b, "\nTURN %d, %s\n", t.Turn, t.At.Format("15:04"))
		for _, w := range t.Work {
			who := w.Dog
			if w.Handler != "" {
				who += " with " + w.Handler
			}
			b.WriteString(wrap(w.Station+": "+who+"; "+w.Plan.inShort(), "  ", "      "))
		}
		if len(t.Resting) > 0 {
			b.WriteString(wrap("resting: "+strings.Join(t.Resting, ", "), "  ", "      "))
		}
	}
	if len(d.Notes) > 0 {
		b.WriteString("\nNOTES\n")
		for _, n := range d.Notes {
			b.WriteString(wrap(n, "  - ", "    "))
		}
	}
	return b.String()
}

// inShort is what a turn holds: trials of behaviours, and what to bring.
func (p *Plan) inShort() string {
	if len(p.Items) == 0 {
		return "nothing can be planned here"
	}
	var out []string
	seen := map[string]bool{}
	for i := range p.Items {
		if name := p.Items[i].Behaviour; !seen[name] {
			seen[name] = true
			out = append(out, fmt.Sprintf("%s %d", name, p.trials(name)))
		}
	}
	text := strings.Join(out, ", ")
	if len(p.Kit) > 0 {
		text += " (" + list(p.Kit) + ")"
	}
	return text
}

// Markdown is the class day as one table: a row a turn, a column a station.
func (d *ClassDay) Markdown() string {
	if d == nil {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# Class day, %s\n", d.At.Format("Monday 2 January 2006"))
	var stations []string
	for _, t := range d.Turns {
		for _, w := range t.Work {
			if !slices.Contains(stations, w.Station) {
				stations = append(stations, w.Station)
			}
		}
	}
	if len(d.Turns) > 0 {
		b.WriteString("\n| turn |")
		for _, s := range stations {
			b.WriteString(" " + mark(s) + " |")
		}
		b.WriteString(" resting |\n| --- |" + strings.Repeat(" --- |", len(stations)+1) + "\n")
	}
	for _, t := range d.Turns {
		fmt.Fprintf(&b, "| %d, %s |", t.Turn, t.At.Format("15:04"))
		for _, s := range stations {
			var cell []string
			for _, w := range t.Work {
				if w.Station == s {
					cell = append(cell, mark(w.Dog+": "+w.Plan.inShort()))
				}
			}
			b.WriteString(" " + strings.Join(cell, "; ") + " |")
		}
		b.WriteString(" " + mark(strings.Join(t.Resting, ", ")) + " |\n")
	}
	for _, n := range d.Notes {
		fmt.Fprintf(&b, "\n%s\n", mark(n))
	}
	return b.String()
}

// WriteJSON writes the class day as indented JSON, every turn's plan whole.
func (d *ClassDay) WriteJSON(w io.Writer) error { return writeJSON(w, d) }
