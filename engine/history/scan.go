package history

import (
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

// scanner reads JSON (RFC 8259) straight from bytes. It is stricter than the grammar in two things: bytes that are not
// UTF-8 and halves of surrogate pairs are faults, not replacement characters. It keeps the first fault and nothing
// else; scan_test.go checks it against encoding/json.
//
// Why our own: encoding/json accepts keys in any case, doubled keys and broken UTF-8 without a word, has no columns,
// and costs several times as much; see BenchmarkDecoders.
type scanner struct {
	b       []byte
	i       int
	bad     *slip
	scratch []byte // a string with escapes, unescaped; good until the next such
}

// maxDepth is how deep values may nest: a history needs two levels, and each costs a stack frame.
const maxDepth = 64

func (s *scanner) reset(b []byte) { s.b, s.i, s.bad = b, 0, nil }

// fail keeps the first fault and is false, so that callers can return it.
func (s *scanner) fail(at int, code, format string, args ...any) bool {
	if s.bad == nil {
		s.bad = slipf(at, code, format, args...)
	}
	return false
}

func (s *scanner) space() {
	for s.i < len(s.b) && s.b[s.i] <= ' ' && blanks[s.b[s.i]] {
		s.i++
	}
}

var blanks = [' ' + 1]bool{' ': true, '\t': true, '\n': true, '\r': true}

// peek is the next byte, 0 at the end.
func (s *scanner) peek() byte {
	if s.i < len(s.b) {
		return s.b[s.i]
	}
	return 0
}

// want takes the byte c, which what names in a fault.
func (s *scanner) want(c byte, what string) bool {
	if s.i < len(s.b) && s.b[s.i] == c {
		s.i++
		return true
	}
	return s.unexpected(what)
}

func (s *scanner) unexpected(what string) bool {
	if s.i >= len(s.b) {
		return s.fail(s.i, codeJSON, "the line ends too early: %s is expected", what)
	}
	r, n := utf8.DecodeRune(s.b[s.i:])
	if r == utf8.RuneError && n <= 1 {
		return s.fail(s.i, codeUTF8, "a byte that is not UTF-8 (0x%02x)", s.b[s.i])
	}
	return s.fail(s.i, codeJSON, "%s is expected here, not %q", what, string(r))
}

// plain are the bytes a string may hold as they are, but for those of longer characters.
var plain = func() (t [256]bool) {
	for c := 0x20; c < 0x80; c++ {
		t[c] = c != '"' && c != '\\'
	}
	return t
}()

// text reads a string. What it returns is good until the line changes or the next string with escapes.
func (s *scanner) text() ([]byte, bool) {
	b, start := s.b, s.i+1
	if start > len(b) || b[start-1] != '"' {
		return nil, s.unexpected("a text in quotation marks")
	}
	for i := start; i < len(b); i++ {
		c := b[i]
		if plain[c] {
			continue
		}
		switch {
		case c == '"':
			s.i = i + 1
			return b[start:i], true
		case c == '\\':
			return s.escaped(start, i)
		case c < 0x20:
			return nil, s.fail(i, codeJSON, "a control character (0x%02x) in a text", c)
		}
		n := s.rune(i)
		if n == 0 {
			return nil, false
		}
		i += n - 1
	}
	return nil, s.unclosed(start)
}

func (s *scanner) unclosed(start int) bool {
	return s.fail(start-1, codeJSON, "the quotation mark opened here is never closed")
}

// rune is the length of the character at i, 0 where it is not UTF-8.
func (s *scanner) rune(i int) int {
	r, n := utf8.DecodeRune(s.b[i:])
	if r == utf8.RuneError && n <= 1 {
		s.fail(i, codeUTF8, "a byte that is not UTF-8 (0x%02x)", s.b[i])
		return 0
	}
	return n
}

// escaped goes on with a string that began at start, from its first backslash on.
func (s *scanner) escaped(start, i int) ([]byte, bool) {
	b := s.b
	out := append(s.scratch[:0], b[start:i]...)
	defer func() { s.scratch = out }()
	for i < len(b) {
		c := b[i]
		switch {
		case c == '"':
			s.i = i + 1
			return out, true
		case c < 0x20:
			return nil, s.fail(i, codeJSON, "a control character (0x%02x) in a text", c)
		case c >= 0x80:
			n := s.rune(i)
			if n == 0 {
				return nil, false
			}
			out = append(out, b[i:i+n]...)
			i += n
			continue
		case c != '\\':
			out = append(out, c)
			i++
			continue
		}
		if i+1 >= len(b) {
			break
		}
		switch e := b[i+1]; e {
		case '"', '\\', '/':
			out = append(out, e)
		case 'b':
			out = append(out, '\b')
		case 'f':
			out = append(out, '\f')
		case 'n':
			out = append(out, '\n')
		case 'r':
			out = append(out, '\r')
		case 't':
			out = append(out, '\t')
		case 'u':
			r, n := s.hexRune(i)
			if n == 0 {
				return nil, false
			}
			out = utf8.AppendRune(out, r)
			i += n
			continue
		default:
			return nil, s.fail(i, codeJSON, "no such escape as \\%c", rune(e))
		}
		i += 2
	}
	return nil, s.unclosed(start)
}

// hexRune reads \uXXXX, or a surrogate pair of two, at i; n is its length in bytes, 0 on a fault.
func (s *scanner) hexRune(i int) (r rune, n int) {
	r, ok := hex4(s.b[i+2:])
	if !ok {
		s.fail(i, codeJSON, "\\u wants four hexadecimal digits")
		return 0, 0
	}
	if !utf16.IsSurrogate(r) {
		return r, 6
	}
	if rest := s.b[i+6:]; len(rest) >= 6 && rest[0] == '\\' && rest[1] == 'u' {
		if low, ok := hex4(rest[2:]); ok {
			if r = utf16.DecodeRune(r, low); r != utf8.RuneError {
				return r, 12
			}
		}
	}
	s.fail(i, codeUTF8, "half a surrogate pair")
	return 0, 0
}

func hex4(b []byte) (r rune, ok bool) {
	if len(b) < 4 {
		return 0, false
	}
	for _, c := range b[:4] {
		switch {
		case c >= '0' && c <= '9':
			r = r<<4 | rune(c-'0')
		case c|0x20 >= 'a' && c|0x20 <= 'f':
			r = r<<4 | rune(c|0x20-'a'+10)
		default:
			return 0, false
		}
	}
	return r, true
}

// powers of ten that a float64 holds exactly
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22}

