package dsl

import (
	"io"
	"slices"
	"strings"

	"github.com/alecthomas/participle/v2/lexer"
)

// Token types. Every byte of a text ends up in a token, in white space or in a remark; what cannot be read is reported
// and left out, so that the parser never meets it.
const (
	tEOF  = lexer.EOF
	tName = lexer.TokenType(-(iota + 2))
	tKeyword
	tNumber
	tUnit
	tPercent
	tString
	tBraces
	tBadBraces // an expression that has been reported and must not be looked at again
	tCompare
	tPunct
	tMark
	tEnd // the end of a statement; it has no text
)

// tokenSymbols are the names under which the grammar knows the token types.
type tokenSymbols struct{}

func (tokenSymbols) Symbols() map[string]lexer.TokenType {
	return map[string]lexer.TokenType{
		"EOF": tEOF, "Name": tName, "Keyword": tKeyword, "Number": tNumber, "Unit": tUnit, "Percent": tPercent,
		"String": tString, "Braces": tBraces, "BadBraces": tBadBraces, "Compare": tCompare, "Punct": tPunct, "Mark": tMark,
		"End": tEnd,
	}
}

// Lex is not used: the parser is handed tokens.
func (tokenSymbols) Lex(string, io.Reader) (lexer.Lexer, error) { return &tokenSlice{}, nil }

// tokenSlice hands tokens to participle.
type tokenSlice struct {
	tokens []token
	i      int
}

func (s *tokenSlice) Next() (token, error) {
	if s.i >= len(s.tokens) {
		return lexer.EOFToken(lexer.Position{}), nil
	}
	s.i++
	return s.tokens[s.i-1], nil
}

// scanner cuts a text into tokens.
type scanner struct {
	src    *Source
	text   string
	at     int
	limits limits
	report func(finding)

	tokens  []token
	remarks []remark

	newline     bool   // since the last token
	first       string // first word of the statement, "" before it
	firstAt     int    // its index in tokens
	brackets    []int  // offsets of the open (
	marks       bool   // after the : of a trial line
	depth       int    // open braces
	opened      int    // { and } seen in all
	closed      int
	truncated   bool // the text was not read to its end
	lookedAhead int  // bytes read in search of the ends of expressions
	nulSeen     bool
	badUTFLine  int // line, from 1, of the last report of broken bytes
}

// scan cuts the whole text.
func (s *scanner) scan() {
	if strings.HasPrefix(s.text, "\xff\xfe") || strings.HasPrefix(s.text, "\xfe\xff") {
		s.report(finding{key: "utf16", span: Span{0, 2}})
		s.truncated = true
		s.finish()
		return
	}
	if strings.HasPrefix(s.text, byteOrderMark) {
		s.at = len(byteOrderMark)
	}
	for s.at < len(s.text) {
		s.next()
	}
	s.finish()
}

func (s *scanner) finish() {
	s.at = len(s.text)
	if len(s.brackets) > 0 {
		s.openBracket()
	}
	s.endStatement()
	s.tokens = append(s.tokens, token{Type: tEOF, Pos: lexer.Position{Offset: len(s.text)}})
}

// next reads one token, remark or piece of white space.
func (s *scanner) next() {
	c := s.text[s.at]
	switch {
	case c == '\n':
		s.newline = true
		s.at++
		return
	case c == ' ' || c == '\t' || c == '\r' && strings.HasPrefix(s.text[s.at:], "\r\n"):
		s.at++
		return
	case c == '#':
		s.remark()
		return
	}
	if n := oddSpace(s.text[s.at:]); n > 0 {
		s.at += n
		return
	}
	if s.newline {
		s.lineBegins()
	}
	switch {
	case s.marks && len(s.brackets) == 0:
		s.mark()
	case c == '"':
		s.quoted()
	case isDigit(c):
		s.number()
	case isLetter(c):
		s.word()
	case c == '{':
		s.openBrace()
	case c == '}':
		s.closeBrace()
	default:
		s.punctuation()
	}
}

func (s *scanner) remark() {
	n := strings.IndexByte(s.text[s.at:], '\n')
	if n < 0 {
		n = len(s.text) - s.at
	}
	raw := strings.TrimRight(s.text[s.at:s.at+n], " \t\r")
	line := s.src.starts[s.src.lineOf(s.at)]
	own := strings.TrimLeft(strings.TrimPrefix(s.text[line:s.at], byteOrderMark), " \t") == ""
	s.checkBytes(s.at, s.at+len(raw))
	s.remarks = append(s.remarks, remark{Span{s.at, s.at + len(raw)}, raw, own})
	s.at += n
}

