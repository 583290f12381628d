package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
	"example.com/rung/engine/proof"
)

// explainCall prints what a code means.
type explainCall struct {
	Codes []string `arg:"" optional:"" name:"code" help:"such as R0102"`
	formatFlag
}

// page is what is known of one code. Faulty and Repaired are whole small files, for codes of curriculum texts.
type page struct {
	Code     string `json:"code"`
	About    string `json:"about"`              // curriculum, check, engine, history or plan
	Severity string `json:"severity,omitempty"` // of a finding of check, unless it is told otherwise
	Title    string `json:"title,omitempty"`
	Means    string `json:"means"`
	Faulty   string `json:"faulty,omitempty"`
	Repaired string `json:"repaired,omitempty"`
	Also     []page `json:"also,omitempty"` // what the same word means elsewhere
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
			out = append(out, page{Code: e.Code, About: "check", Severity: e.Severity.String(), Title: e.Title, Means: e.Means, Faulty: e.Faulty, Repaired: e.Repaired})
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
	for _, code := range plan.Codes() {
		if means, ok := plan.Explain(code); ok {
			out = append(out, page{Code: string(code), About: "plan", Means: means})
		}
	}
	out = append(out, page{Code: codeLater, About: "history", Means: "Lines of the logs are later than --at. standing and why leave them out, to say how it stood then; plan reads them, as a welfare sign among them must count."})
	rank := map[string]int{"curriculum": 0, "check": 1, "engine": 2, "history": 3, "plan": 4}
	slices.SortFunc(out, func(a, b page) int {
		return cmp.Or(cmp.Compare(rank[a.About], rank[b.About]), cmp.Compare(a.Code, b.Code))
	})
	return out
}

func (c *explainCall) Run(w *world) error {
	all := pages()
	if len(c.Codes) == 0 {
		if c.json() {
			return w.stdout.json(map[string]any{"codes": all})
		}
		listPages(w.stdout, all)
		return nil
	}
	found, err := pagesOf(all, c.Codes)
	if err != nil {
		return err
	}
	switch {
	case c.json() && len(found) == 1:
		return w.stdout.json(found[0])
	case c.json():
		return w.stdout.json(map[string]any{"codes": found})
	}
	for i, p := range found {
		if i > 0 {
			w.stdout.line("")
		}
		printPage(w.stdout, p)
	}
	return nil
}

// pagesOf are the pages of codes, in the order asked for, each once. Those that are none are named in the error, with what
// is near.
func pagesOf(all []page, codes []string) (found []page, err error) {
	var known, unknown, near []string
	for _, p := range all {
		known = append(known, p.Code)
	}
	done := map[string]bool{}
	for _, code := range codes {
		code = strings.Trim(code, ":,;.") // as it stands in a report
		key := strings.ToLower(code)
		if done[key] {
			continue
		}
		done[key] = true
		n := len(found)
		for _, p := range all {
			switch {
			case !strings.EqualFold(p.Code, code):
			case len(found) > n:
				found[n].Also = append(found[n].Also, p)
			default:
				found = append(found, p)
			}
		}
		if len(found) == n {
			unknown = append(unknown, strconv.Quote(code))
			if meant := nearCode(code, known); meant != "" && !slices.Contains(near, meant) {
				near = append(near, meant)
			}
		}
	}
	if len(unknown) == 0 {
		return found, nil
	}
	next := "rung explain lists them all."
	if len(near) > 0 {
		next = "Did you mean " + strings.Join(near, ", ") + "? " + next
	}
	return nil, usagef(next, "there is no code %s", strings.Join(unknown, ", "))
}

// nearCode is the code that was probably meant: also by its number alone, and by one word of a name of several.
func nearCode(code string, known []string) string {
	if n, err := strconv.Atoi(strings.TrimLeft(code, "rR")); err == nil {
		if full := fmt.Sprintf("R%04d", n); slices.Contains(known, full) {
			return full
		}
	}
	if near := curriculum.Nearest(code, known); near != "" {
		return near
	}
	var with []string
	for _, k := range known {
		if slices.Contains(strings.Split(k, "-"), strings.ToLower(code)) {
			with = append(with, k)
		}
	}
	return strings.Join(with[:min(len(with), 3)], ", ")
}

// headings of the list, by what a code is about.
var headings = map[string]string{
	"curriculum": "Faults of a curriculum's text",
	"check":      "What does not hang together in a curriculum, and what trainers advise against",
	"engine":     "What cannot be evaluated, and what the rules make of a line",
	"history":    "What is wrong with a line of a history or with a profile",
	"plan":       "Why a plan leaves a behaviour out, and what an example may ask behind because",
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
	switch {
	case p.Title != "":
		head += ": " + p.Title
	case p.About == "plan":
		head += ": why a plan leaves a behaviour out"
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
	for _, also := range p.Also {
		o.line("")
		printPage(o, also)
	}
}
