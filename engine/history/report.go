package history

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/rung/engine"
)

// LineError is the first line that cannot be used, where Options.Strict stops at it.
type LineError struct{ engine.Report }

// Error is the report on one line.
func (e *LineError) Error() string { return ReportText(e.Report) }

// ReportText is a report on one line: "okapi.jsonl:7:14: ... [log-outcome]".
func ReportText(r engine.Report) string {
	var b strings.Builder
	b.WriteString(r.Source)
	if r.Line > 0 {
		fmt.Fprintf(&b, ":%d", r.Line)
		if r.Column > 0 {
			fmt.Fprintf(&b, ":%d", r.Column)
		}
	}
	if b.Len() > 0 { // a trial that a program records has no place of its own
		b.WriteString(": ")
	}
	fmt.Fprintf(&b, "%s [%s]", r.Text, r.Code)
	return b.String()
}

// slip is one thing wrong with a line; at is its byte offset in the line, or -1 where no piece is to blame.
type slip struct {
	at   int
	code string
	text string
}

func slipf(at int, code, format string, args ...any) *slip {
	return &slip{at, code, fmt.Sprintf(format, args...)}
}

// sink collects what one source has to report.
type sink struct {
	source  string
	opts    Options
	reports []engine.Report
	unread  int // unusable lines beyond the limit
	mere    int // mere reports beyond the limit
	once    map[string]bool
}

// unusable reports a line that was not read. Under Strict it is also the error to stop at.
func (k *sink) unusable(line, column int, code, text string) error {
	r := engine.Report{Source: k.source, Line: line, Column: column, Code: code, Text: text, Unusable: true}
	if k.opts.Strict {
		k.reports = append(k.reports, r)
		return &LineError{r}
	}
	if len(k.reports) >= k.opts.maxReports() {
		k.unread++
		return nil
	}
	k.reports = append(k.reports, r)
	return nil
}

// mention reports something about a line that was read all the same.
func (k *sink) mention(line, column int, code, text string) {
	if len(k.reports) >= k.opts.maxReports() {
		k.mere++
		return
	}
	k.reports = append(k.reports, engine.Report{Source: k.source, Line: line, Column: column, Code: code, Text: text})
}

// mentionOnce is mention, but once a source for each key.
func (k *sink) mentionOnce(key string, line, column int, code, text string) {
	if k.once[key] {
		return
	}
	if k.once == nil {
		k.once = map[string]bool{}
	}
	// a source of nothing but unknown names must not fill the memory
	if len(k.once) < 10_000 {
		k.once[key] = true
	}
	k.mention(line, column, code, text)
}

// all is every report in the order of lines, with a count of those beyond the limit last.
func (k *sink) all() []engine.Report {
	out := slices.Clone(k.reports)
	slices.SortStableFunc(out, func(a, b engine.Report) int { return a.Line - b.Line })
	if k.unread+k.mere > 0 {
		out = append(out, engine.Report{Source: k.source, Code: codeMore, Unusable: k.unread > 0,
			Text: fmt.Sprintf("%d further lines could not be read, and %d further reports are left out", k.unread, k.mere)})
	}
	return out
}

// columnOf is the column, in characters from 1, of a byte offset; 0 for an offset that names no piece.
func columnOf(line []byte, at int) int {
	if at < 0 {
		return 0
	}
	return utf8.RuneCount(line[:min(at, len(line))]) + 1
}

// nearest is the name of those given that s is plausibly a slip of, or "".
func nearest(s string, names []string) string {
	best, bestAt := "", 1+max(1, len(s)/3)
	for _, n := range names {
		if d := editDistance(strings.ToLower(s), n); d < bestAt {
			best, bestAt = n, d
		}
	}
	for _, n := range names { // weight for weight_kg
		if best == "" && len(s) >= 3 && strings.HasPrefix(n, strings.ToLower(s)) {
			best = n
		}
	}
	return best
}

// editDistance counts insertions, deletions, replacements and swaps of neighbours between two short names.
func editDistance(a, b string) int {
	if len(a) > 64 || len(b) > 64 {
		return 64
	}
	var before, prev, cur [65]int
	for j := 0; j <= len(b); j++ {
		prev[j] = j
	}
	for i := 1; i <= len(a); i++ {
		cur[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				cur[j] = min(cur[j], before[j-2]+1)
			}
		}
		before, prev = prev, cur
	}
	return prev[len(b)]
}

// didYouMean is a hint for a mistaken name, or "".
func didYouMean(s string, names []string) string {
	if n := nearest(s, names); n != "" && n != s {
		return fmt.Sprintf("; is %q meant?", n)
	}
	return ""
}

// quoteShort is a piece of a line for a report, cut where it is long.
func quoteShort[T string | []byte](s T) string {
	t := string(s)
	if utf8.RuneCountInString(t) > 40 {
		t = string([]rune(t)[:37]) + "..."
	}
	return fmt.Sprintf("%q", t)
}
