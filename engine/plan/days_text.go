package plan

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/rung/engine"
)

// What the table of days says in the voice of a trainer and of an owner.
var (
	wordsDays      = said{"The days ahead for ", "The days ahead with "}
	wordsBehaviour = said{"behaviour", "exercise"}
	wordsReview    = said{"* is a review that is due: the first try of the session counts, without warming up", "* is a check that it has stayed: no warming up before it"}
	wordsNever     = said{"IN NONE OF THEM", ""}
	wordsCells     = said{"", "The numbers are tries. Every session has a sheet of its own, made on the day from what was written down by then."}
)

// aWeek is how many sessions stand beside one another in the table.
const aWeek = 7

// Text is the days as a table of trials, at most 80 columns wide where names are of everyday length.
func (d *Days) Text() string { return d.TextFor(engine.ForTrainer) }

// TextFor is the table in somebody's words.
func (d *Days) TextFor(v engine.Voice) string {
	if d == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(wrap(d.title(v), "", ""))
	for i, c := range inVoice(d.Cautions, v) {
		if i == 0 {
			b.WriteString("\n" + strings.ToUpper(titleStop) + "\n")
		}
		b.WriteString(wrap(c, "  - ", "    "))
	}
	names := d.behaviours()
	width := utf8.RuneCountInString(wordsBehaviour.in(v))
	for _, n := range names {
		width = max(width, utf8.RuneCountInString(n))
	}
	held := d.held()
	for from := 0; from < len(held); from += aWeek {
		week := held[from:min(from+aWeek, len(held))]
		line := func(label string, cell func(*Plan) string) {
			text := label + strings.Repeat(" ", width-utf8.RuneCountInString(label))
			for _, s := range week {
				text += fmt.Sprintf(" %7s", cell(s))
			}
			b.WriteString(strings.TrimRight(text, " ") + "\n")
		}
		b.WriteString("\n")
		line("", func(s *Plan) string { return s.At.Format("Mon 2") })
		line(wordsBehaviour.in(v), func(s *Plan) string { return s.At.Format("15:04") })
		for _, n := range names {
			line(n, func(s *Plan) string { return firstOf(s.cell(n), ".") })
		}
		line("minutes", func(s *Plan) string { return fmt.Sprintf("%.1f", s.Minutes) })
		if d.warmthKnown() {
			line(wordsWarmth, (*Plan).degrees)
		}
	}
	for _, l := range d.lists(v) {
		b.WriteString("\n" + l.title + "\n")
		for _, s := range l.lines {
			b.WriteString(wrap(s, "  - ", "    "))
		}
	}
	for i, n := range d.remarks(v) {
		if i == 0 {
			b.WriteString("\n")
		}
		b.WriteString(wrap(n, "", ""))
	}
	return b.String()
}

// Markdown is the table as Markdown.
func (d *Days) Markdown() string { return d.MarkdownFor(engine.ForTrainer) }