// number reads a number. Up to 15 digits over a small power of ten are exact in one division (both are exact in a
// float64, and one rounding is the correct one); the rest goes through strconv.
func (s *scanner) number() (float64, bool) {
	b, start := s.b, s.i
	i := start
	if i < len(b) && b[i] == '-' {
		i++
	}
	first := i
	var mant uint64
	digits, frac := 0, 0
	for ; i < len(b) && b[i]-'0' <= 9; i++ {
		mant = mant*10 + uint64(b[i]-'0')
		digits++
	}
	if digits == 0 || digits > 1 && b[first] == '0' {
		return 0, s.badNumber(start)
	}
	simple := true
	if i < len(b) && b[i] == '.' {
		for i++; i < len(b) && b[i]-'0' <= 9; i++ {
			mant = mant*10 + uint64(b[i]-'0')
			frac++
		}
		if frac == 0 {
			return 0, s.badNumber(start)
		}
	}
	if i < len(b) && b[i]|0x20 == 'e' {
		simple = false
		if i++; i < len(b) && (b[i] == '+' || b[i] == '-') {
			i++
		}
		n := i
		for ; i < len(b) && b[i]-'0' <= 9; i++ {
		}
		if i == n {
			return 0, s.badNumber(start)
		}
	}
	s.i = i
	if simple && digits+frac <= 15 {
		v := float64(mant) / powers[frac]
		if b[start] == '-' {
			v = -v
		}
		return v, true
	}
	v, err := strconv.ParseFloat(string(b[start:i]), 64)
	if err != nil {
		return 0, s.fail(start, codeNumber, "the number %s is too large", quoteShort(b[start:i]))
	}
	return v, true
}

