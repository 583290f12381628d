package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/example"
)

// tryCall runs the examples of curricula.
type tryCall struct {
	Files   []string `arg:"" name:"file" help:"the curricula"`
	Dogs    string   `placeholder:"FILE" help:"the profiles, as JSON, of dogs that examples name"`
	Only    string   `placeholder:"TEXT" help:"only examples that have this in their name"`
	Suggest bool     `help:"write an example for each rule that none fires and each side that none shows, ready to paste; the report goes to standard error"`
	Doubt   bool     `help:"change the rules one number at a time, and list the changes that no example notices"`
	formatFlag
}

// Validate is called by kong once the flags are read.
func (c *tryCall) Validate() error {
	if c.Suggest && c.Only != "" {
		return usagef("Leave one of them away.", "what --only leaves out would be suggested anew")
	}
	return c.formatFlag.Validate()
}

// tryAnswer is the JSON form: what came of all files together, and the files where there are several.
type tryAnswer struct {
	*tried
	Files   []*tried `json:"files,omitempty"`
	LeftOut leftOut  `json:"left_out,omitempty"`
}

// tried is what came of one file.
type tried struct {
	File string `json:"file,omitempty"`
	*example.Result
	Suggestions []example.Suggestion `json:"suggestions,omitempty"`
	Doubts      *example.Doubts      `json:"doubt,omitempty"`

	house *curriculum.Curriculum
}

func (c *tryCall) Run(w *world) error {
	if err := onceOnly(append([]string{c.Dogs}, c.Files...)...); err != nil {
		return err
	}
	opts := example.Options{Only: c.Only}
	if c.Dogs != "" {
		t := &told{}
		var err error
		if opts.Dogs, err = (historyFlags{Dogs: c.Dogs}).readDogs(w, t); err != nil {
			return err
		}
		t.printReports(w)
	}
	var all []*tried
	var left leftOut
	failed := false
	for _, file := range c.Files {
		t, err := c.try(w, file, opts)
		if err != nil {
			left.add(file, err)
			continue
		}
		failed = failed || t.Failed > 0
		all = append(all, t)
	}
	if c.Only != "" && len(all) > 0 && !slices.ContainsFunc(all, func(t *tried) bool { return len(t.Cases) > 0 }) {
		_ = left.end(w)
		return c.noneNamed(all)
	}
	if err := c.print(w, all, left); err != nil {
		return err
	}
	if len(left) > 0 {
		return left.end(w)
	}
	if failed {
		return errFaults
	}
	return nil
}

// try runs the examples of one file.
func (c *tryCall) try(w *world, file string, opts example.Options) (*tried, error) {
	house, program, err := readProgram(w, file)
	if err != nil {
		return nil, err
	}
	t := &tried{File: shownName(file), house: house, Result: example.Run(program, opts)}
	if c.Suggest {
		t.Suggestions = append(example.Suggest(program, t.Rules.Unfired, false), example.SuggestSides(program, t.Rules.Sides)...)
	}
	if c.Doubt {
		t.Doubts = example.Doubt(program, opts, nil)
	}
	return t, nil
}

// noneNamed is the error where --only matches nothing.
func (c *tryCall) noneNamed(all []*tried) error {
	var names []string
	for _, t := range all {
		for _, e := range t.house.Examples {
			names = append(names, e.Name)
		}
	}
	return usagef(perhaps(c.Only, names), "no example has %q in its name", c.Only)
}

func (c *tryCall) print(w *world, all []*tried, left leftOut) error {
	if c.json() {
		answer := tryAnswer{tried: &tried{Result: together(all)}, Files: all, LeftOut: left}
		if len(all) == 1 {
			answer.tried, answer.Files = all[0], nil
		}
		return w.stdout.json(answer)
	}
	report := w.stdout
	if c.Suggest {
		report = w.stderr
	}
	for i, t := range all {
		if i > 0 {
			report.line("")
		}
		printTried(report, t, c.Only == "")
		if c.Suggest {
			printSuggestions(w.stdout, t)
		}
	}
	if len(all) > 1 {
		printTogether(report, all, c.Only == "")
	}
	return nil
}

