package proof

import (
	"slices"
	"sync"
)

// codeEntry is one kind of finding. A file that finds things keeps a table of these; codeTables lists the tables.
type codeEntry struct {
	Code     string // words that read aloud behind allow: allow one-way because ...
	Severity Severity
	Title    string // a few words, no full stop
	Means    string // one or more sentences: what it is, why it matters, where the figure comes from
	Faulty   string // a whole file in which Check finds exactly this code once
	Repaired string // the same file with the smallest fix, in which it finds nothing
}

func codeTables() [][]codeEntry {
	return [][]codeEntry{
		allowCodes, reachCodes, doorCodes, dogCodes, stepCodes, rampCodes, payCodes, sheetCodes, cueCodes, letterCodes, nameCodes,
		bodyCodes, courseCodes, gateCodes, exactCodes,
	}
}

var codeIndex = sync.OnceValue(func() map[string]codeEntry {
	x := map[string]codeEntry{}
	for _, table := range codeTables() {
		for _, c := range table {
			x[c.Code] = c
		}
	}
	return x
})

// Explanation is the page of a code.
type Explanation struct {
	Code     string
	Severity Severity // unless Options say otherwise
	Title    string
	Means    string
	Faulty   string // a small file with the finding
	Repaired string // the same file without it
}

// Explain is the page of a code such as one-way; ok is false for a code that does not exist.
func Explain(code string) (e Explanation, ok bool) {
	c, ok := codeIndex()[code]
	if !ok {
		return Explanation{}, false
	}
	return Explanation(c), true
}

// Codes lists every code of a finding, sorted.
func Codes() []string {
	var out []string
	for code := range codeIndex() {
		out = append(out, code)
	}
	slices.Sort(out)
	return out
}
