package dsl

import (
	"cmp"
	"slices"
	"strings"
)

// Severity says whether a finding keeps the text from being used.
type Severity uint8

const (
	Error Severity = iota
	Warning
	Note // worth knowing; the reader itself makes none
)

// String is "error", "warning" or "note".
func (s Severity) String() string {
	switch s {
	case Warning:
		return "warning"
	case Note:
		return "note"
	}
	return "error"
}

// Diagnostic is one finding. Spans and edits are in Source.
type Diagnostic struct {
	Severity Severity
	Code     string // stable, such as R0102; Explain says more about it
	Source   *Source
	Span     Span // the exact piece
	Context  Span // the statement around it; empty where there is none
	Message  Message
	Help     Message // what to write instead; zero where there is nothing to say
	Related  []Related
	Edits    []Edit // together they repair the fault; none where that is not certain
}

// Message keeps a sentence and what it speaks of apart, so that a program can translate it: Key names a format in the
// table of messages, Args fill its places %s. String is the English sentence.
type Message struct {
	Key  string
	Args []string
}

// IsZero reports whether there is no message.
func (m Message) IsZero() bool { return m.Key == "" }

// String is the message in English.
func (m Message) String() string {
	if m.Key == "" {
		return ""
	}
	format, ok := messageFormat(m.Key)
	if !ok {
		return strings.TrimSpace(m.Key + " " + strings.Join(m.Args, " "))
	}
	return fill(format, m.Args)
}

// fill puts the arguments in the places of %s (the next one) and %[2]s (that one); arguments may be left over.
func fill(format string, args []string) string {
	var b strings.Builder
	next := 0
	for {
		before, rest, ok := strings.Cut(format, "%")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		n := next
		switch {
		case strings.HasPrefix(rest, "s"):
			format = rest[1:]
			next++
		case len(rest) > 3 && rest[0] == '[' && rest[2:4] == "]s":
			n, format = int(rest[1]-'1'), rest[4:]
			next = n + 1
		default:
			b.WriteByte('%')
			format = rest
			continue
		}
		if n >= 0 && n < len(args) {
			b.WriteString(cut(args[n]))
		}
	}
}

// maxArgument characters of an argument are printed: names can be as long as a file.
const maxArgument = 250

func cut(s string) string {
	if len(s) > maxArgument {
		s = s[:runeStart(s, maxArgument)] + "..."
	}
	s, _ = shown(s, 0) // nothing of a text may steer a terminal
	return s
}

// Related is another place that has to do with a finding, such as the first of two declarations.
type Related struct {
	Source  *Source
	Span    Span
	Message Message
}

// Edit replaces a piece of the finding's source.
type Edit struct {
	Span Span
	Text string
}

// Diagnostics are the findings of one run. As an error it is the text form of all of them.
type Diagnostics []Diagnostic

// Sort orders findings by file name, place and code.
func (ds Diagnostics) Sort() {
	slices.SortStableFunc(ds, Compare)
}

// Compare orders findings by file name, place and code.
func Compare(a, b Diagnostic) int {
	return cmp.Or(cmp.Compare(a.Source.name(), b.Source.name()), cmp.Compare(a.Span.From, b.Span.From),
		cmp.Compare(a.Span.To, b.Span.To), cmp.Compare(a.Code, b.Code))
}

// HasErrors reports whether any finding is an error.
func (ds Diagnostics) HasErrors() bool {
	return slices.ContainsFunc(ds, func(d Diagnostic) bool { return d.Severity == Error })
}

// Err is ds as an error if one of its findings is an error, else nil.
func (ds Diagnostics) Err() error {
	if ds.HasErrors() {
		return ds
	}
	return nil
}

// Error is the text form of all findings.
func (ds Diagnostics) Error() string { return strings.TrimSuffix(ds.Text(), "\n") }
