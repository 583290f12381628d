package dsl

import (
	"strings"
	"unicode/utf8"
)

// marks that people write, and the language's
var markSpellings = map[rune]string{'✓': "+", '✔': "+", '☑': "+", '✗': "-", '✘': "-", 'X': "x", 'H': "h", 'E': "e", '1': "+"}

// then reads the word that ends the marks of a case, or what people write for it; false where the marks go on.
func (s *scanner) then(rest string) bool {
	n := 0
	switch word := s.wordAhead(s.at); word {
	case "then":
		s.marks = false
		s.word()
		return true
	case "at", "is", "notes": // it was forgotten
	case "gives", "makes", "so":
		n = len(word)
	default:
		for _, arrow := range []string{"-->", "->", "==>", "=>", "→"} {
			if strings.HasPrefix(rest, arrow) {
				n = len(arrow)
				break
			}
		}
		if n == 0 {
			return false
		}
	}
	edit := Edit{Span{s.at, s.at + n}, "then"}
	if n == 0 {
		edit.Text = "then "
	}
	s.report(finding{key: "then-missing", span: Span{s.at, s.at + max(n, 1)}, edits: []Edit{edit}})
	s.marks = false
	s.emit(tName, "then", n)
	return true
}

// mark reads one tally mark.
func (s *scanner) mark() {
	rest := s.text[s.at:]
	r, n := utf8.DecodeRuneInString(rest)
	span := Span{s.at, s.at + n}
	if s.first == "case" && s.then(rest) {
		return
	}
	switch {
	case strings.HasPrefix(rest, "o!"):
		s.emit(tMark, "o!", 2)
	case strings.HasPrefix(rest, "||"):
		s.emit(tMark, "||", 2)
	case strings.ContainsRune("+-0hex|", r):
		s.emit(tMark, rest[:1], 1)
	case r == 'O':
		s.emit(tMark, "0", 1)
	case strings.ContainsRune("–—−‒―", r):
		s.emit(tMark, "-", n)
	case r == '(':
		s.brackets = append(s.brackets, s.at)
		s.emit(tPunct, "(", 1)
	case r == ')':
		s.emit(tPunct, ")", 1)
	case r == '}':
		s.closeBrace()
	case r == 'o' || markSpellings[r] != "":
		right := markSpellings[r]
		if r == 'o' {
			right = "o!"
		}
		s.report(finding{key: "mark-spelled", span: span, args: []string{right, string(r)}, edits: []Edit{{span, right}}})
		s.emit(tMark, right, n)
	case r == ',':
		s.report(finding{key: "mark-comma", span: span, edits: []Edit{{span, ""}}})
		s.at++
	default:
		for n < len(rest) && !strings.ContainsRune(" \t\r\n#,()}+-", rune(rest[n])) {
			n++
		}
		s.report(finding{key: "mark", span: Span{s.at, s.at + n}, args: []string{rest[:n]}})
		s.at += n
	}
}

// allMarks reports whether nothing but tally marks can be in text: a behaviour may be called cue, but cue: "touch" is
// no trial line.
func allMarks(text string) bool {
	text, _, _ = strings.Cut(text, "#")
	text, _, _ = strings.Cut(text, "(")
	return strings.Trim(text, "+-0Ohexo!| –—}\t") == ""
}

// restOfLine is the text from s.at to the end of its line without white space at the end.
func (s *scanner) restOfLine() string {
	i := s.src.lineOf(s.at)
	end := s.src.starts[i] + len(s.src.lineText(i))
	return strings.TrimRight(s.text[s.at:max(s.at, end)], " \t\r")
}
