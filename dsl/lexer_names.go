package dsl

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// lookAlike are characters that look like one of a name's, and that one.
var lookAlike = func() map[rune]string {
	out := map[rune]string{'‐': "-", '‑': "-", '−': "-", '–': "-"}
	from := []rune("аеорсухіјѕһԁԛԝАВЕКМНОРСТУХІЈЅɡαονρτυχικΑΒΕΖΗΙΚΜΝΟΡΤΥΧ")
	to := []rune("aeopcyxijshdqwABEKMHOPCTYXIJSgaovptuxikABEZHIKMNOPTYX")
	for i, r := range from {
		out[r] = string(to[i])
	}
	for i := rune(0); i < 26; i++ { // full-width letters
		out['ａ'+i], out['Ａ'+i] = string('a'+i), string('A'+i)
	}
	return out
}()

// oddName reports a name with characters that no name has, and reads it with their nearest.
func (s *scanner) oddName(n int) {
	raw := s.text[s.at : s.at+n]
	var fixed strings.Builder
	var bad, like rune
	for _, r := range raw {
		switch l, ok := lookAlike[r]; {
		case r == '_':
			bad = r
			fixed.WriteByte('-')
		case r == '\'' || r == '’':
			bad = r
		case ok:
			like = r
			fixed.WriteString(l)
		case r < utf8.RuneSelf:
			fixed.WriteRune(r)
		default:
			bad = r
			fixed.WriteString(plainLetter(r))
		}
	}
	word := fixed.String()
	f := finding{key: "name-letter", span: Span{s.at, s.at + n}, args: []string{string(bad), word}, edits: []Edit{{Span{s.at, s.at + n}, word}}}
	switch {
	case like != 0:
		f.key = "look-alike"
		f.args = []string{string(like), fmt.Sprintf("U+%04X", like), lookAlike[like], word}
	case bad == '_':
		f.key = "underscore"
		f.args = []string{word}
	}
	s.report(f)
	s.emitWord(word, n)
}

// plainLetter is a letter of a-z near r.
func plainLetter(r rune) string {
	const from, to = "äàáâãåæçèéêëìíîïñöòóôõøüùúûýÿß", "aaaaaaaceeeeiiiinoooooouuuuyys"
	for i, f := range []rune(from) {
		if f == unicode.ToLower(r) {
			return to[i : i+1]
		}
	}
	if unicode.IsMark(r) {
		return ""
	}
	return "x"
}