// lineBegins ends the statement before the token at s.at, unless it goes on.
func (s *scanner) lineBegins() {
	s.newline = false
	if len(s.tokens) == 0 {
		return
	}
	last := s.tokens[len(s.tokens)-1]
	word := s.wordAhead(s.at)
	if len(s.brackets) > 0 {
		begins := s.beginsStatement(s.at) && (last.Value != "," || s.beginsBlock())
		if !begins && s.text[s.at] != '}' {
			return
		}
		s.openBracket()
	}
	switch {
	case last.Type == tPunct && (last.Value == "{" || last.Value == "}"):
		s.first, s.marks = "", false
	case last.Type == tPunct && last.Value == "," && !s.marks && s.beginsBlock():
		s.report(finding{key: "comma-last", span: spanOf(last), edits: []Edit{{spanOf(last), ""}}})
		s.tokens = s.tokens[:len(s.tokens)-1]
		s.endStatement()
	case last.Type == tPunct && last.Value == "," && !s.marks:
	case (word == "and" || word == "or") && s.first != "" && !s.marks:
	case s.first != "" && !s.marks && (continues[word] || !s.beginsStatement(s.at) && s.text[s.at] != '}' && last.Type == tKeyword && (last.Value == "and" || last.Value == "or" || last.Value == "not")):
		n := max(1, len(word))
		s.report(finding{key: "line-break", span: Span{s.at, s.at + n}})
	case s.text[s.at] == '{' && s.first != "" && !s.marks:
		s.report(finding{key: "brace-line", span: Span{s.at, s.at + 1}})
	default:
		s.endStatement()
	}
}

// continues are words that no statement begins with: a line that does was meant to go on with the line before.
var continues = wordSet("when", "of", "in", "within", "holding", "where", "among", "even", "twice", "last", "each")

// openBracket reports a ( that is not closed and forgets all that are open.
func (s *scanner) openBracket() {
	at := s.brackets[len(s.brackets)-1]
	s.report(finding{key: "bracket-open", span: Span{at, at + 1}})
	s.brackets = s.brackets[:0]
}

// beginsStatement reports whether the line at offset plainly begins a statement: a statement's word and something that
// could not go on inside brackets.
func (s *scanner) beginsStatement(at int) bool {
	w := s.wordAhead(at)
	if !allStatementWords[w] {
		return false
	}
	rest := strings.TrimLeft(s.text[at+len(w):], " \t")
	if rest == "" || !isLetter(rest[0]) && !isDigit(rest[0]) && rest[0] != '"' && rest[0] != '{' {
		return false
	}
	next := s.wordAhead(len(s.text) - len(rest))
	return !reservedWords[next] || next == "when"
}

// beginsBlock reports whether the line at s.at is plainly the first line of a block.
func (s *scanner) beginsBlock() bool {
	word := s.wordAhead(s.at)
	if _, ok := blockWords[word]; !ok || !s.beginsStatement(s.at) {
		return false
	}
	line := s.restOfLine()
	if strings.HasPrefix(strings.TrimLeft(line[len(word):], " \t"), "{") {
		return false // the last name of the list before: chain forward of sit, step {
	}
	if i := strings.IndexByte(line, '#'); i >= 0 && !strings.Contains(line[:i], `"`) {
		line = strings.TrimRight(line[:i], " \t")
	}
	return strings.HasSuffix(line, "{")
}

func (s *scanner) endStatement() {
	if n := len(s.tokens); n > 0 && s.tokens[n-1].Type != tEnd {
		end := spanOf(s.tokens[n-1]).To
		s.tokens = append(s.tokens, token{Type: tEnd, Pos: lexer.Position{Offset: end}})
	}
	s.first, s.marks = "", false
}

// emit adds a token of n bytes of text; value is what it stands for.
func (s *scanner) emit(t lexer.TokenType, value string, n int) {
	if s.first == "" && t != tEnd {
		s.first, s.firstAt = value, len(s.tokens)
	}
	s.tokens = append(s.tokens, token{Type: t, Value: value, Pos: lexer.Position{Offset: s.at, Column: n}})
	s.at += n
}

func (s *scanner) last() *token {
	if len(s.tokens) == 0 {
		return &token{}
	}
	return &s.tokens[len(s.tokens)-1]
}

func (s *scanner) openBrace() {
	prev := s.last()
	expression := expressionWords[s.first]
	switch prev.Value {
	case "when", "where", "among", "and", "or", "not", "=":
		expression = expression || prev.Type == tKeyword || prev.Type == tPunct
	}
	if expression && s.first != "" {
		s.expression()
		return
	}
	s.opened++
	s.depth++
	if s.depth > s.limits.nesting {
		s.report(finding{key: "nesting", span: Span{s.at, s.at + 1}, args: []string{itoa(s.limits.nesting)}})
		s.at = len(s.text)
		s.brackets, s.truncated = s.brackets[:0], true
		return
	}
	s.emit(tPunct, "{", 1)
	s.first = ""
}

func (s *scanner) closeBrace() {
	if s.expressionStart() {
		return
	}
	if len(s.brackets) > 0 {
		s.openBracket()
	}
	if l := s.last(); !(l.Type == tPunct && (l.Value == "{" || l.Value == "}")) {
		s.endStatement()
	}
	s.closed++
	s.depth = max(0, s.depth-1)
	s.emit(tPunct, "}", 1)
	s.first, s.marks = "", false
}

