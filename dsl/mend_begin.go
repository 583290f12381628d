package dsl

import (
	"strings"
)

// begin mends the first words of a statement.
func (m *mender) begin() {
	t := m.ahead(0)
	if low := strings.ToLower(t.Value); t.Type == tName && low != t.Value && (allStatementWords[low] || low == "at") && m.ahead(1).Value != ":" {
		m.capitals()
		t = m.ahead(0)
	}
	if next := m.ahead(1); t.Type == tName && allStatementWords[t.Value] && (next.Value == ":" || next.Value == "=" && t.Value != "criterion") {
		if k := m.ahead(2).Type; k != tMark && k != tEnd { // no trial line: the colon is one of everyday writing
			m.i++
			if ruleWords[t.Value] {
				m.say("if", 1, "when", next.Value)
				m.in[m.i] = token{Type: tKeyword, Value: "when", Pos: m.in[m.i].Pos}
				m.i--
			} else {
				m.drop("stray", 1, next.Value)
				m.i--
				m.in[m.i] = t
				m.start = m.i
			}
		}
	}
	if t.Type != tName || m.ahead(1).Value == ":" || m.is(1, "at") || m.phrase() {
		return
	}
	if right := statementSpellings[t.Value]; right != "" && m.opensRight(right) {
		m.say("word-spelled", 1, right, right, t.Value)
		m.put(tName, right, 1)
		t = m.out[len(m.out)-1]
		m.i-- // so that the rest sees the statement's first word behind it
		m.in[m.i] = t
		m.out = m.out[:len(m.out)-1]
	}
	switch {
	case t.Value == "max" || t.Value == "maximum":
		m.say("word-spelled", 1, "at most", "at most", t.Value)
		m.put(tKeyword, "at", 1)
		m.put(tName, "most", 0)
	case ruleWords[t.Value]:
		m.keep()
		m.rule(t.Value)
	case t.Value == "criterion" && m.ahead(1).Type == tName:
		m.keep()
		m.keep()
		m.equals()
	}
}

// opensRight reports whether what follows the first word fits the statement it would be.
func (m *mender) opensRight(word string) bool {
	next := m.ahead(1)
	switch word {
	case "use":
		return next.Type == tString
	case "behaviour", "food", "marker", "criterion", "prompt", "needs", "sign", "measure", "place", "handler", "caution":
		return next.Type == tName
	case "advance", "ease":
		return next.Type == tKeyword || next.Type == tNumber || next.Type == tName
	case "example", "set-up":
		return next.Type == tString
	}
	return true
}

// equals mends what stands between a criterion's name and what it is.
func (m *mender) equals() {
	t := m.ahead(0)
	switch {
	case t.Value == "=" || t.Type == tEnd:
	case t.Value == ":" || t.Value == "==" || m.is(0, "is", "means", "when"):
		m.say("equals", 1, "=", t.Value)
		m.put(tPunct, "=", 1)
	case t.Type == tNumber || t.Type == tBraces || t.Type == tKeyword:
		s := spanOf(t)
		m.report(finding{key: "equals-missing", span: s, edits: []Edit{{Span{s.From, s.From}, "= "}}})
		m.put(tPunct, "=", 0)
	}
}

// rule mends what stands between a rule's word and its criterion.
func (m *mender) rule(word string) {
	if word == "stop" && !m.is(0, "today") && m.ahead(0).Type != tEnd {
		m.insert("today-missing", "today")
	} else if word == "stop" {
		m.keep()
	}
	if (word == "ease" || word == "lapse") && m.is(0, "back") && m.is(1, "to") {
		m.drop("surplus-word", 1, "back")
	}
	if (word == "ease" || word == "lapse") && m.ahead(0).Type == tName && !whenSpellings[m.ahead(0).Value] && !m.is(0, "to", "unless") &&
		(m.is(1, "when", "if") || m.is(1, "first") && m.is(2, "level")) {
		m.insert("to-missing", "to")
		m.keep()
	} else if m.is(0, "to") && m.ahead(1).Type == tName {
		m.keep()
		m.keep()
	}
	if m.is(0, "first") && m.is(1, "level") {
		m.keep()
		m.keep()
	}
	if m.is(0, "into") {
		for m.keep(); m.ahead(0).Type == tString || m.ahead(0).Value == "," || m.is(0, "and") && m.ahead(1).Type == tString; {
			if m.is(0, "and") {
				m.say("list-and", 1, ",")
				m.put(tPunct, ",", 1)
				continue
			}
			m.keep()
		}
	}
	t, next := m.ahead(0), m.ahead(1)
	switch {
	case m.ahead(-1).Value == ",": // the list before was not finished
	case m.is(0, "when"):
		m.keep()
	case m.is(0, "after", "at") && next.Type == tNumber && (m.is(2, "of", "out", "misses", "miss", "in") || m.ahead(2).Type == tPercent):
		m.say("if", 1, "when", t.Value)
		m.put(tKeyword, "when", 1)
	case t.Type == tName && whenSpellings[t.Value] && !m.is(1, "when"):
		m.say("if", 1, "when", t.Value)
		m.put(tKeyword, "when", 1)
	case m.is(0, "unless"):
		m.report(finding{key: "unless", span: spanOf(t)})
	case t.Type == tNumber, t.Type == tBraces, t.Type == tBadBraces, t.Value == "(", t.Type == tKeyword && !m.is(0, "in", "within", "of"),
		t.Type == tName && (next.Type == tEnd || m.is(1, "and", "or", "in", "of")) && !m.is(0, "to", "today"):
		m.insert("when-missing", "when")
	}
}
