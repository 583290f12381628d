package main

import (
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/proof"
)

// checkCall lists the faults of curricula, and what in them does not hang together.
type checkCall struct {
	Files      []string `arg:"" name:"file" help:"the curricula"`
	Strict     bool     `help:"count every finding as a fault"`
	Severity   []string `placeholder:"CODE=SEVERITY" sep:"," help:"how bad a finding is: error, warning, note or off; several with commas or by repeating"`
	Severities string   `placeholder:"FILE" help:"a file of such lines, CODE=SEVERITY, with remarks behind #; --severity goes before it"`
	Format     string   `default:"text" placeholder:"FORMAT" help:"text for people (the default), json for programs, or sarif for code hosts"`

	options proof.Options
}

// Validate is called by kong once the flags are read.
func (c *checkCall) Validate() error {
	for _, s := range c.Severity {
		if err := c.options.Set(s); err != nil {
			return usagef("Such as: --severity one-way=off. rung explain lists the codes.", "%s", err)
		}
	}
	return oneFormat(c.Format, "text", "json", "sarif")
}

// checked is a finding ready to print: of the reader or the engine (Of is nil) or of the whole curriculum.
type checked struct {
	dsl.Diagnostic
	of *proof.Finding
}

func (c *checkCall) Run(w *world) error {
	if err := onceOnly(c.Files...); err != nil {
		return err
	}
	if err := c.readSeverities(); err != nil {
		return err
	}
	var all []checked
	var sound []string
	var left leftOut
	seen := map[string]bool{} // a file that several others use is reported on once
	for _, file := range c.Files {
		house, program, findings, err := readCurriculum(w, file)
		if err != nil {
			left.add(file, err)
			continue
		}
		found := c.look(w, program, findings)
		for _, f := range found {
			if text := f.Text(); !seen[text] {
				seen[text] = true
				all = append(all, f)
			}
		}
		if len(found) == 0 {
			sound = append(sound, fmt.Sprintf("%s: no faults found. %s.", shownName(file), sizes(house)))
		}
	}
	if err := c.print(w, all, sound, left); err != nil {
		return err
	}
	if len(left) > 0 {
		return left.end(w)
	}
	if c.Strict && len(all) > 0 || slices.ContainsFunc(all, func(f checked) bool { return f.Diagnostic.Severity == dsl.Error }) {
		return errFaults
	}
	return nil
}

// readSeverities puts what the file says under what the flags say.
func (c *checkCall) readSeverities() error {
	if c.Severities == "" {
		return nil
	}
	text, err := os.ReadFile(c.Severities)
	if err != nil {
		return plainly(c.Severities, err)
	}
	var o proof.Options
	if err := o.SetAll(string(text)); err != nil {
		return usagef("A line is such as: one-way=off # seniors stand beside. rung explain lists the codes.", "%s, %s", c.Severities, err)
	}
	if o.Severity != nil {
		maps.Copy(o.Severity, c.options.Severity)
		c.options.Severity = o.Severity
	}
	return nil
}

// look adds to what the reader found what the whole curriculum gives, all sorted by place.
func (c *checkCall) look(w *world, program *engine.Program, findings dsl.Diagnostics) []checked {
	out := make([]checked, len(findings))
	for i, d := range findings {
		out[i] = checked{Diagnostic: d}
	}
	if program == nil {
		return out
	}
	places := newPlaces(w.stdinText)
	for _, f := range proof.Check(program, c.options) {
		out = append(out, checked{places.diagnostic(f), &f})
	}
	slices.SortStableFunc(out, func(a, b checked) int { return dsl.Compare(a.Diagnostic, b.Diagnostic) })
	return out
}

// places turns places of a curriculum into spans of its texts.
type places struct {
	stdin string
	texts map[string]*dsl.Source
}

func newPlaces(stdin string) *places { return &places{stdin, map[string]*dsl.Source{}} }

// span is a place as a piece of a text, up to the end of the statement. Without a place there is no text.
func (p *places) span(at curriculum.Pos) (*dsl.Source, dsl.Span) {
	if at.Line == 0 {
		return nil, dsl.Span{}
	}
	src, ok := p.texts[at.File]
	if !ok {
		src = sourceOf(at.File, p.stdin)
		p.texts[at.File] = src
	}
	from := offsetOf(src.Text, at.Line, at.Column)
	return src, dsl.Span{From: from, To: endOfStatement(src.Text, from)}
}

// diagnostic puts a finding into the reader's shape. What shows it and where else it holds follow the help.
func (p *places) diagnostic(f proof.Finding) dsl.Diagnostic {
	d := dsl.Diagnostic{Code: f.Code, Severity: severities[f.Severity], Message: dsl.Message{Key: f.Text}}
	d.Source, d.Span = p.span(f.Pos)
	var more []string
	add := func(lead, text string) {
		if text != "" {
			more = append(more, lead+text)
		}
	}
	add("", f.Help)
	add("shown by: ", strings.Join(f.History, " "))
	if f.Answer == proof.NotProved {
		add("not proved: ", f.Because)
	} else {
		add("", f.Because)
	}
	var also []string
	for _, x := range f.Also {
		also = append(also, x.String())
	}
	add("also: ", strings.Join(also, ", "))
	d.Help = dsl.Message{Key: strings.Join(more, "\n      = ")}
	for _, r := range f.Related {
		if src, at := p.span(r.Pos); src != nil {
			d.Related = append(d.Related, dsl.Related{Source: src, Span: at, Message: dsl.Message{Key: r.Text}})
		}
	}
	return d
}

