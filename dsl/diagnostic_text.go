package dsl

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Text is the findings for people: for each its place, code and message, the line with carets under the exact piece,
// help, and the other places that have to do with it.
func (ds Diagnostics) Text() string {
	var b strings.Builder
	for _, d := range ds {
		d.text(&b)
	}
	return b.String()
}

// Text is one finding for people; see Diagnostics.Text.
func (d Diagnostic) Text() string {
	var b strings.Builder
	d.text(&b)
	return b.String()
}

func (d Diagnostic) text(b *strings.Builder) {
	fmt.Fprintf(b, "%s: %s %s: %s\n", placeText(d.Source, d.Span), d.Severity, d.Code, d.Message)
	d.Source.excerpt(b, d.Span)
	if help := d.Help.String(); help != "" {
		fmt.Fprintf(b, "      = %s\n", help)
	}
	for _, r := range d.Related {
		fmt.Fprintf(b, "  %s: %s\n", placeText(r.Source, r.Span), r.Message)
		r.Source.excerpt(b, r.Span)
	}
}

// placeText is "file:line:column".
func placeText(src *Source, at Span) string {
	if src == nil {
		return "-"
	}
	line, column := src.Position(at.From)
	return fmt.Sprintf("%s:%d:%d", src.Name, line, column)
}

const (
	tabStop   = 4
	maxShown  = 160 // columns of a line that are shown
	shownLead = 60  // of them before the piece, where a line is longer
)

// excerpt writes the line of a piece and carets under it. A piece of several lines is marked up to the end of the first;
// an empty text, such as that of a file that could not be read, has no line to show.
func (s *Source) excerpt(b *strings.Builder, at Span) {
	if s == nil || s.Text == "" {
		return
	}
	i := s.lineOf(min(at.From, len(s.Text)))
	start := s.starts[i]
	line := s.lineText(i)
	if i == 0 && strings.HasPrefix(line, byteOrderMark) {
		start, line = start+len(byteOrderMark), line[len(byteOrderMark):]
	}
	from := max(0, min(at.From-start, len(line)))
	to := max(from, min(at.To-start, len(line)))
	lead, dots := "", ""
	if len(line) > maxShown {
		cut := runeStart(line, max(0, from-shownLead))
		end := runeStart(line, min(len(line), cut+maxShown))
		if cut > 0 {
			lead = "..."
		}
		if end < len(line) {
			dots = "..."
		}
		line, from, to = line[cut:end], from-cut, min(to, end)-cut
		to = max(from, to)
	}
	before, column := shown(line[:from], len(lead))
	piece, after := shown(line[from:to], column)
	rest, _ := shown(line[to:], after)
	carets := max(1, after-column)
	fmt.Fprintf(b, "%5d | %s\n", i+1, strings.TrimRight(lead+before+piece+rest+dots, " "))
	fmt.Fprintf(b, "      | %s%s\n", strings.Repeat(" ", column), strings.Repeat("^", carets))
}

// runeStart is the nearest start of a character at or before i, or i where the bytes before it are no characters.
func runeStart(s string, i int) int {
	for j := i; j > i-utf8.UTFMax && j > 0 && j < len(s); j-- {
		if utf8.RuneStart(s[j]) {
			return j
		}
	}
	return i
}

// shown is text as a terminal shows it from a column on, tabs as spaces and what cannot be seen as a dot, and the column
// behind it.
func shown(text string, column int) (string, int) {
	var b strings.Builder
	for i, w := 0, 0; i < len(text); i += w {
		var r rune
		r, w = utf8.DecodeRuneInString(text[i:])
		switch {
		case r == '\t':
			n := tabStop - column%tabStop
			b.WriteString(strings.Repeat(" ", n))
			column += n
		case r == utf8.RuneError && w == 1, unicode.IsControl(r), unicode.Is(unicode.Cf, r):
			b.WriteRune('·')
			column++
		default:
			b.WriteRune(r)
			column += runeWidth(r)
		}
	}
	return b.String(), column
}

// runeWidth is how many columns a terminal gives a character: none for combining marks, two for East Asian wide and
// full-width ones (Unicode Standard Annex 11, by block, from memory) and pictographs.
func runeWidth(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case r >= 0x1100 && r <= 0x115f, r >= 0x2e80 && r <= 0x303e, r >= 0x3041 && r <= 0x33ff, r >= 0x3400 && r <= 0x4dbf,
		r >= 0x4e00 && r <= 0x9fff, r >= 0xa000 && r <= 0xa4cf, r >= 0xac00 && r <= 0xd7a3, r >= 0xf900 && r <= 0xfaff,
		r >= 0xfe30 && r <= 0xfe6f, r >= 0xff00 && r <= 0xff60, r >= 0xffe0 && r <= 0xffe6, r >= 0x1f300 && r <= 0x1f64f,
		r >= 0x1f680 && r <= 0x1f6ff, r >= 0x1f900 && r <= 0x1f9ff, r >= 0x20000 && r <= 0x3fffd:
		return 2
	}
	return 1
}
