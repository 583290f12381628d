package dsl

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

const maxDigits = 15 // more would not fit the exact fractions of package curriculum

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }
func isNameByte(c byte) bool {
	return isLetter(c) || isDigit(c) || c == '-'
}

func itoa(n int) string { return strconv.Itoa(n) }

// oddSpace is the length of a space that is none of ASCII's at the start of text: word processors put them in.
func oddSpace(text string) int {
	if text[0] < utf8.RuneSelf {
		return 0
	}
	r, n := utf8.DecodeRuneInString(text)
	if unicode.Is(unicode.Zs, r) {
		return n
	}
	return 0
}

// indentAt is the width of the white space before the first word of the line that holds offset.
func (s *scanner) indentAt(at int) int { return indentOf(s.src, at) }

func indentOf(src *Source, at int) int {
	width := 0
	for _, c := range strings.TrimPrefix(src.lineText(src.lineOf(at)), byteOrderMark) {
		switch c {
		case ' ':
			width++
		case '\t':
			width += 4
		default:
			return width
		}
	}
	return width
}

// closingQuote is the offset in text, which begins with the quote q, of the next q on the same line; 0 without one.
func closingQuote(text string, q byte) int {
	for i := 1; i < len(text) && text[i] != '\n'; i++ {
		switch text[i] {
		case '\\':
			i++
		case q:
			return i
		}
	}
	return 0
}

// quoted reads "...". One that is not closed ends with its line, or before a { at the end of its line.
func (s *scanner) quoted() {
	n := closingQuote(s.text[s.at:], '"')
	if n > 0 {
		s.checkBytes(s.at, s.at+n)
		s.emit(tString, s.text[s.at:s.at+n+1], n+1)
		return
	}
	n = len(s.restOfLine())
	if rest := s.text[s.at : s.at+n]; strings.HasSuffix(rest, "{") {
		n = len(strings.TrimRight(rest[:n-1], " \t"))
	}
	s.report(finding{key: "quote-open", span: Span{s.at, s.at + n}, edits: []Edit{{Span{s.at + n, s.at + n}, `"`}}})
	s.emit(tString, s.text[s.at:s.at+n]+`"`, n)
}

// typographic quotes and what closes them
var quotePairs = map[rune]string{'“': "”“\"", '”': "”“\"", '„': "“”\"", '‟': "”\"", '«': "»\"", '»': "«\"", '‘': "’‘'", '’': "’'", '‚': "‘’", '\'': "'’", '`': "'`"}

// otherQuoted reads a text in quotes of another kind, reports it and reads on as if it were "...".
func (s *scanner) otherQuoted(open rune, n int) {
	line := s.restOfLine()
	for i, r := range line {
		if i >= n && strings.ContainsRune(quotePairs[open], r) {
			end := i + utf8.RuneLen(r)
			inner := line[n:i]
			s.report(finding{key: "quote-kind", span: Span{s.at, s.at + end}, args: []string{`"` + inner + `"`},
				edits: []Edit{{Span{s.at, s.at + n}, `"`}, {Span{s.at + i, s.at + end}, `"`}}})
			s.checkBytes(s.at, s.at+end)
			s.emit(tString, `"`+strings.ReplaceAll(inner, `"`, `\"`)+`"`, end)
			return
		}
	}
	end := len(line)
	if strings.HasSuffix(line, "{") {
		end = len(strings.TrimRight(line[:end-1], " \t"))
	}
	s.report(finding{key: "quote-open", span: Span{s.at, s.at + end}})
	s.emit(tString, `"`+strings.ReplaceAll(line[n:max(n, end)], `"`, `\"`)+`"`, max(n, end))
}

