package dsl

import (
	"slices"

	"github.com/alecthomas/participle/v2/lexer"
)

// mender goes once over the tokens and turns what people plausibly write instead of the language's own words into
// those, with a report and an edit for each. What it mends is then read as if it had been written right, so that one
// mistake stays one report and nothing that depends on the statement is reported as missing.
type mender struct {
	in     []token
	out    []token
	i      int // the next token of in
	start  int // of the statement, in in
	params map[string]bool
	report func(finding)
	opened int // blocks whose { was put in
}

func mend(tokens []token, report func(finding)) (mended []token, opened int) {
	m := &mender{in: tokens, out: make([]token, 0, len(tokens)+8), params: ladderParams(tokens), report: report}
	for m.i < len(m.in) {
		t := m.in[m.i]
		if m.i == m.start {
			m.begin()
			if m.i != m.start {
				continue
			}
		} else if m.middle() {
			continue
		}
		m.keep()
		if t.Type == tEnd || t.Type == tPunct && (t.Value == "{" || t.Value == "}") {
			m.start = m.i
		}
	}
	return m.out, m.opened
}

// ladderParams are the names that ladders take: they may be number words.
func ladderParams(tokens []token) map[string]bool {
	out := map[string]bool{}
	for i := 0; i+2 < len(tokens); i++ {
		if tokens[i].Value != "ladder" || tokens[i+2].Value != "(" {
			continue
		}
		for i += 3; i < len(tokens) && tokens[i].Type != tEnd && tokens[i].Value != ")"; i++ {
			out[tokens[i].Value] = true
		}
	}
	return out
}

// ahead is the token k places on, or an end token past the statement.
func (m *mender) ahead(k int) token {
	i := m.i + k
	if i < m.start || i >= len(m.in) {
		return token{Type: tEnd}
	}
	return m.in[i]
}

func (m *mender) is(k int, words ...string) bool {
	t := m.ahead(k)
	return (t.Type == tName || t.Type == tKeyword) && slices.Contains(words, t.Value)
}

func (m *mender) keep() {
	m.out = append(m.out, m.in[m.i])
	m.i++
}

// put adds a token of that value that stands for the next n of the text (none: it is inserted).
func (m *mender) put(t lexer.TokenType, value string, n int) {
	from, to := m.ahead(0).Pos.Offset, m.ahead(0).Pos.Offset
	if n > 0 {
		to = spanOf(m.ahead(n - 1)).To
	}
	m.out = append(m.out, token{Type: t, Value: value, Pos: lexer.Position{Offset: from, Column: to - from}})
	m.i += n
}

func wordType(w string) lexer.TokenType {
	if reservedWords[w] {
		return tKeyword
	}
	return tName
}

// span is from the next token to the n-th.
func (m *mender) span(n int) Span {
	return Span{spanOf(m.ahead(0)).From, spanOf(m.ahead(n - 1)).To}
}

// say reports that the next n tokens should be the text right.
func (m *mender) say(key string, n int, right string, args ...string) {
	s := m.span(n)
	m.report(finding{key: key, span: s, args: args, edits: []Edit{{s, right}}})
}

// drop leaves the next n tokens out, with a report.
func (m *mender) drop(key string, n int, args ...string) {
	s := m.span(n)
	cut := s
	if next := m.ahead(n); next.Type != tEnd {
		cut.To = next.Pos.Offset
	}
	m.report(finding{key: key, span: s, args: args, edits: []Edit{{cut, ""}}})
	m.i += n
}

// insert puts a word in before the next token, with a report on that.
func (m *mender) insert(key, word string) {
	s := spanOf(m.ahead(0))
	m.report(finding{key: key, span: s, edits: []Edit{{Span{s.From, s.From}, word + " "}}})
	m.put(wordType(word), word, 0)
}
