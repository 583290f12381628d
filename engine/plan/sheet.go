package plan

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"
)

// sheetWidth is the columns of the text form.
const sheetWidth = 80

// row is one labelled line of an item.
type row struct{ label, text string }

// rows is an item in the order in which it is needed in the field; empty ones are left out. A later part says only what
// differs from the first, which is item number first.
func (it *Item) rows(first int) []row {
	var help []string
	if len(it.Prompts) > 0 {
		help = append(help, "part of the step: "+list(it.Prompts))
	}
	if len(it.Help) > 0 {
		help = append(help, "if the dog is stuck, and only after it had its chance: "+strings.Join(it.Help, ", then "))
	}
	var cues []string
	for _, q := range it.Cues {
		if q.Kind == "word" {
			cues = append(cues, `"`+q.Text+`"`)
		} else {
			cues = append(cues, q.Kind+": "+q.Text)
		}
	}
	cue := strings.Join(cues, ", ")
	if it.CueLater && cue != "" {
		cue = "none yet; " + cue + " comes at a later step"
	}
	step := it.Step
	if it.StepTitle != "" {
		step += ": " + it.StepTitle
	}
	mark := it.MarkerText
	if mark == "" {
		mark = it.Marker
	}
	switch {
	case mark == "":
	case it.Releases:
		mark = `"` + mark + `", then the exercise is over`
	default:
		mark = `"` + mark + `", and the dog stays in work`
	}
	pay := it.PayWords
	if t := it.times(); t != "" {
		pay += ": " + t
	}
	if it.Food != "" && it.Pieces > 0 {
		pay += "; " + plural(it.Pieces, "piece", "pieces") + " of " + it.Food
		if it.Extra {
			pay += " (extra)"
		}
	}
	if it.Pay != "" {
		pay += "; " + it.Pay
	}
	trials := row{labelTrials.trainer, fmt.Sprintf("%d   %s", it.Trials, strings.TrimSpace(strings.Repeat("[ ] ", it.Trials)))}
	if it.Part > 1 {
		out := []row{{"As before", fmt.Sprintf(wordsBefore.trainer, first)}, trials, {labelPay.trainer, pay}}
		if it.Slot != "" {
			out = append(out, row{"Why", it.Reason})
		}
		return out
	}
	all := []row{
		{labelStep.trainer, step},
		{"Level", levelWords(it.Level, it.LevelText)},
		trials,
		{labelSetUp.trainer, it.SetUp},
		{labelSide.trainer, it.Side},
		{labelKit.trainer, list(it.Equipment)},
		{labelCue.trainer, cue},
		{labelDo.trainer, it.Do},
		{labelCounts.trainer, it.Success},
		{labelHelp.trainer, strings.Join(help, "; ")},
		{labelMark.trainer, mark},
		{labelPay.trainer, pay},
		{labelAdvance.trainer, it.Card.Advance},
		{labelEase.trainer, it.Card.Ease},
		{"Half-way", it.Card.Split},
		{labelStop.trainer, it.Card.Stop},
		{"Ask a senior", it.Card.Flag},
	}
	for _, c := range it.Cautions {
		all = append(all, row{labelMind.trainer, c})
	}
	all = append(all, row{"Why", it.Reason})
	out := all[:0]
	for _, r := range all {
		if r.text != "" {
			out = append(out, r)
		}
	}
	return out
}

// first is the number on the sheet of the first part of an item.
func (p *Plan) first(it *Item) int {
	for i := range p.Items {
		if p.Items[i].Behaviour == it.Behaviour {
			return i + 1
		}
	}
	return 0
}

// times is the seconds that a watch decides.
func (it *Item) times() string {
	seconds := func(list []float64, join string) string {
		parts := make([]string, len(list))
		for i, v := range list {
			parts[i] = number(v)
		}
		return strings.Join(parts, join)
	}
	switch {
	case len(it.PayAfter) > 0:
		return seconds(it.PayAfter, ", ") + " s"
	case len(it.PayAt) > 0 && it.PayWords != payHoldEnd:
		parts := make([]string, len(it.PayAt))
		for i, at := range it.PayAt {
			parts[i] = seconds(at, " and ")
		}
		return strings.Join(parts, "; ") + " s"
	}
	return ""
}

