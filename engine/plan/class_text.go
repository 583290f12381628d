package plan

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// Text is the class day for the wall: turn by turn, who works where on what, and who rests; then, station by station,
// what each dog does there.
func (d *ClassDay) Text() string {
	if d == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(d.title() + "\n\n" + strings.ToUpper(titleStop) + "\n")
	for _, c := range d.Cautions {
		b.WriteString(wrap(c, "  - ", "    "))
	}
	for _, t := range d.Turns {
		fmt.Fprintf(&b, "\nTURN %d, %s\n", t.Turn, t.At.Format("15:04"))
		for _, w := range t.Work {
			b.WriteString(wrap(w.Station+": "+w.who()+"; "+w.Plan.inShort(), "  ", "      "))
		}
		if len(t.Resting) > 0 {
			b.WriteString(wrap("resting: "+strings.Join(t.Resting, ", "), "  ", "      "))
		}
	}
	for i := range d.Stations {
		s := &d.Stations[i]
		b.WriteString("\n" + wrap("STATION "+s.words(), "", "  "))
		for _, t := range d.Turns {
			for _, w := range t.Work {
				if w.Station != s.Name {
					continue
				}
				b.WriteString(wrap(t.At.Format("15:04")+" "+w.who(), "  ", "      "))
				for _, l := range w.Plan.atStation() {
					b.WriteString(wrap(l, "    - ", "      "))
				}
			}
		}
	}
	for _, l := range d.lists() {
		b.WriteString("\n" + l.title + "\n")
		for _, n := range l.lines {
			b.WriteString(wrap(n, "  - ", "    "))
		}
	}
	return b.String()
}

func (d *ClassDay) title() string { return "Class day, " + d.At.Format("Monday 2 January 2006") }

// words is a station's name, where it is, and what stays there.
func (s *Station) words() string {
	text := s.Name
	if s.Place != "" && s.Place != s.Name {
		text += ", " + s.Place
	}
	if s.Dogs > 1 {
		text += fmt.Sprintf(", %d dogs at a time", s.Dogs)
	}
	if len(s.Equipment) > 0 {
		stays := " stays there"
		if len(s.Equipment) > 1 {
			stays = " stay there"
		}
		text += "; " + list(s.Equipment) + stays
	}
	return text
}

func (w *Working) who() string {
	if w.Handler == "" {
		return w.Dog
	}
	return w.Dog + " with " + w.Handler
}

// atStation is what a dog does in its turn: of each behaviour the step and level, the cue as it is given, and how often.
func (p *Plan) atStation() (out []string) {
	for i := range p.Items {
		it := &p.Items[i]
		if it.Part > 1 {
			continue
		}
		out = append(out, it.atStation("; "+plural(p.trials(it.Behaviour), "trial", "trials")))
	}
	if len(out) == 0 {
		out = append(out, nothingHere)
	}
	return out
}

// atStation is one behaviour with its step and level, cue, how often, and kit.
func (it *Item) atStation(often string) string {
	text := it.Behaviour + " at " + it.Step
	if l := levelWords(it.Level, it.LevelText); l != "" {
		text += ", " + l
	}
	if q := it.cues(", or "); q != "" && !it.CueLater {
		text += "; " + q
	}
	text += often
	if len(it.Equipment) > 0 {
		text += "; " + list(it.Equipment)
	}
	return text
}

const nothingHere = "nothing can be planned here"

// lists is what stands below the turns.
func (d *ClassDay) lists() (out []titled) {
	add := func(title string, lines []string) {
		if len(lines) > 0 {
			out = append(out, titled{title, lines})
		}
	}
	var kit, apart, mind []string
	for _, name := range sortedKeys(d.Equipment) {
		kit = append(kit, fmt.Sprintf("%s: %d", name, d.Equipment[name]))
	}
	for _, group := range d.Apart {
		apart = append(apart, list(group))
	}
	for _, m := range d.Minding {
		mind = append(mind, m.Dog+": "+strings.Join(m.Text, "; "))
	}
	add("GOES FROM STATION TO STATION", kit)
	add("NEVER IN ONE TURN", apart)
	add("MIND", mind)
	add("NOTES", d.Notes)
	return out
}

// inShort is what a turn holds: trials of behaviours, and what to bring.
func (p *Plan) inShort() string {
	if len(p.Items) == 0 {
		return nothingHere
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
	fmt.Fprintf(&b, "# %s\n\n## %s\n\n", d.title(), titleStop)
	for _, c := range d.Cautions {
		fmt.Fprintf(&b, "- %s\n", mark(c))
	}
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
	for i := range d.Stations {
		s := &d.Stations[i]
		fmt.Fprintf(&b, "\n## %s\n\n| turn | dog | what |\n| --- | --- | --- |\n", mark("Station "+s.words()))
		for _, t := range d.Turns {
			for _, w := range t.Work {
				if w.Station == s.Name {
					fmt.Fprintf(&b, "| %d, %s | %s | %s |\n", t.Turn, t.At.Format("15:04"), mark(w.who()), mark(strings.Join(w.Plan.atStation(), " / ")))
				}
			}
		}
	}
	for _, l := range d.lists() {
		fmt.Fprintf(&b, "\n## %s\n\n", l.title)
		for _, n := range l.lines {
			fmt.Fprintf(&b, "- %s\n", mark(n))
		}
	}
	return b.String()
}

// WriteJSON writes the class day as indented JSON, every turn's plan whole.
func (d *ClassDay) WriteJSON(w io.Writer) error { return writeJSON(w, d) }