// expressionStart reports whether the } ahead closes an expression whose { is missing. It is reported, and what stands
// before the } is taken for the expression.
func (s *scanner) expressionStart() bool {
	if !expressionWords[s.first] || s.firstAt >= len(s.tokens) {
		return false
	}
	line := s.src.lineOf(s.at)
	from := -1
	for i := len(s.tokens) - 1; i >= 0 && s.src.lineOf(s.tokens[i].Pos.Offset) == line; i-- {
		t := s.tokens[i]
		if isPunct(t, "{") {
			return false // the block's own }
		}
		if from < 0 && i >= s.firstAt && (isPunct(t, "=") || t.Value == "when" || t.Value == "where" || t.Value == "among" || t.Value == "dog") {
			from = i + 1
		}
	}
	if from < 0 || from >= len(s.tokens) {
		return false
	}
	if s.depth > 0 && !s.looksCompared(from) {
		return false // a block that ends on the line of its last statement
	}
	start := s.tokens[from].Pos.Offset
	s.report(finding{key: "expression-start", span: Span{s.at, s.at + 1}, edits: []Edit{{Span{start, start}, "{ "}}})
	s.tokens = s.tokens[:from]
	end := s.at + 1
	s.at = start
	s.brackets = s.brackets[:0]
	s.emit(tBadBraces, s.text[start:end], end-start)
	return true
}

// looksCompared reports whether the tokens from i on are what stands in an expression rather than a criterion: facts
// compared, alone or with and and or.
func (s *scanner) looksCompared(i int) bool {
	switch s.tokens[i].Value {
	case "median", "mean", "best", "worst":
		return false
	}
	return slices.ContainsFunc(s.tokens[i:], func(t token) bool { return t.Type == tCompare })
}

// expression reads `{ ... }` as one token. Strings inside are opaque and braces nest. One that is not closed ends with
// its first line, so that the rest of the file is still read.
func (s *scanner) expression() {
	end, depth, deepest := s.expressionEnd()
	if end < 0 {
		line := s.src.starts[s.src.lineOf(s.at)] + len(s.src.lineText(s.src.lineOf(s.at)))
		n := len(strings.TrimRight(s.text[s.at:line], " \t\r"))
		if i := strings.IndexByte(s.text[s.at:s.at+n], '#'); i > 0 && !strings.Contains(s.text[s.at:s.at+i], `"`) {
			n = len(strings.TrimRight(s.text[s.at:s.at+i], " \t"))
		}
		s.report(finding{key: "expression-open", span: Span{s.at, s.at + 1}, edits: []Edit{{Span{s.at + n, s.at + n}, " }"}}})
		s.emit(tBadBraces, s.text[s.at:s.at+n], n)
		return
	}
	n := end + 1 - s.at
	switch {
	case n-2 > s.limits.expressionBytes:
		s.report(finding{key: "expression-long", span: Span{s.at, end + 1}, args: []string{itoa(s.limits.expressionBytes)}})
		s.emit(tBadBraces, s.text[s.at:end+1], n)
	case depth > s.limits.nesting:
		s.report(finding{key: "nesting", span: Span{deepest, deepest + 1}, args: []string{itoa(s.limits.nesting)}})
		s.emit(tBadBraces, s.text[s.at:end+1], n)
	default:
		if s.checkBytes(s.at, end) {
			s.emit(tBraces, s.text[s.at:end+1], n)
		} else {
			s.emit(tBadBraces, s.text[s.at:end+1], n)
		}
	}
}

// expressionEnd is the offset of the } that closes the { at s.at, or -1; and how deep brackets nest inside, and where it
// first is too deep. Looking beyond the longest expression allowed is for the sake of a better report, and only done
// while it costs no more than reading the text some times over.
func (s *scanner) expressionEnd() (end, deep, deepest int) {
	limit := min(len(s.text), s.at+s.limits.expressionBytes+2)
	if s.lookedAhead < 4*len(s.text) {
		limit = len(s.text)
	}
	depth, braces, i := 0, 0, s.at+1
	defer func() { s.lookedAhead += i - s.at }()
	indent := s.indentAt(s.at)
	for ; i < limit; i++ {
		switch c := s.text[i]; c {
		case '\n':
			j := i + 1
			for j < limit && (s.text[j] == ' ' || s.text[j] == '\t') {
				j++
			}
			if j < limit && s.text[j] == '}' && s.indentAt(j) < indent || s.beginsStatement(j) {
				return -1, 0, 0
			}
		case '"', '\'', '`':
			s.lookedAhead += 16
			if n := closingQuote(s.text[i:min(limit, i+s.limits.expressionBytes)], c); n > 0 {
				i += n
			}
		case '(', '[', '{':
			if c == '{' {
				braces++
			}
			if depth++; depth > deep {
				deep = depth
				if deep == s.limits.nesting+1 {
					deepest = i
				}
			}
		case ')', ']':
			depth = max(0, depth-1)
		case '}':
			if braces == 0 {
				return i, deep, deepest
			}
			braces--
			depth = max(0, depth-1)
		}
	}
	return -1, 0, 0
}