var severities = map[proof.Severity]dsl.Severity{proof.Error: dsl.Error, proof.Warning: dsl.Warning, proof.Note: dsl.Note}

// maxPrinted findings are printed for people: nobody reads more at once.
const maxPrinted = 100

func (c *checkCall) print(w *world, all []checked, sound []string, left leftOut) error {
	switch c.Format {
	case "json":
		return printFindingsJSON(w.stdout, all, left)
	case "sarif":
		return printSARIF(w.stdout, all, left)
	}
	ds := make(dsl.Diagnostics, len(all))
	lints := false
	for i, f := range all {
		ds[i] = f.Diagnostic
		lints = lints || f.of != nil
	}
	w.stdout.findings(ds[:min(len(ds), maxPrinted)])
	if n := len(ds) - maxPrinted; n > 0 {
		w.stdout.printf("and %d more; --format json lists them all.\n", n)
	}
	if len(all) > 0 {
		w.stdout.printf("%s", wrapped(tallyOf(ds)+". rung explain CODE says more about a code.", "", ""))
		if lints {
			w.stdout.printf("%s", wrapped("What is meant as it stands may be kept, with a reason, where it stands: allow CODE because \"...\"", "", ""))
		}
	}
	for _, s := range sound {
		w.stdout.printf("%s", wrapped(s, "", "  "))
	}
	return nil
}

// finding is a finding as JSON has it. History is the shortest run of trials that shows it, for findings about rules
// that do not go together.
type finding struct {
	Code      string          `json:"code"`
	Severity  string          `json:"severity"`
	File      string          `json:"file"`
	Line      int             `json:"line"`
	Column    int             `json:"column"`
	EndLine   int             `json:"endLine"`
	EndColumn int             `json:"endColumn"`
	Behaviour string          `json:"behaviour,omitempty"`
	Step      string          `json:"step,omitempty"`
	With      []string        `json:"with,omitempty"`
	Text      string          `json:"text"`
	Help      string          `json:"help,omitempty"`
	Answer    string          `json:"answer,omitempty"`
	Because   string          `json:"because,omitempty"`
	Also      []also          `json:"also,omitempty"`
	Related   json.RawMessage `json:"related,omitempty"`
	Edits     json.RawMessage `json:"edits,omitempty"`
	History   []string        `json:"history"`
}

type also struct {
	Behaviour string `json:"behaviour"`
	Step      string `json:"step,omitempty"`
}

func printFindingsJSON(o *output, all []checked, left leftOut) error {
	out := struct {
		Findings []finding `json:"findings"`
		LeftOut  leftOut   `json:"left_out,omitempty"`
	}{make([]finding, len(all)), left}
	for i, f := range all {
		b, err := json.Marshal(f.Diagnostic)
		if err != nil {
			return err
		}
		x := &out.Findings[i]
		if err := json.Unmarshal(b, x); err != nil {
			return err
		}
		x.History = []string{}
		if f.of == nil {
			continue
		}
		x.Behaviour, x.Step, x.With, x.Help = f.of.Behaviour, f.of.Step, f.of.With, f.of.Help
		x.Answer, x.Because = string(f.of.Answer), f.of.Because
		for _, w := range f.of.Also {
			x.Also = append(x.Also, also(w))
		}
		x.History = append(x.History, f.of.History...)
	}
	return o.json(out)
}

// findings prints findings for people, the place standing out on a terminal. Sentences are wrapped, lines of the text
// are not.
func (o *output) findings(all dsl.Diagnostics) {
	for _, d := range all {
		for i, line := range strings.Split(strings.TrimRight(d.Text(), "\n"), "\n") {
			number, marks, excerpt := strings.Cut(line, " | ")
			excerpt = excerpt && strings.Trim(number, " 0123456789") == ""
			indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
			switch {
			case excerpt && strings.Trim(marks, " ^") == "" && strings.Contains(marks, "^"):
				o.line(number + " | " + o.paint(red, marks))
			case excerpt:
				o.line(line)
			case i == 0:
				o.printf("%s", wrapped(o.paint(bold, line), "", "    "))
			default:
				o.printf("%s", wrapped(line, indent, indent+"  "))
			}
		}
		o.line("")
	}
}

// tallyOf counts errors, warnings and notes.
func tallyOf(all dsl.Diagnostics) string {
	var parts []string
	for _, s := range []dsl.Severity{dsl.Error, dsl.Warning, dsl.Note} {
		n := 0
		for _, d := range all {
			if d.Severity == s {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, count(n, s.String()))
		}
	}
	if n := len(parts); n > 1 {
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	return strings.Join(parts, "")
}

// sizes says how much a curriculum holds.
func sizes(c *curriculum.Curriculum) string {
	steps, levels := 0, 0
	for _, b := range c.Behaviours {
		steps += len(b.Steps)
		for _, s := range b.Steps {
			levels += len(s.Levels)
		}
	}
	return fmt.Sprintf("%s, %s, %s", count(len(c.Behaviours), "behaviour"), count(steps, "step"), count(levels, "level"))
}
