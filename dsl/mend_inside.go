package dsl

import (
	"cmp"
	"strconv"
	"strings"
)

// middle mends at a place inside a statement; true means it has gone on.
func (m *mender) middle() bool {
	return m.turns() || m.amounts() || m.links() || m.spellings()
}

// turns mends whole turns of phrase.
func (m *mender) turns() bool {
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
	}
	return false
}

// amounts mends numbers and their bounds.
func (m *mender) amounts() bool {
	t := m.ahead(0)
	first := m.in[m.start].Value
	switch {
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
	}
	return false
}

// links mends what stands between two parts of a line.
func (m *mender) links() bool {
	t := m.ahead(0)
	first := m.in[m.start].Value
	switch {
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
	}
	return false
}

// spellings mends single words.
func (m *mender) spellings() bool {
	t := m.ahead(0)
	first := m.in[m.start].Value
	switch {
	case (t.Value == "=" || t.Value == "==") && first == "expect":
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
