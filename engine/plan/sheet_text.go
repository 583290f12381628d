package plan

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"example.com/rung/engine"
)

// sheetWidth is the columns of the text form.
const sheetWidth = 80

// Text is the plan as a field sheet for reading at arm's length, at most 80 columns wide.
func (p *Plan) Text() string { return p.TextFor(engine.ForTrainer) }

// TextFor is the field sheet in somebody's words.
func (p *Plan) TextFor(v engine.Voice) string {
	if p == nil {
		return ""
	}
	s := p.sheet(v)
	var b strings.Builder
	put := func(indent, text string) {
		b.WriteString(wrap(text, indent, strings.Repeat(" ", utf8.RuneCountInString(indent))))
	}
	list := func(title string, lines []string) {
		if len(lines) > 0 {
			b.WriteString("\n" + strings.ToUpper(title) + "\n")
		}
		for _, l := range lines {
			put("  - ", l)
		}
	}
	b.WriteString(s.title + "\n")
	for _, l := range s.head {
		put("", l)
	}
	list(titleNone, s.referral)
	list(titleStop, s.cautions)
	if s.food+s.kit != "" {
		b.WriteString("\n")
	}
	if s.food != "" {
		put("FOOD  ", s.food)
	}
	if s.kit != "" {
		put("KIT   ", s.kit)
	}
	for _, it := range s.items {
		b.WriteString("\n")
		put(fmt.Sprintf("%2d. ", it.number), it.title)
		for _, r := range it.rows {
			put(fmt.Sprintf("    %-13s", r.label), r.text)
		}
	}
	if s.empty != "" {
		b.WriteString("\n" + s.empty + "\n")
	}
	if s.end != "" {
		b.WriteString("\n")
		put("END   ", s.end)
		for _, l := range s.note {
			put("      ", l)
		}
	}
	if s.next != "" {
		put("NEXT  ", s.next)
	}
	list(titleNotes, s.notes)
	list(titleLeft, s.leftOut)
	return b.String()
}

// wrap is text in lines of at most sheetWidth columns, the first behind one indent and the rest behind the other. A word
// longer than a line stands alone.
func wrap(text, first, rest string) string {
	var b strings.Builder
	line, width := first, utf8.RuneCountInString(first)
	empty := true
	for _, w := range strings.Split(strings.ReplaceAll(text, "\n", " "), " ") {
		n := utf8.RuneCountInString(w)
		if !empty && width+1+n > sheetWidth {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, width, empty = rest, utf8.RuneCountInString(rest), true
		}
		if !empty {
			line, width = line+" ", width+1
		}
		line, width, empty = line+w, width+n, false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return b.String()
}