// together is what came of all files: what several of them use counts once.
func together(all []*tried) *example.Result {
	var results []*example.Result
	for _, t := range all {
		results = append(results, t.Result)
	}
	return example.Join(results...)
}

// printTogether prints the sums of several files.
func printTogether(o *output, all []*tried, rules bool) {
	r := together(all)
	text := o.paint(bold, "Together") + ", what several files use counted once: " + passedText(o, r)
	if rules && r.Rules.Total > 0 {
		text += "; " + firedText(&r.Rules)
	}
	o.printf("\n%s", wrapped(text+".", "", "  "))
}

// passedText says how many examples passed, and how many failed.
func passedText(o *output, r *example.Result) string {
	text := count(r.Passed, "example") + " passed"
	if r.Failed > 0 {
		text += ", " + o.paint(red, fmt.Sprintf("%d failed", r.Failed))
	}
	return text
}

// firedText says how many rules fired.
func firedText(r *example.Rules) string {
	return fmt.Sprintf("rules: %d of %d fired; lines with rules: %d of %d", r.Fired, r.Total, r.InLines, r.Lines)
}

// printTried prints what came of one file for people, with what its examples say of the rules.
func printTried(o *output, t *tried, rules bool) {
	head := passedText(o, t.Result)
	if len(t.Cases) == 0 {
		head = "there is no example; rung help try shows what one looks like"
	}
	o.printf("%s", wrapped(o.paint(bold, t.File)+": "+head+".", "", "  "))
	for i := range t.Cases {
		if !t.Cases[i].Passed {
			printFailed(o, t, &t.Cases[i])
		}
	}
	if rules { // of some examples it would say little
		printRules(o, t)
	}
	if t.Doubts != nil {
		printDoubts(o, t)
	}
}

// beside is a file's name as it is shown below the name of another: without the folder they share.
func beside(file, other string) string {
	if rel, err := filepath.Rel(filepath.Dir(filepath.FromSlash(other)), filepath.FromSlash(file)); err == nil {
		return filepath.ToSlash(rel)
	}
	return file
}

func printFailed(o *output, t *tried, c *example.Case) {
	file := beside(c.File, t.File)
	o.printf("\n%s", wrapped(fmt.Sprintf("%s %s:%d: %s", o.paint(red, "FAILED"), file, c.Line, c.Title()), "", "  "))
	said := ""
	for i := range c.Failures {
		f := &c.Failures[i]
		text := f.Found
		if f.Expected != "" {
			text = "expected " + f.Expected + "; found: " + f.Found
		}
		o.printf("%s", wrapped(fmt.Sprintf("line %d, column %d: %s", f.Line, f.Column, text), "  ", "    "))
		if p := f.Parted; p != nil {
			o.printf("%s", wrapped(fmt.Sprintf("parted at line %d, column %d: %s", p.Line, p.Column, p.Text), "    ", "      "))
		}
		for _, idle := range f.Idle {
			o.printf("%s", wrapped(idle, "    ", "      "))
		}
		if counts := countsText(f.Why); counts != said { // the same twice says nothing more
			o.printf("%s", counts)
			said = counts
		}
	}
}

// countsText is what the rules of the behaviour's level have counted.
func countsText(why *engine.Why) string {
	if why == nil || len(why.Rules) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString("    the rules there:\n")
	for _, r := range why.Rules {
		var counts []string
		for _, c := range r.Counts {
			counts = append(counts, c.Sentence)
		}
		word := r.Rule
		if word == string(curriculum.StopToday) {
			word = "stop today"
		}
		b.WriteString(wrapped(fmt.Sprintf("%s when %s", word, strings.Join(counts, "; ")), "      ", "        "))
	}
	return b.String()
}