// number reads digits with at most one point, and what is stuck to them.
func (s *scanner) number() {
	n := 0
	for s.at+n < len(s.text) && isDigit(s.text[s.at+n]) {
		n++
	}
	if rest := s.text[s.at+n:]; len(rest) > 1 && rest[0] == '.' && isDigit(rest[1]) {
		for n++; s.at+n < len(s.text) && isDigit(s.text[s.at+n]); n++ {
		}
	}
	value := s.text[s.at : s.at+n]
	if k := decimalComma(s.text[s.at:], n); k > 0 && (len(s.brackets) == 0 || s.marks) && !isPunct(*s.last(), ",") {
		value = value + "." + s.text[s.at+n+1:s.at+k]
		n = k
		at := Span{s.at, s.at + n}
		s.report(finding{key: "number-comma", span: at, args: []string{value}, edits: []Edit{{at, value}}})
	}
	if n > maxDigits+1 || n > maxDigits && !strings.Contains(value, ".") {
		s.report(finding{key: "number-long", span: Span{s.at, s.at + n}, args: []string{itoa(maxDigits)}})
		value = "1"
	}
	// 2nd-step: a name that begins with a digit
	if word := s.wordAhead(s.at + n); word != "" && !unitWords[word] && unitSpellings[word] == "" && !knownWord(word) && !s.warmth(word) {
		if ordinals[word] && slices.Contains([]string{"every", "each", "last"}, s.last().Value) {
			at := Span{s.at, s.at + n + len(word)}
			s.report(finding{key: "number-word", span: at, args: []string{value, value + word}, edits: []Edit{{at, value}}})
			s.emit(tNumber, value, n+len(word))
			return
		}
		if s.last().Type != tNumber {
			s.report(finding{key: "name-digit", span: Span{s.at, s.at + n + len(word)}, args: []string{value + word}})
			s.emit(tName, "n"+value+word, n+len(word))
			return
		}
	}
	s.emit(tNumber, value, n)
}

// ordinals stand behind a number, as in every 5th trial.
var ordinals = wordSet("st", "nd", "rd", "th")

// decimalComma is the length of a number such as 1,5 at the start of text, of which n digits have been read; 0 where it
// is none. Without a unit behind it, it may be a list.
func decimalComma(text string, n int) int {
	if n == len(text) || text[n] != ',' {
		return 0
	}
	k := n + 1
	for k < len(text) && isDigit(text[k]) {
		k++
	}
	unit := strings.TrimLeft(text[k:], " ")
	i := 0
	for i < len(unit) && isNameByte(unit[i]) {
		i++
	}
	if k == n+1 || k > maxDigits || !unitWords[unit[:i]] {
		return 0
	}
	return k
}

// punctuation reads what is neither word, number nor text.
func (s *scanner) punctuation() {
	rest := s.text[s.at:]
	switch c := rest[0]; c {
	case ',', ')':
		if c == ')' && len(s.brackets) > 0 {
			s.brackets = s.brackets[:len(s.brackets)-1]
		}
		s.emit(tPunct, rest[:1], 1)
		return
	case '(':
		if len(s.brackets) >= s.limits.nesting {
			s.report(finding{key: "nesting", span: Span{s.at, s.at + 1}, args: []string{itoa(s.limits.nesting)}})
			s.brackets = s.brackets[:0]
			s.at += len(s.restOfLine())
			return
		}
		s.brackets = append(s.brackets, s.at)
		s.emit(tPunct, "(", 1)
		return
	case ':':
		s.emit(tPunct, ":", 1)
		// a trial line is NAME: or NAME at ...:, a statement of another kind with a colon lacks a quote before it
		second := s.tokens[min(s.firstAt+1, len(s.tokens)-1)].Value
		s.marks = s.first != "criterion" && (second == ":" && (!allStatementWords[strings.ToLower(s.first)] || allMarks(s.restOfLine())) || second == "at" || !allStatementWords[s.first] ||
			s.first == "case" && s.tokens[s.firstAt+1].Type == tName)
		return
	case '%':
		s.emit(tPercent, "%", 1)
		return
	case '<', '>', '=':
		n := 1
		if len(rest) > 1 && rest[1] == '=' {
			n = 2
		}
		if rest[:n] == "=" {
			s.emit(tPunct, "=", 1)
			return
		}
		s.emit(tCompare, rest[:n], n)
		return
	case '\'', '`':
		s.otherQuoted(rune(c), 1)
		return
	}
	r, n := utf8.DecodeRuneInString(rest)
	span := Span{s.at, s.at + n}
	switch {
	case r == '°' && s.last().Type == tNumber && s.first == "nothing":
		s.celsius(n)
	case r == '°' && s.last().Type == tNumber:
		s.unitSpelled("°", n)
	case r == '≤' || r == '≥':
		right := map[rune]string{'≤': "<=", '≥': ">="}[r]
		s.report(finding{key: "sign-spelled", span: span, args: []string{right, string(r)}, edits: []Edit{{span, right}}})
		s.emit(tCompare, right, n)
	case quotePairs[r] != "":
		s.otherQuoted(r, n)
	case r != utf8.RuneError && r >= utf8.RuneSelf && (unicode.IsLetter(r) || lookAlike[r] != "" && lookAlike[r] != "-"):
		s.word()
	case (r == '+' || r == '-' && len(rest) > 1 && (rest[1] == ' ' || rest[1] == '\n')) && s.first != "" && s.last().Type != tPunct && (!allStatementWords[s.first] || s.first == "case" && s.firstAt+1 < len(s.tokens)):
		at := spanOf(*s.last()).To
		s.report(finding{key: "colon-missing", span: span, edits: []Edit{{Span{at, at}, ":"}}})
		s.emit(tPunct, ":", 0)
		s.marks = true
		s.mark()
	case r == '.' && len(rest) > 1 && isDigit(rest[1]):
		k := 1
		for k < len(rest) && k <= maxDigits && isDigit(rest[k]) {
			k++
		}
		s.report(finding{key: "number-point", span: Span{s.at, s.at + k}, args: []string{"0" + rest[:k]}, edits: []Edit{{Span{s.at, s.at}, "0"}}})
		s.emit(tNumber, "0"+rest[:k], k)
	case r == '/' && s.last().Type == tNumber && len(rest) > 1 && isDigit(firstByte(strings.TrimLeft(rest[1:], " \t"))):
		s.emit(tPunct, "/", 1) // 4/5: the mender makes `of` of it
	default:
		s.unreadable(r, n)
	}
}