// MarkdownFor is the table as Markdown, in somebody's words.
func (d *Days) MarkdownFor(v engine.Voice) string {
	if d == nil {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n", mark(d.title(v)))
	for i, c := range inVoice(d.Cautions, v) {
		if i == 0 {
			fmt.Fprintf(&b, "\n## %s\n\n", titleStop)
		}
		fmt.Fprintf(&b, "- %s\n", mark(c))
	}
	held := d.held()
	row := func(label string, cell func(*Plan) string) {
		fmt.Fprintf(&b, "| %s |", mark(label))
		for _, s := range held {
			b.WriteString(strings.TrimRight(" "+mark(cell(s)), " ") + " |")
		}
		b.WriteString("\n")
	}
	if len(held) > 0 {
		fmt.Fprintf(&b, "\n| %s |", wordsBehaviour.in(v))
		for _, s := range held {
			fmt.Fprintf(&b, " %s |", s.At.Format("Mon 2 Jan, 15:04"))
		}
		b.WriteString("\n| --- |" + strings.Repeat(" ---: |", len(held)) + "\n")
	}
	for _, n := range d.behaviours() {
		row(n, func(s *Plan) string { return s.cell(n) })
	}
	if d.warmthKnown() {
		row(wordsWarmth, (*Plan).degrees)
	}
	for _, l := range d.lists(v) {
		fmt.Fprintf(&b, "\n## %s\n\n", l.title)
		for _, s := range l.lines {
			fmt.Fprintf(&b, "- %s\n", mark(s))
		}
	}
	for _, n := range d.remarks(v) {
		fmt.Fprintf(&b, "\n%s\n", mark(n))
	}
	return b.String()
}

// wordsWarmth heads the row that says how warm it will be.
const wordsWarmth = "celsius"

// warmthKnown reports whether somebody said how warm it will be at a session.
func (d *Days) warmthKnown() bool {
	return slices.ContainsFunc(d.held(), func(s *Plan) bool { return s.Celsius != nil })
}

// degrees is how warm it is, "" where nobody said.
func (p *Plan) degrees() string {
	if p.Celsius == nil {
		return ""
	}
	return number(*p.Celsius)
}

func (d *Days) title(v engine.Voice) string {
	n := "no session"
	if held := len(d.held()); held > 0 {
		n = plural(held, "session", "sessions")
	}
	return fmt.Sprintf("%s%s: %s in %s from %s", wordsDays.in(v), d.Dog, n, plural(d.Days, "day", "days"), d.From.Format("Monday 2 January 2006"))
}

// held is the sessions that can be held: all but one that a sign bars.
func (d *Days) held() []*Plan {
	if n := len(d.Sessions); n > 0 && len(d.Sessions[n-1].Referral) > 0 {
		return d.Sessions[:n-1]
	}
	return d.Sessions
}

// behaviours is what comes up in any session, by first appearance.
func (d *Days) behaviours() (names []string) {
	for _, s := range d.Sessions {
		for i := range s.Items {
			if !slices.Contains(names, s.Items[i].Behaviour) {
				names = append(names, s.Items[i].Behaviour)
			}
		}
	}
	return names
}

// cell is a behaviour's trials in a session, with a star where it is there for its review; "" for none.
func (p *Plan) cell(behaviour string) string {
	n := p.trials(behaviour)
	if n == 0 {
		return ""
	}
	if p.reviews(behaviour) {
		return fmt.Sprintf("%d*", n)
	}
	return fmt.Sprint(n)
}

func (p *Plan) reviews(behaviour string) bool {
	return slices.ContainsFunc(p.Items, func(it Item) bool { return it.Behaviour == behaviour && it.Role == string(roleReview) && it.Part == 1 })
}

// titled is a list with its title.
type titled struct {
	title string
	lines []string
}

// lists is what stands below the table: why a dog has no training, and what never comes up.
func (d *Days) lists(v engine.Voice) (out []titled) {
	if n := len(d.held()); n < len(d.Sessions) {
		return []titled{{"NO TRAINING", d.Sessions[n].Referral}}
	}
	var never []string
	for _, l := range d.LeftOut {
		never = append(never, l.Behaviour+": "+l.Reason)
	}
	if title := wordsNever.in(v); title != "" && len(never) > 0 {
		out = append(out, titled{title, never})
	}
	return out
}

// remarks is the notes in somebody's words, behind what the signs in the table mean.
func (d *Days) remarks(v engine.Voice) (out []string) {
	if len(d.held()) == 0 {
		return nil
	}
	if slices.ContainsFunc(d.Sessions, func(s *Plan) bool {
		return slices.ContainsFunc(s.Items, func(it Item) bool { return s.reviews(it.Behaviour) })
	}) {
		out = append(out, wordsReview.in(v)+".")
	}
	if own := wordsCells.in(v); own != "" {
		return append(out, own)
	}
	return append(out, d.Notes...)
}
