package dsl

import (
	"slices"
	"sync"
)

// codeEntry is one kind of fault: a stable code with its page for Explain and the messages that carry it. A package
// file that finds faults keeps a table of these beside it; codeTables lists the tables.
type codeEntry struct {
	Code     string
	Title    string // a few words, no full stop
	Means    string // one or more sentences
	Faulty   string // a whole file in which Parse (or ReadString) finds exactly this code once
	Repaired string // the same file without it
	Messages []messageEntry
}

// messageEntry is a message's key and its English text, %s standing for the arguments. Help texts have entries too.
type messageEntry struct{ Key, Text string }

func codeTables() [][]codeEntry { return [][]codeEntry{syntaxCodes, resolveCodes} }

// codeIndex is made once, on first use.
var codeIndex = sync.OnceValue(func() (x struct {
	byCode  map[string]codeEntry
	formats map[string]messageEntry
	codeOf  map[string]string // by message key
}) {
	x.byCode, x.formats, x.codeOf = map[string]codeEntry{}, map[string]messageEntry{}, map[string]string{}
	for _, table := range codeTables() {
		for _, c := range table {
			x.byCode[c.Code] = c
			for _, m := range c.Messages {
				x.formats[m.Key] = m
				x.codeOf[m.Key] = c.Code
			}
		}
	}
	return x
})

func messageFormat(key string) (string, bool) {
	m, ok := codeIndex().formats[key]
	return m.Text, ok
}

// Explanation is the page of a code.
type Explanation struct {
	Code     string
	Title    string
	Means    string
	Faulty   string // a small file with the fault
	Repaired string // the same file without it
}

// Explain is the page of a code such as R0102; ok is false for a code that does not exist.
func Explain(code string) (e Explanation, ok bool) {
	c, ok := codeIndex().byCode[code]
	if !ok {
		return Explanation{}, false
	}
	return Explanation{Code: c.Code, Title: c.Title, Means: c.Means, Faulty: c.Faulty, Repaired: c.Repaired}, true
}

// Codes lists every code there is, sorted.
func Codes() []string {
	var out []string
	for c := range codeIndex().byCode {
		out = append(out, c)
	}
	slices.Sort(out)
	return out
}
