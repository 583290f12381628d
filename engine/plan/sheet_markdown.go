package plan

import (
	"fmt"
	"strings"

	"example.com/rung/engine"
)

// Markdown is the plan as a Markdown page.
func (p *Plan) Markdown() string { return p.MarkdownFor(engine.ForTrainer) }

// MarkdownFor is the Markdown page in somebody's words.
func (p *Plan) MarkdownFor(v engine.Voice) string {
	if p == nil {
		return ""
	}
	s := p.sheet(v)
	var b strings.Builder
	para := func(format string, args ...any) { fmt.Fprintf(&b, "\n"+format+"\n", args...) }
	list := func(title string, lines []string) {
		if len(lines) > 0 {
			para("## %s\n", title)
		}
		for _, l := range lines {
			fmt.Fprintf(&b, "- %s\n", mark(l))
		}
	}
	fmt.Fprintf(&b, "# %s\n", mark(s.title))
	head := make([]string, len(s.head))
	for i, l := range s.head {
		head[i] = mark(l)
	}
	para("%s", strings.Join(head, "  \n"))
	list(titleNone, s.referral)
	list(titleStop, s.cautions)
	if s.food != "" {
		para("**Food:** %s", mark(s.food))
	}
	if s.kit != "" {
		para("**Kit:** %s", mark(s.kit))
	}
	for _, it := range s.items {
		para("## %d. %s\n\n| | |\n| --- | --- |", it.number, mark(it.title))
		for _, r := range it.rows {
			fmt.Fprintf(&b, "| %s | %s |\n", r.label, mark(r.text))
		}
	}
	if s.empty != "" {
		para("%s", s.empty)
	}
	if s.end != "" {
		para("**End:** %s", s.end)
		for _, l := range s.note {
			para("%s", mark(l))
		}
	}
	if s.next != "" {
		para("**%s:** %s", titleNext, mark(s.next))
	}
	list(titleNotes, s.notes)
	list(titleLeft, s.leftOut)
	return b.String()
}

// mark keeps an author's words from being read as Markdown or HTML.
func mark(s string) string {
	return markdown.Replace(strings.ReplaceAll(s, "\n", " "))
}

var markdown = strings.NewReplacer(`\`, `\\`, "|", `\|`, "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "]", `\]`, "<", "&lt;", ">", "&gt;", "&", "&amp;", "#", `\#`)
