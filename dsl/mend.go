package dsl

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

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

// middle mends at a place inside a statement; true means it has gone on.
func (m *mender) middle() bool {
	t := m.ahead(0)
	first := m.in[m.start].Value
	switch {
	case first == "raise" && m.is(0, "lower", "lowering") && m.lowers():
		return true
	case m.phrase():
		return true
	case m.paid():
		return true
	case first == "behaviour" && m.blockMissing():
		return true
	case m.is(0, "of") && m.is(-1, "ratio", "interval", "duration") && m.ahead(1).Type == tNumber && (first == "reward" || first == "thin"):
		m.drop("surplus-word", 1, "of")
		return true
	case (first == "opens" || first == "closes") && m.is(-1, "with") && m.is(0, "known") && m.ahead(1).Type == tEnd:
		m.say("word-spelled", 1, "something known", "something known", "known")
		m.put(tName, "something", 1)
		m.put(tName, "known", 0)
		return true
	case m.is(0, "less", "fewer", "more") && m.is(1, "than") && m.ahead(2).Type == tNumber && (m.is(3, "of", "out") || isCounted(m.ahead(3).Value)):
		m.than()
		return true
	case t.Type == tPercent && successSpellings[m.ahead(1).Value] && (m.ahead(2).Type == tEnd || m.is(2, "and", "or")):
		m.keep() // 80% correct: what is reported is that nothing says of how many
		m.i++
		return true
	case t.Value == "no" && isCounted(m.ahead(1).Value):
		m.say("word-spelled", 1, "at most 0", "at most 0", "no")
		m.put(tKeyword, "at", 1)
		m.put(tName, "most", 0)
		m.put(tNumber, "0", 0)
		return true
	case t.Type == tName && numberWords[t.Value] != "" && !m.params[t.Value] && !listWords[first] && m.ahead(1).Type == tName &&
		(unitWords[m.ahead(1).Value] || unitSpellings[m.ahead(1).Value] != ""):
		unit := m.ahead(1).Value
		right := cmp.Or(unitSpellings[unit], unit)
		amount := strings.Replace(numberWords[t.Value]+" "+right, " %", "%", 1)
		m.say("number-word", 2, amount, amount, t.Value+" "+unit)
		m.put(tNumber, numberWords[t.Value], 1)
		kind := tUnit
		if right == "%" {
			kind = tPercent
		}
		m.put(kind, right, 1)
		return true
	case t.Type == tName && numberWords[t.Value] != "" && !m.params[t.Value] && m.counts():
		m.say("number-word", 1, numberWords[t.Value], numberWords[t.Value], t.Value)
		m.in[m.i] = token{Type: tNumber, Value: numberWords[t.Value], Pos: t.Pos}
		return true
	case t.Type == tNumber || t.Type == tPercent || t.Type == tName && m.is(1, "out") && m.is(2, "of"):
		return m.number()
	case t.Type == tKeyword && t.Value == "and" && (listWords[first] && m.ahead(1).Type == tName || first == "at" && m.ahead(1).Type == tNumber):
		m.say("list-and", 1, ",")
		m.put(tPunct, ",", 1)
		return true
	case t.Value == "at" && m.is(1, "least") && !m.is(-1, "of") && (m.ahead(2).Type == tNumber || m.ahead(2).Type == tName):
		k := 3
		if m.ahead(3).Type == tPercent {
			k = 4
		}
		if m.is(k, "of", "out", "in", "successes", "times") || m.ahead(k).Value == "/" {
			m.drop("at-least", 2, m.counted(2), m.window(3))
			return true
		}
	case t.Type == tName && first == "measure" && m.is(-1, "in") && unitSpellings[t.Value] != "":
		right := unitSpellings[t.Value]
		m.say("unit-spelled", 1, right, right, t.Value)
		m.put(tName, right, 1)
		return true
	case t.Value == "more" && m.is(1, "than") && m.ahead(2).Type == tNumber && ruleWords[first] && m.is(3, "trials", "sessions", "days"):
		m.say("word-spelled", 2, "after", "after", "more than")
		m.put(tKeyword, "after", 2)
		return true
	case t.Value == "out" && m.is(1, "of") && isCounted(m.ahead(-1).Value) && m.ahead(-2).Type == tNumber:
		m.drop("out-of", 1, m.ahead(-2).Value+" "+m.ahead(-1).Value, m.window(1))
		return true
	case t.Value == "=" && first == "expect":
		m.say("is", 1, "is")
		m.put(tName, "is", 1)
		return true
	case t.Value == "==" && first == "expect":
		m.say("is", 1, "is")
		m.put(tName, "is", 1)
		return true
	case t.Type == tName && (t.Value == "behavior" || t.Value == "behaviors") && (first == "sign" || first == "at"):
		right := "behaviour" + t.Value[len("behavior"):]
		m.say("word-spelled", 1, right, right, t.Value)
		m.put(tName, right, 1)
		return true
	case t.Type == tKeyword && t.Value == "of" && m.is(1, "the") && (m.is(2, "last", "past", "previous") || m.ahead(2).Type == tNumber):
		m.keep()
		m.drop("of-the", 1, m.counted(-2), m.window(1))
		return true
	case t.Type == tName && (t.Value == "past" || t.Value == "previous") && m.is(-1, "of", "the"):
		m.say("word-spelled", 1, "last", "last", t.Value)
		m.put(tKeyword, "last", 1)
		return true
	}
	return false
}