// number is v with at most two decimals and no needless noughts.
func number(v float64) string {
	return strings.TrimRight(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
}

// head is the lines that say whose session it is.
func (p *Plan) head() []string {
	where := []string{}
	for _, x := range [][2]string{{"place", p.Place}, {"handler", p.Handler}, {"session", p.Session}} {
		if x[1] != "" {
			where = append(where, x[0]+" "+x[1])
		}
	}
	lines := []string{p.At.Format("Monday 2 January 2006, 15:04 -07:00")}
	if len(where) > 0 {
		lines[0] += "; " + strings.Join(where, ", ")
	}
	if len(p.Items) > 0 {
		lines = append(lines, fmt.Sprintf("About %s, %s, %s", minutes(p.Minutes), plural(p.Trials, "trial", "trials"), plural(p.Pieces, "reward at most", "rewards at most")))
	}
	name := p.Curriculum
	if p.Edition != "" {
		name += ", edition " + p.Edition
	}
	print := p.Fingerprint
	if len(print) > 8 {
		print = print[:8]
	}
	if print != "" {
		name += ", " + print
	}
	return append(lines, fmt.Sprintf("Curriculum %s; seed %d", strings.TrimPrefix(name, ", "), p.Seed))
}

func minutes(m float64) string {
	if m < 1 {
		return fmt.Sprintf("%.0f seconds", math.Ceil(m*60))
	}
	if up := math.Ceil(m*2) / 2; up != 1 {
		return number(up) + " minutes"
	}
	return "1 minute"
}

// pot is the food to put ready.
func (p *Plan) pot() string {
	var parts []string
	for _, f := range p.Food {
		t := plural(f.Pieces, "piece", "pieces") + " of " + f.Food
		var about []string
		if f.Kcal > 0 {
			about = append(about, number(f.Kcal)+" kcal")
		}
		if f.Grams > 0 {
			about = append(about, number(f.Grams)+" g")
		}
		if f.Extra {
			about = append(about, "extra")
		} else {
			about = append(about, "from the day's ration")
		}
		parts = append(parts, t+" ("+strings.Join(about, ", ")+")")
	}
	if len(parts) == 0 {
		if p.Pieces == 0 {
			return ""
		}
		parts = append(parts, plural(p.Pieces, "piece", "pieces"))
	}
	return strings.Join(parts, "; ") + ". Stop when the pot is empty."
}

// title is an item's heading.
func (it *Item) title() string {
	t := it.Behaviour
	if it.Title != "" {
		t += ": " + it.Title
	}
	if it.Parts > 1 {
		t += fmt.Sprintf(" (part %d of %d)", it.Part, it.Parts)
	}
	return t
}

// payHoldEnd is the schedule in words where no hold of an item is paid before its end.
const payHoldEnd = "feed every success, at the end of its hold"

const (
	endLine  = "Finish while the dog is keen, on something easy and well paid; then water, and time to sniff or play."
	noteLine = "Note in five words: ____________________  Times the dog left: ____"
)

// Text is the plan as a field sheet for reading at arm's length, at most 80 columns wide.
func (p *Plan) Text() string {
	var b strings.Builder
	put := func(indent, text string) {
		b.WriteString(wrap(text, indent, strings.Repeat(" ", utf8.RuneCountInString(indent))))
	}
	fmt.Fprintf(&b, "Session for %s\n", p.Dog)
	for _, l := range p.head() {
		put("", l)
	}
	if len(p.Referral) > 0 {
		b.WriteString("\nNO TRAINING\n")
		for _, l := range p.Referral {
			put("  - ", l)
		}
		return b.String()
	}
	b.WriteString("\nSTOP AND MIND\n")
	for _, l := range p.Cautions {
		put("  - ", l)
	}
	b.WriteString("\n")
	if pot := p.pot(); pot != "" {
		put("FOOD  ", pot)
	}
	if len(p.Kit) > 0 {
		put("KIT   ", list(p.Kit))
	}
	for i := range p.Items {
		it := &p.Items[i]
		b.WriteString("\n")
		put(fmt.Sprintf("%2d. ", i+1), it.title())
		for _, r := range it.rows(p.first(it)) {
			put(fmt.Sprintf("    %-13s", r.label), r.text)
		}
	}
	if len(p.Items) > 0 {
		b.WriteString("\n")
		put("END   ", endLine)
		put("      ", noteLine)
	}
	if len(p.Notes) > 0 {
		b.WriteString("\nNOTES\n")
		for _, n := range p.Notes {
			put("  - ", n)
		}
	}
	if len(p.LeftOut) > 0 {
		b.WriteString("\nLEFT OUT\n")
		for _, l := range p.LeftOut {
			put("  - ", l.Behaviour+": "+l.Reason)
		}
	}
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

// Markdown is the plan as a Markdown page.
func (p *Plan) Markdown() string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Session for %s\n\n", mark(p.Dog))
	for i, l := range p.head() {
		if i > 0 {
			b.WriteString("  \n")
		}
		b.WriteString(mark(l))
	}
	b.WriteString("\n\n")
	bullets := func(title string, lines []string) {
		if len(lines) == 0 {
			return
		}
		fmt.Fprintf(&b, "## %s\n\n", title)
		for _, l := range lines {
			fmt.Fprintf(&b, "- %s\n", mark(l))
		}
		b.WriteString("\n")
	}
	if len(p.Referral) > 0 {
		bullets("No training", p.Referral)
		return strings.TrimRight(b.String(), "\n") + "\n"
	}
	bullets("Stop and mind", p.Cautions)
	if pot := p.pot(); pot != "" {
		fmt.Fprintf(&b, "**Food:** %s\n\n", mark(pot))
	}
	if len(p.Kit) > 0 {
		fmt.Fprintf(&b, "**Kit:** %s\n\n", mark(list(p.Kit)))
	}
	for i := range p.Items {
		it := &p.Items[i]
		fmt.Fprintf(&b, "## %d. %s\n\n| | |\n| --- | --- |\n", i+1, mark(it.title()))
		for _, r := range it.rows(p.first(it)) {
			fmt.Fprintf(&b, "| %s | %s |\n", r.label, mark(r.text))
		}
		b.WriteString("\n")
	}
	if len(p.Items) > 0 {
		fmt.Fprintf(&b, "**End:** %s\n\n%s\n\n", endLine, mark(noteLine))
	}
	bullets("Notes", p.Notes)
	var left []string
	for _, l := range p.LeftOut {
		left = append(left, l.Behaviour+": "+l.Reason)
	}
	bullets("Left out", left)
	return strings.TrimRight(b.String(), "\n") + "\n"
}

// mark keeps an author's words from being read as Markdown or HTML.
func mark(s string) string {
	return markdown.Replace(strings.ReplaceAll(s, "\n", " "))
}

var markdown = strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", "&lt;", ">", "&gt;", "&", "&amp;", "#", `\#`)

// WriteJSON writes the plan as indented JSON.
func (p *Plan) WriteJSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(p)
}
