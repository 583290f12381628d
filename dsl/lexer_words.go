package dsl

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// knownWord reports whether w is any word of the language.
func knownWord(w string) bool {
	return reservedWords[w] || allStatementWords[w] || grammarWords()[w]
}

// word reads a name, a reserved word or a unit.
func (s *scanner) word() {
	n := 0
	odd := false // a _ or a letter that is none of a-z in it
	for s.at+n < len(s.text) {
		c := s.text[s.at+n]
		if isNameByte(c) {
			n++
			continue
		}
		r, w := utf8.DecodeRuneInString(s.text[s.at+n:])
		if (c == '\'' || r == '’') && n > 0 && s.wordAhead(s.at+n+w) != "" { // dog's-bed
			odd = true
			n += w
			continue
		}
		if c == '_' || c >= utf8.RuneSelf && (unicode.IsLetter(r) || unicode.IsMark(r) || lookAlike[r] == "-") {
			odd = true
			n += w
			continue
		}
		break
	}
	if odd {
		s.oddName(n)
		return
	}
	s.emitWord(s.text[s.at:s.at+n], n)
}

func (s *scanner) emitWord(w string, n int) {
	prev := s.last()
	switch {
	case prev.Type == tNumber && s.warmth(w):
		s.celsius(n)
	case prev.Type == tNumber && !s.newline && unitWords[w]:
		s.emit(tUnit, w, n)
	case prev.Type == tNumber && unitSpellings[w] != "":
		s.unitSpelled(w, n)
	case reservedWords[w]:
		s.emit(tKeyword, w, n)
	default:
		s.emit(tName, w, n)
	}
}

// warmth reports whether w is meant for celsius: in the one statement that says how warm it may be.
func (s *scanner) warmth(w string) bool {
	return s.first == "nothing" && (w == "C" || w == "c" || w == "Celsius" || w == "degree" || w == "degrees")
}

// celsius reports celsius written otherwise, with n bytes and what follows of it, and reads it.
func (s *scanner) celsius(n int) {
	if rest := strings.TrimLeft(s.text[s.at+n:], " "); rest != "" {
		w := s.wordAhead(len(s.text) - len(rest))
		if w == "C" || w == "c" || strings.EqualFold(w, "celsius") {
			n = len(s.text) - len(rest) + len(w) - s.at
		}
	}
	span, right := Span{s.at, s.at + n}, "celsius"
	if isDigit(s.text[s.at-1]) {
		right = " celsius"
	}
	s.report(finding{key: "unit-spelled", span: span, args: []string{"celsius", s.text[span.From:span.To]}, edits: []Edit{{span, right}}})
	s.emit(tName, "celsius", n)
}

// unitSpelled reports a unit spelled otherwise and reads it as the language's.
func (s *scanner) unitSpelled(w string, n int) {
	right := unitSpellings[w]
	s.report(finding{key: "unit-spelled", span: Span{s.at, s.at + n}, args: []string{right, w},
		edits: []Edit{{Span{s.at, s.at + n}, right}}})
	if right == "%" {
		s.emit(tPercent, right, n)
		return
	}
	s.emit(tUnit, right, n)
}

// wordAhead is the word at offset, "" if there is none.
func (s *scanner) wordAhead(at int) string {
	if at >= len(s.text) || !isLetter(s.text[at]) {
		return ""
	}
	n := at
	for n < len(s.text) && isNameByte(s.text[n]) {
		n++
	}
	return s.text[at:n]
}
