package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"syscall"

	"example.com/rung/curriculum"
)

// The exit codes of every call.
const (
	exitFine   = 0 // the answer was given
	exitFaults = 1 // it ran and found faults
	exitFailed = 2 // it could not run
)

// usageError is a mistake in the call itself: what is wrong, and what to write instead.
type usageError struct {
	text string
	next string
}

func (e *usageError) Error() string {
	if e.next == "" {
		return e.text
	}
	return e.text + "\n" + e.next
}

// usagef makes a usageError whose next step is next.
func usagef(next, format string, args ...any) error {
	return &usageError{text: fmt.Sprintf(format, args...), next: next}
}

// onceOnly refuses a call that names standard input more than once among its files: it can be read once only.
func onceOnly(names ...string) error {
	seen := false
	for _, n := range names {
		if n == "-" && seen {
			return usagef("Put one of the two in a file.", "standard input (-) can be read once only")
		}
		seen = seen || n == "-"
	}
	return nil
}

// output is a buffered stream that remembers its first write error, so that printing code need not ask at every line.
type output struct {
	w      *bufio.Writer
	err    error
	colour bool
}

func newOutput(w io.Writer, colour bool) *output {
	return &output{w: bufio.NewWriterSize(w, 64<<10), colour: colour}
}

func (o *output) Write(p []byte) (int, error) {
	n, err := o.w.Write(p)
	if err != nil && o.err == nil {
		o.err = err
	}
	return n, err
}

func (o *output) printf(format string, args ...any) { fmt.Fprintf(o, format, args...) }

func (o *output) line(s string) { io.WriteString(o, s+"\n") }

// flush sends what is buffered. A reader who went away (rung ... | head) is no error of ours.
func (o *output) flush() error {
	if err := o.w.Flush(); err != nil && o.err == nil {
		o.err = err
	}
	if errors.Is(o.err, syscall.EPIPE) {
		return nil
	}
	return o.err
}

// complain prints why a call could not run.
func (o *output) complain(err error) {
	text, next, _ := strings.Cut(err.Error(), "\n")
	o.printf("%s", wrapped(text, o.paint(red, "rung:")+" ", "      "))
	if next != "" {
		o.printf("%s", wrapped(next, "      ", "      "))
	}
}

// json prints v as indented JSON. Signs that browsers mind stay readable.
func (o *output) json(v any) error {
	e := json.NewEncoder(o)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// Three ways to stand out; each is plain where there is no colour.
const (
	bold  = "1"
	red   = "1;31"
	faint = "2"
)

// paint wraps s in the terminal codes of a style.
func (o *output) paint(style, s string) string {
	if !o.colour || s == "" {
		return s
	}
	return "\x1b[" + style + "m" + s + "\x1b[0m"
}

// width is how many columns text for people takes.
const width = 80

// wrapped breaks s at spaces so that no line is longer than width, the first line after first, the others after rest.
// Line breaks in s stay.
func wrapped(s, first, rest string) string {
	var b strings.Builder
	lead := first
	for _, paragraph := range strings.Split(s, "\n") {
		line, empty := lead, true
		for _, word := range strings.Fields(paragraph) {
			if !empty && columns(line)+1+columns(word) > width {
				b.WriteString(strings.TrimRight(line, " ") + "\n")
				line, empty = rest, true
			}
			if !empty {
				line += " "
			}
			line += word
			empty = false
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
		lead = rest
	}
	return b.String()
}

// columns is the width of s on a terminal, for the letters that names and sentences are made of; paint takes none.
func columns(s string) int {
	n, painting := 0, false
	for _, r := range s {
		switch {
		case r == '\x1b':
			painting = true
		case painting:
			painting = r != 'm'
		default:
			n++
		}
	}
	return n
}

// pad fills s with spaces up to n columns.
func pad(s string, n int) string {
	if c := columns(s); c < n {
		return s + strings.Repeat(" ", n-c)
	}
	return s
}

// count is a number with its noun: 1 trial, 2 trials.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// perhaps is a sentence that offers the nearest name, or lists them all where none is near and they are few.
func perhaps(said string, names []string) string {
	if n := curriculum.Nearest(strings.ToLower(said), names); n != "" {
		return "Did you mean " + n + "?"
	}
	if len(names) > 0 && len(names) <= 20 {
		return "Known here: " + strings.Join(names, ", ") + "."
	}
	return ""
}
