package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/proof"
)

// explainCall prints what a code means.
type explainCall struct {
	Code string `arg:"" optional:"" help:"such as R0102"`
	formatFlag
}

// page is what is known of one code. Faulty and Repaired are whole small files, for codes of curriculum texts.
type page struct {
	Code     string `json:"code"`
	About    string `json:"about"`              // curriculum, check, engine or history
	Severity string `json:"severity,omitempty"` // of a finding of check, unless it is told otherwise
	Title    string `json:"title,omitempty"`
	Means    string `json:"means"`
	Faulty   string `json:"faulty,omitempty"`
	Repaired string `json:"repaired,omitempty"`
}

// pages lists every code of every package, those of texts first.
func pages() []page {
	var out []page
	for _, code := range dsl.Codes() {
		if e, ok := dsl.Explain(code); ok {
			out = append(out, page{Code: e.Code, About: "curriculum", Title: e.Title, Means: e.Means, Faulty: e.Faulty, Repaired: e.Repaired})
		}
	}
	for _, code := range proof.Codes() {
		if e, ok := proof.Explain(code); ok {
			out = append(out, page{e.Code, "check", e.Severity.String(), e.Title, e.Means, e.Faulty, e.Repaired})
		}
	}
	for _, code := range engine.Codes() {
		if means, ok := engine.Explain(code); ok {
			out = append(out, page{Code: code, About: "engine", Means: means})
		}
	}
	for _, code := range history.Codes() {
		if means, ok := history.Explain(code); ok {
			out = append(out, page{Code: code, About: "history", Means: means})
		}
	}
	out = append(out, page{Code: codeLater, About: "history", Means: "Lines of the logs are later than --at. standing and why leave them out, to say how it stood then; plan reads them, as a welfare sign among them must count."})
	rank := map[string]int{"curriculum": 0, "check": 1, "engine": 2, "history": 3}
	slices.SortFunc(out, func(a, b page) int {
		return cmp.Or(cmp.Compare(rank[a.About], rank[b.About]), cmp.Compare(a.Code, b.Code))
	})
	return out
}

func (c *explainCall) Run(w *world) error {
	all := pages()
	if c.Code == "" {
		if c.json() {
			return w.stdout.json(map[string]any{"codes": all})
		}
		listPages(w.stdout, all)
		return nil
	}
	i := slices.IndexFunc(all, func(p page) bool { return strings.EqualFold(p.Code, c.Code) })
	if i < 0 {
		var codes []string
		for _, p := range all {
			codes = append(codes, p.Code)
		}
		next := "rung explain lists them all."
		if n := curriculum.Nearest(c.Code, codes); n != "" {
			next = "Did you mean " + n + "? " + next
		}
		return usagef(next, "there is no code %q", c.Code)
	}
	if c.json() {
		return w.stdout.json(all[i])
	}
	printPage(w.stdout, all[i])
	return nil
}

// headings of the list, by what a code is about.
var headings = map[string]string{
	"curriculum": "Faults of a curriculum's text",
	"check":      "What does not hang together in a curriculum, and what trainers advise against",
	"engine":     "What cannot be evaluated, and what the rules make of a line",
	"history":    "What is wrong with a line of a history or with a profile",
}

func listPages(o *output, all []page) {
	longest := 0
	for _, p := range all {
		longest = max(longest, columns(p.Code))
	}
	about := ""
	for _, p := range all {
		if p.About != about {
			if about != "" {
				o.line("")
			}
			about = p.About
			o.line(o.paint(bold, headings[about]))
		}
		title := p.Title
		if title == "" {
			title = p.Means
		}
		lead := "  " + pad(p.Code, longest) + "  "
		o.printf("%s", wrapped(title, lead, strings.Repeat(" ", columns(lead))))
	}
}

func printPage(o *output, p page) {
	head := p.Code
	if p.Title != "" {
		head += ": " + p.Title
	}
	o.printf("%s", wrapped(o.paint(bold, head), "", ""))
	o.printf("\n%s", wrapped(p.Means, "", ""))
	if p.About == "check" {
		o.printf("\n%s", wrapped(fmt.Sprintf("Severity: %s, unless rung check --severity %s=... says otherwise. To keep it where it stands: allow %s because \"...\"", p.Severity, p.Code, p.Code), "", ""))
	}
	for _, ex := range []struct{ head, text string }{{"With the fault", p.Faulty}, {"Without it", p.Repaired}} {
		if strings.TrimSpace(ex.text) == "" {
			continue
		}
		o.line("\n" + ex.head + "\n")
		for _, line := range strings.Split(strings.Trim(ex.text, "\n"), "\n") {
			o.line(strings.TrimRight("  "+line, " "))
		}
	}
}
