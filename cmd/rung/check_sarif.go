package main

import (
	"slices"
	"strings"

	"example.com/rung/dsl"
	"example.com/rung/engine/proof/sarif"
)

// printSARIF prints findings for code hosts, with the pages of their codes.
func printSARIF(o *output, all []checked, left leftOut) error {
	var results []sarif.Result
	var codes []string
	for _, f := range all {
		results = append(results, sarifResult(f))
		codes = append(codes, f.Code)
	}
	slices.Sort(codes)
	var rules []sarif.Rule
	known := pages()
	for _, code := range slices.Compact(codes) {
		i := slices.IndexFunc(known, func(p page) bool { return p.Code == code })
		if i < 0 {
			continue
		}
		level := sarif.Error
		if s := known[i].Severity; s != "" {
			level = sarif.Level(s)
		}
		rules = append(rules, sarif.Rule{ID: code, Title: known[i].Title, Text: known[i].Means, Help: markdown(known[i]), Level: level})
	}
	var failures []sarif.Failure
	for _, f := range left {
		failures = append(failures, sarif.Failure{File: f.File, Text: fullStop(f.Text)})
	}
	return sarif.Write(o, sarif.Tool{Name: "rung", Version: release()}, rules, results, failures...)
}

// markdown is a page with its examples.
func markdown(p page) string {
	out := p.Means
	for _, ex := range []struct{ head, text string }{{"With it", p.Faulty}, {"Without it", p.Repaired}} {
		if text := strings.Trim(ex.text, "\n"); text != "" {
			out += "\n\n" + ex.head + ":\n\n```\n" + text + "\n```"
		}
	}
	return out
}

func sarifResult(f checked) sarif.Result {
	r := sarif.Result{Rule: f.Code, Level: sarif.Level(f.Diagnostic.Severity.String()), Text: fullStop(f.Message.String())}
	help := f.Help.String()
	if f.of != nil {
		help = f.of.Help
		r.Properties = map[string]any{}
		for name, v := range map[string]string{"behaviour": f.of.Behaviour, "step": f.of.Step, "answer": string(f.of.Answer), "because": f.of.Because} {
			if v != "" {
				r.Properties[name] = v
			}
		}
		if len(f.of.History) > 0 {
			r.Properties["history"] = f.of.History
			r.Text += " Shown by: " + strings.Join(f.of.History, " ") + "."
		}
		if len(r.Properties) == 0 {
			r.Properties = nil
		}
	}
	if help != "" {
		r.Text += " " + sentence(help)
	}
	r.Place = sarifPlace(f.Source, f.Span)
	for _, x := range f.Related {
		at := sarifPlace(x.Source, x.Span)
		at.Text = x.Message.String()
		r.Related = append(r.Related, at)
	}
	return r
}

func sarifPlace(src *dsl.Source, at dsl.Span) sarif.Place {
	if src == nil {
		return sarif.Place{}
	}
	p := sarif.Place{File: src.Name}
	p.Line, p.Column = src.Position(at.From)
	p.EndLine, p.EndColumn = src.Position(max(at.From, at.To))
	return p
}

// fullStop is a message with its full stop.
func fullStop(s string) string {
	if s == "" || strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