// printRules prints which rules no example fired: a line of the text once, with the behaviours.
func printRules(o *output, t *tried) {
	r := &t.Rules
	if r.Total == 0 {
		return
	}
	o.printf("\n%s", wrapped("R"+firedText(r)[1:]+".", "", "  "))
	type line struct {
		file, text string
		line       int
	}
	var order []line
	where := map[line][]string{}
	for _, u := range r.Unfired {
		if u.Elsewhere {
			continue
		}
		key := line{u.File, u.Text, u.Line}
		if where[key] == nil {
			order = append(order, key)
		}
		where[key] = append(where[key], strings.TrimSuffix(u.Behaviour+" at "+u.Step, " at "))
	}
	if len(order) > 0 {
		o.line("No example fires:")
	}
	for i, k := range order {
		if i == most {
			o.printf("  ... and %s; --format json lists them all\n", count(len(order)-most, "further line"))
			break
		}
		text := k.text + ", " + where[k][0]
		if n := len(where[k]) - 1; n > 0 {
			text += fmt.Sprintf(" and %d more", n)
		}
		o.printf("%s", wrapped(fmt.Sprintf("%s:%d  %s", beside(k.file, t.File), k.line, text), "  ", "    "))
	}
	printSides(o, t)
}

// printSides prints what no example shows of the criteria that were tried.
func printSides(o *output, t *tried) {
	for i, s := range t.Rules.Sides {
		if i == 0 {
			o.line("Of the rules that fired, no example shows:")
		}
		if i == most {
			o.printf("  ... and %s; --format json lists them all\n", count(len(t.Rules.Sides)-most, "further one"))
			break
		}
		where := s.Rule + " when"
		if s.Criterion != "" {
			where = "criterion " + s.Criterion + ":"
		}
		o.printf("%s", wrapped(fmt.Sprintf("%s:%d  %s %s", beside(s.File, t.File), s.Line, where, sideText(s.Part, s.Never)), "  ", "    "))
	}
}

// sideText is the side of a criterion that no example showed.
func sideText(part, never string) string {
	if never == example.Failed {
		return "not " + part
	}
	return part
}

func printDoubts(o *output, t *tried) {
	d := t.Doubts
	text := fmt.Sprintf("Doubt: %s tried, %d noticed by an example", count(d.Changes, "change"), d.Noticed)
	if d.Same > 0 {
		text += fmt.Sprintf(", %d without any difference", d.Same)
	}
	o.printf("\n%s", wrapped(text+fmt.Sprintf(", %d not noticed.", len(d.Unnoticed)), "", "  "))
	before := ""
	for i, c := range d.Unnoticed {
		if i == most {
			o.printf("  ... and %s; --format json lists them all\n", count(len(d.Unnoticed)-most, "further change"))
			break
		}
		head := c.Was
		if c.Behaviour != "" {
			head = strings.TrimSuffix(c.Behaviour+" at "+c.Step, " at ") + ": " + c.Was
		}
		head = wrapped(fmt.Sprintf("%s:%d  %s", beside(c.File, t.File), c.Line, head), "  ", "    ")
		if head != before {
			o.printf("%s", head)
			before = head
		}
		now := c.Now
		if now == "" {
			now = "left out"
		}
		if c.Differs != "" {
			now += "; told apart by " + c.Differs
		}
		o.printf("%s", wrapped(now, "    -> ", "       "))
	}
}

// printSuggestions prints examples ready to paste; where none was found, a remark says so.
func printSuggestions(o *output, t *tried) {
	for _, s := range t.Suggestions {
		if s.Text == "" {
			what := s.Behaviour
			if s.Step != "" {
				what += " at " + s.Step
			}
			rule := s.Rule
			if s.Part != "" {
				rule += " when " + sideText(s.Part, s.Never)
			}
			o.printf("\n%s", wrapped(fmt.Sprintf("%s:%d %s, %s: %s", beside(s.File, t.File), s.Line, what, rule, s.None), "# ", "# "))
			continue
		}
		o.printf("\n%s", s.Text)
	}
}