func (s *scanner) badNumber(start int) bool {
	s.i = start
	for i := start; i < len(s.b) && (s.b[i]-'0' <= 9 || s.b[i] == '.' || s.b[i] == '-' || s.b[i] == '+' || s.b[i]|0x20 == 'e'); i++ {
		s.i = i + 1
	}
	if s.i == start {
		return s.unexpected("a number")
	}
	return s.fail(start, codeJSON, "%s is not a JSON number", quoteShort(s.b[start:s.i]))
}

// word takes one of true, false and null.
func (s *scanner) word(w string) bool {
	if len(s.b)-s.i >= len(w) && string(s.b[s.i:s.i+len(w)]) == w {
		s.i += len(w)
		return true
	}
	return s.unexpected("a value")
}

// isNull takes null where it is next.
func (s *scanner) isNull() bool {
	if s.peek() == 'n' && len(s.b)-s.i >= 4 && string(s.b[s.i:s.i+4]) == "null" {
		s.i += 4
		return true
	}
	return false
}

// kind names the next value for a fault.
func (s *scanner) kind() string {
	switch c := s.peek(); {
	case c == '"':
		return "a text"
	case c == '{':
		return "an object"
	case c == '[':
		return "a list"
	case c == 't' || c == 'f':
		return "true or false"
	case c == '-' || c-'0' <= 9:
		return "a number"
	case c == 'n':
		return "null"
	}
	return ""
}

// wrongType is a fault for a value of another kind than the field wants; a value that is none is a fault of its own.
func (s *scanner) wrongType(field, wants string) bool {
	at, kind := s.i, s.kind()
	if kind == "" {
		return s.unexpected("a value")
	}
	if !s.skip(0) {
		return false
	}
	return s.fail(at, codeType, "%s wants %s, not %s", field, wants, kind)
}

// skip passes over any value, checking it.
func (s *scanner) skip(depth int) bool {
	if depth > maxDepth {
		return s.fail(s.i, codeJSON, "values nest deeper than %d", maxDepth)
	}
	switch c := s.peek(); c {
	case '"':
		_, ok := s.text()
		return ok
	case '{':
		return s.object(func([]byte, int) bool { return s.skip(depth + 1) })
	case '[':
		return s.list(func() bool { return s.skip(depth + 1) })
	case 't':
		return s.word("true")
	case 'f':
		return s.word("false")
	case 'n':
		return s.word("null")
	}
	at := s.i
	if _, ok := s.number(); !ok {
		// a number too large to hold is still a number where nobody wants its value
		if s.bad != nil && s.bad.code == codeNumber && s.bad.at == at {
			s.bad = nil
			return true
		}
		return false
	}
	return true
}

// object reads an object, calling value at each value with its key (good as text's result is) and the key's place.
func (s *scanner) object(value func(key []byte, at int) bool) bool {
	if !s.want('{', "{") {
		return false
	}
	if s.space(); s.peek() == '}' {
		s.i++
		return true
	}
	for {
		at := s.i
		key, ok := s.text()
		if !ok {
			return false
		}
		if s.space(); s.peek() != ':' {
			return s.unexpected("a colon")
		}
		s.i++
		if s.space(); !value(key, at) {
			return false
		}
		if s.space(); s.peek() != ',' {
			return s.want('}', "a comma or }")
		}
		s.i++
		s.space()
	}
}

// list reads a list, calling value at each of its values.
func (s *scanner) list(value func() bool) bool {
	if !s.want('[', "[") {
		return false
	}
	if s.space(); s.peek() == ']' {
		s.i++
		return true
	}
	for {
		if !value() {
			return false
		}
		if s.space(); s.peek() == ',' {
			s.i++
			s.space()
			continue
		}
		return s.want(']', "a comma or ]")
	}
}

func badUTF8(s string) bool { return !utf8.ValidString(s) }
