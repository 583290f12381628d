package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
)

// checkCall lists the faults of curricula.
type checkCall struct {
	Files  []string `arg:"" name:"file" help:"the curricula"`
	Strict bool     `help:"count warnings as faults"`
	formatFlag
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
	Text      string          `json:"text"`
	Help      string          `json:"help,omitempty"`
	Related   json.RawMessage `json:"related,omitempty"`
	Edits     json.RawMessage `json:"edits,omitempty"`
	History   []string        `json:"history"`
}

func (c *checkCall) Run(w *world) error {
	if err := onceOnly(c.Files...); err != nil {
		return err
	}
	var all dsl.Diagnostics
	var sound []string
	seen := map[string]bool{} // a file that several others use is reported on once
	for _, file := range c.Files {
		house, _, findings, err := readCurriculum(w, file)
		if err != nil {
			return err
		}
		for _, d := range findings {
			if text := d.Text(); !seen[text] {
				seen[text] = true
				all = append(all, d)
			}
		}
		if len(findings) == 0 {
			sound = append(sound, fmt.Sprintf("%s: no faults found. %s.", shownName(file), sizes(house)))
		}
	}
	if c.json() {
		if err := printFindingsJSON(w.stdout, all); err != nil {
			return err
		}
	} else {
		w.stdout.findings(all)
		if len(all) > 0 {
			w.stdout.printf("%s. rung explain CODE says more about a code.\n", tallyOf(all))
		}
		for _, s := range sound {
			w.stdout.printf("%s", wrapped(s, "", "  "))
		}
	}
	if all.HasErrors() || c.Strict && len(all) > 0 {
		return errFaults
	}
	return nil
}

func printFindingsJSON(o *output, all dsl.Diagnostics) error {
	out := struct {
		Findings []finding `json:"findings"`
	}{Findings: make([]finding, len(all))}
	for i, d := range all {
		b, err := json.Marshal(d)
		if err != nil {
			return err
		}
		if err := json.Unmarshal(b, &out.Findings[i]); err != nil {
			return err
		}
		out.Findings[i].History = []string{}
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

// tallyOf counts errors and warnings.
func tallyOf(all dsl.Diagnostics) string {
	errors := errorsIn(all)
	warnings := len(all) - errors
	switch {
	case warnings == 0:
		return count(errors, "error")
	case errors == 0:
		return count(warnings, "warning")
	}
	return count(errors, "error") + " and " + count(warnings, "warning")
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
