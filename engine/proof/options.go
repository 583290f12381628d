package proof

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// Severity is how bad a finding is.
type Severity uint8

const (
	Error   Severity = iota // it cannot be meant
	Warning                 // somebody should look
	Note                    // worth knowing
	Off                     // not looked at
)

var severityNames = [...]string{Error: "error", Warning: "warning", Note: "note", Off: "off"}

// String is "error", "warning", "note" or "off".
func (s Severity) String() string { return severityNames[min(s, Off)] }

// ParseSeverity reads "error", "warning", "note" or "off".
func ParseSeverity(s string) (Severity, bool) {
	i := slices.Index(severityNames[:], s)
	return Severity(max(i, 0)), i >= 0
}

// Options change what Check looks at. The zero value is the usual check.
type Options struct {
	// Severity by code, for those that are not to be as severe as their page says.
	Severity map[string]Severity
	// States that one machine of rules may have before the check gives up on proving; 0 means DefaultStates.
	States int
	// Functions are those of the host program that conditions in braces may call, as they were given to the reader and to
	// the engine. They are not called: a condition with one may hold or not at any trial.
	Functions []expression.Function
}

// DefaultStates bounds the memory of one machine to some tens of megabytes; the rules that people write need a few
// thousand.
const DefaultStates = 200_000

// Set reads "CODE=error", "CODE=warning", "CODE=note" or "CODE=off" into Severity.
func (o *Options) Set(text string) error {
	code, word, ok := strings.Cut(text, "=")
	if !ok {
		return fmt.Errorf("%q is no CODE=SEVERITY, such as one-way=off", text)
	}
	code, word = strings.TrimSpace(code), strings.TrimSpace(word)
	if _, known := Explain(code); !known {
		next := ""
		if n := curriculum.Nearest(code, Codes()); n != "" {
			next = "; did you mean " + n + "?"
		}
		return fmt.Errorf("there is no finding %q%s", code, next)
	}
	s, ok := ParseSeverity(word)
	if !ok {
		return fmt.Errorf("%q is no severity: error, warning, note or off", word)
	}
	if o.Severity == nil {
		o.Severity = map[string]Severity{}
	}
	o.Severity[code] = s
	return nil
}

// SetAll reads CODE=SEVERITY, one a line, as Set does; what stands behind a # is a remark. An error says which line.
func (o *Options) SetAll(text string) error {
	for i, line := range strings.Split(strings.TrimPrefix(text, "\ufeff"), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		if err := o.Set(line); err != nil {
			return fmt.Errorf("line %d: %w", i+1, err)
		}
	}
	return nil
}

// severityOf is the severity of a code under these options.
func (o Options) severityOf(code string) Severity {
	if s, ok := o.Severity[code]; ok {
		return s
	}
	return codeIndex()[code].Severity
}

// states is the budget for one machine.
func (o Options) states() int {
	if o.States > 0 {
		return o.States
	}
	return DefaultStates
}