func firstByte(text string) byte {
	if text == "" {
		return 0
	}
	return text[0]
}

// unreadable reports characters that mean nothing and leaves them out: one report for a run of them.
func (s *scanner) unreadable(r rune, n int) {
	start := s.at
	for s.at += n; s.at < len(s.text); {
		q, w := utf8.DecodeRuneInString(s.text[s.at:])
		if q != r && !(q == utf8.RuneError && r == utf8.RuneError) {
			break
		}
		s.at += w
	}
	s.reportBad(r, n, start, s.at)
}

// reportBad says what is wrong with the character r at start.
func (s *scanner) reportBad(r rune, n, start, end int) {
	f := finding{key: "character", span: Span{start, end}, args: []string{fmt.Sprintf("%q", r)}, edits: []Edit{{Span{start, end}, ""}}}
	f.args[0] = strings.Trim(f.args[0], "'")
	switch {
	case r == 0:
		if s.nulSeen {
			return
		}
		s.nulSeen = true
		f.key, f.args, f.edits = "nul", nil, nil
	case r == utf8.RuneError && n == 1:
		if line := s.src.lineOf(start) + 1; line == s.badUTFLine {
			return
		} else {
			s.badUTFLine = line
		}
		f.key, f.args, f.edits = "utf8", []string{fmt.Sprintf("0x%02X", s.text[start])}, nil
	case unicode.IsControl(r) || unicode.Is(unicode.Cf, r):
		f.key, f.args = "invisible", []string{fmt.Sprintf("U+%04X", r)}
	case r == ';' || r == '.':
		f.key, f.args = "stop", []string{string(r)}
	case r == '-' || r == '−' || r == '–':
		f.key, f.args = "minus", nil
		if s.first == "ramp" && s.rangeTo(end) {
			f.help = "minus.range"
		}
	}
	s.report(f)
}

// rangeTo reports whether the number at a place ends a range, 2-10 s, of which the last token is the beginning. It gives
// that the unit of the other where it has none, as one mistake is reported once.
func (s *scanner) rangeTo(at int) bool {
	rest := strings.TrimLeft(s.text[at:], " ")
	behind := strings.TrimLeft(rest, "0123456789.")
	last := s.last().Type
	if len(behind) == len(rest) || last != tNumber && last != tUnit {
		return false
	}
	unit := s.wordAhead(len(s.text) - len(strings.TrimLeft(behind, " ")))
	if last == tNumber && unitWords[unit] {
		s.emit(tUnit, unit, 0)
	}
	return true
}

// checkBytes reports broken bytes, NULs and invisible direction marks in texts, remarks and expressions.
func (s *scanner) checkBytes(from, to int) bool {
	ok := true
	for i := from; i < to; {
		c := s.text[i]
		if c >= ' ' && c < utf8.RuneSelf || c == '\t' || c == '\n' || c == '\r' {
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(s.text[i:])
		if r == 0 || r == utf8.RuneError && n == 1 || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069' || c < ' ' {
			s.reportBad(r, n, i, i+n)
			ok = false
		}
		i += n
	}
	return ok
}
