package dsl

import (
	"slices"
	"sort"
	"strings"
)

// finding is a fault as it is found: key names its message in a table of codes, and with it the code. A help text is
// looked up under help, or under key + ".help" where there is one.
type finding struct {
	key      string
	args     []string
	span     Span
	context  Span
	help     string
	helpArgs []string
	related  []Related
	edits    []Edit
	warning  bool
}

// reporter collects the findings in one source.
type reporter struct {
	src      *Source
	limits   limits
	found    Diagnostics
	dropped  int          // findings beyond what is kept
	offsets  []int        // where findings were made in the phases before parsing, sorted
	recent   []int        // in this phase
	contexts []Span       // statements
	spoilt   map[int]bool // lines on which a quote or brace is missing: nothing else is said of them
}

// keptFactor findings for each that is handed out are kept, so that those handed out are the first in the text.
const keptFactor = 10

func newReporter(src *Source, l limits) *reporter {
	return &reporter{src: src, limits: l, spoilt: map[int]bool{}}
}

// mergedKeys are slips that people make several times in one line, by the kind of slip: the first is reported, and its
// edits repair them all.
var mergedKeys = map[string]string{"unit-spelled": "unit", "number-word": "window", "out-of": "window", "of-the": "window",
	"at-least": "window", "surplus": "window", "slash": "window", "mark": "mark", "mark-comma": "mark", "mark-spelled": "mark", "list-and": "list", "minus": "minus",
	"capitals": "capitals", "stray": "stray", "look-alike": "name", "underscore": "name", "name-letter": "name", "quote-kind": "quotes"}

func (r *reporter) report(f finding) {
	r.recent = append(r.recent, f.span.From)
	if n := len(r.found) - 1; n >= 0 && mergedKeys[f.key] != "" && mergedKeys[r.found[n].Message.Key] == mergedKeys[f.key] &&
		r.src.lineOf(r.found[n].Span.From) == r.src.lineOf(f.span.From) {
		if len(r.found[n].Edits) == 0 || len(f.edits) == 0 {
			r.found[n].Edits = nil // they would repair a part only
		} else {
			r.found[n].Edits = append(r.found[n].Edits, f.edits...)
		}
		return
	}
	if f.key == "quote-open" || f.key == "expression-start" { // what stands before was not meant as words of the language
		r.spoilt[r.src.lineOf(f.span.From)] = true
		for n := len(r.found); n > 0 && r.src.lineOf(r.found[n-1].Span.From) == r.src.lineOf(f.span.From); n = len(r.found) {
			r.found = r.found[:n-1]
		}
	}
	if f.key != "quote-open" && f.key != "expression-start" && r.spoilt[r.src.lineOf(f.span.From)] {
		return
	}
	if r.full() {
		r.dropped++
		return
	}
	r.found = append(r.found, f.diagnostic(r.src))
}

// full reports whether further findings are only counted.
func (r *reporter) full() bool { return len(r.found) >= keptFactor*max(1, r.limits.diagnostics) }

func (f finding) diagnostic(src *Source) Diagnostic {
	d := Diagnostic{Code: codeIndex().codeOf[f.key], Source: src, Span: f.span, Context: f.context, Message: Message{f.key, f.args},
		Related: f.related, Edits: f.edits}
	if f.warning {
		d.Severity = Warning
	}
	if f.help != "" {
		d.Help = Message{f.help, f.helpArgs}
	} else if _, ok := messageFormat(f.key + ".help"); ok {
		d.Help = Message{f.key + ".help", f.args}
	}
	return d
}

// phase ends a phase: its findings are known to reportedIn from now on.
func (r *reporter) phase() {
	r.offsets = append(r.offsets, r.recent...)
	slices.Sort(r.offsets)
	r.recent = r.recent[:0]
}

// reportedIn reports whether an earlier phase, or this one just now, found something in that piece.
func (r *reporter) reportedIn(s Span) bool {
	i := sort.SearchInts(r.offsets, s.From)
	if i < len(r.offsets) && r.offsets[i] <= r.lineEnd(s.To) {
		return true
	}
	for i := len(r.recent) - 1; i >= 0 && i >= len(r.recent)-4; i-- {
		if r.recent[i] >= s.From && r.recent[i] <= s.To {
			return true
		}
	}
	return false
}

// lineEnd is the offset where the line that holds offset ends: what was left out of a statement may have stood there.
func (r *reporter) lineEnd(at int) int {
	i := r.src.lineOf(at)
	return r.src.starts[i] + len(r.src.lineText(i))
}

// unnamed leaves out what follows from a reserved word that was given as a name: it cannot be used either, and one mistake
// is reported once.
func (r *reporter) unnamed() {
	given := map[string]bool{}
	for _, d := range r.found {
		if d.Message.Key == "name-reserved" {
			given[quoted(d.Message.Args[0])] = true
		}
	}
	r.found = slices.DeleteFunc(r.found, func(d Diagnostic) bool {
		return d.Message.Key == "expected" && given[d.Message.Args[1]] && strings.Contains(d.Message.Args[0], "name")
	})
}

// finish hands the findings out, by place, and no more than asked for.
func (r *reporter) finish() Diagnostics {
	r.unnamed()
	for i := range r.found {
		if d := &r.found[i]; d.Context == (Span{}) {
			j := sort.Search(len(r.contexts), func(j int) bool { return r.contexts[j].From > d.Span.From }) - 1
			if j >= 0 && d.Span.From <= r.contexts[j].To {
				d.Context = r.contexts[j]
			}
		}
	}
	r.found.Sort()
	return r.found.limit(r.limits.diagnostics, r.dropped)
}

// limit keeps the first n and adds one that counts the rest.
func (ds Diagnostics) limit(n, dropped int) Diagnostics {
	if n <= 0 || len(ds) <= n {
		return ds
	}
	rest := len(ds) - n + dropped
	last := ds[n-1]
	more := finding{key: "more", span: Span{last.Span.To, last.Span.To}, args: []string{itoa(rest)}, warning: !ds[n:].HasErrors() && dropped == 0}.diagnostic(last.Source)
	return append(ds[:n:n], more)
}