// lowers mends what raises one ramp and lowers the others: lowering others by one level.
func (m *mender) lowers() bool {
	n := 1
	if m.is(n, "the") {
		n++
	}
	if !m.is(n, "others") || !m.is(n+1, "by") || !m.is(n+2, "one", "1") && m.ahead(n+2).Value != "1" || m.ahead(n+3).Type != tEnd && !m.is(n+3, "level") {
		return false
	}
	n += 3
	if m.is(n, "level") {
		if n++; m.is(0, "lowering") && !m.is(1, "the") {
			return false // right as it is
		}
	}
	const right = "lowering others by one level"
	s := m.span(n)
	m.say("word-spelled", n, right, right, m.text(s))
	for _, word := range strings.Fields(right) {
		m.put(wordType(word), word, n)
		n = 0
	}
	return true
}

// text is the words of the tokens in a span, with single spaces.
func (m *mender) text(s Span) string {
	var out []string
	for k := 0; m.ahead(k).Type != tEnd && spanOf(m.ahead(k)).To <= s.To; k++ {
		out = append(out, m.ahead(k).Value)
	}
	return strings.Join(out, " ")
}

// than mends less than 3 of last 5 to at most 2, and more than 3 to 4.
func (m *mender) than() {
	n, err := strconv.Atoi(m.ahead(2).Value)
	less := !m.is(0, "more")
	if err != nil || less && n < 1 {
		m.keep()
		return
	}
	if less {
		right := "at most " + strconv.Itoa(n-1)
		m.say("word-spelled", 3, right, right, m.text(m.span(3)))
		m.put(tKeyword, "at", 3)
		m.put(tName, "most", 0)
		m.put(tNumber, strconv.Itoa(n-1), 0)
		return
	}
	right := strconv.Itoa(n + 1)
	m.say("word-spelled", 3, right, right, m.text(m.span(3)))
	m.put(tNumber, right, 3)
}

// blockMissing puts in the { that is missing where a behaviour's first step stands on its own line.
func (m *mender) blockMissing() bool {
	before := m.ahead(-1)
	if !m.is(0, "step", "chain", "climb", "change") || m.ahead(1).Type != tName || m.i-m.start < 2 || before.Type != tName && before.Type != tString {
		return false
	}
	s := spanOf(m.ahead(0))
	m.report(finding{key: "expected", span: s, args: []string{quoted("{"), quoted(m.ahead(0).Value)}, edits: []Edit{{Span{s.From, s.From}, "{ "}}})
	m.put(tPunct, "{", 0)
	m.opened++
	m.start = m.i
	return true
}

// counted is the number at place k as a message says it, window the one at or behind it.
func (m *mender) counted(k int) string {
	t := m.ahead(k)
	switch {
	case t.Type == tPercent:
		return m.ahead(k-1).Value + "%"
	case t.Type == tNumber && m.ahead(k+1).Type == tPercent:
		return t.Value + "%"
	case t.Type == tNumber:
		return t.Value
	case numberWords[t.Value] != "":
		return numberWords[t.Value]
	}
	return "4"
}

func (m *mender) window(k int) string {
	for ; k < 8 && m.ahead(k).Type != tEnd; k++ {
		if t := m.ahead(k); t.Type == tNumber || numberWords[t.Value] != "" {
			return m.counted(k)
		}
	}
	return "5"
}

// counts reports whether the number word ahead stands where only a number can.
func (m *mender) counts() bool {
	return m.is(1, "of", "out", "misses", "miss", "wrong", "silent", "helped", "opt-outs", "times", "successes", "sessions",
		"places", "handlers", "days", "trials", "consecutive", "straight", "failures") ||
		m.is(1, "in") && m.is(2, "a") && m.is(3, "row") ||
		m.is(-1, "last", "each") || m.is(-1, "of") && m.ahead(-2).Type == tNumber && !m.is(1, "behaviour")
}

// number mends what follows the number (or share) ahead.
func (m *mender) number() bool {
	next := m.ahead(1)
	row := func(k int) bool { return m.is(k, "in") && m.is(k+1, "a") && m.is(k+2, "row") }
	switch {
	case next.Value == "/" && m.ahead(2).Type == tNumber:
		m.keep()
		k := m.ahead(-1).Value
		if w := m.ahead(2).Value; isCounted(w) || missSpellings[w] != "" { // 2/3 misses: the word stands behind the first number
			k += " " + cmp.Or(missSpellings[w], w)
		}
		m.say("slash", 1, " of last ", k, m.ahead(1).Value)
		m.put(tKeyword, "of", 1)
		return true
	case m.is(1, "out") && m.is(2, "of"):
		m.keep()
		m.drop("out-of", 1, m.counted(-1), m.window(1))
		return true
	case next.Type == tName && successSpellings[next.Value] && (row(2) || m.is(2, "of") && !m.is(3, "one", "a")) && !m.is(2, "within"):
		m.keep()
		m.drop("surplus", 1, next.Value)
		return true
	case next.Type == tName && rowSpellings[next.Value]:
		m.keep()
		n := 1
		if m.is(1, "successes", "trials", "times") {
			n = 2
		}
		m.say("word-spelled", n, "in a row", "in a row", next.Value)
		m.put(tKeyword, "in", n)
		m.put(tName, "a", 0)
		m.put(tName, "row", 0)
		return true
	case next.Type == tName && missSpellings[next.Value] != "":
		m.keep()
		right := missSpellings[next.Value]
		m.say("word-spelled", 1, right, right, next.Value)
		m.put(tKeyword, right, 1)
		return true
	case m.is(1, "per") && m.is(2, "cent"):
		m.keep()
		m.say("unit-spelled", 2, "%", "%", "per cent")
		m.put(tPercent, "%", 2)
		return true
	}
	return false
}
