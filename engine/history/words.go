package history

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// cursor reads the words of a line that people write by hand.
type cursor struct {
	s string
	i int
}

func (c *cursor) space() {
	for c.i < len(c.s) {
		r, n := utf8.DecodeRuneInString(c.s[c.i:])
		if !unicode.IsSpace(r) {
			return
		}
		c.i += n
	}
}

// end reports whether nothing but white space is left.
func (c *cursor) end() bool {
	c.space()
	return c.i >= len(c.s)
}

// has reports whether s is next, and takes it.
func (c *cursor) has(s string) bool {
	if strings.HasPrefix(c.s[c.i:], s) {
		c.i += len(s)
		return true
	}
	return false
}

// bracket takes an opening bracket, white space before it too.
func (c *cursor) bracket() bool {
	from := c.i
	c.space()
	if c.has("(") {
		return true
	}
	c.i = from
	return false
}

// word is the next word, or what stands in quotation marks. A bare word ends at white space and at any byte of stops.
// The word is empty where a stop is next.
func (c *cursor) word(stops string) (w string, quoted bool, at int, bad *slip) {
	c.space()
	at = c.i
	if quoted, w, bad = c.quotation(); quoted {
		return w, true, at, bad
	}
	for c.i < len(c.s) {
		r, n := utf8.DecodeRuneInString(c.s[c.i:])
		if unicode.IsSpace(r) || strings.ContainsRune(stops, r) || r == '"' || r == '“' {
			break
		}
		c.i += n
	}
	return c.s[at:c.i], false, at, nil
}

// quotation reads a text in quotation marks where one is next; the curly ones that telephones write will do as well.
func (c *cursor) quotation() (is bool, text string, bad *slip) {
	at := c.i
	rest := c.s[c.i:]
	if strings.HasPrefix(rest, "“") {
		n := strings.IndexAny(rest, "”")
		if n < 0 {
			c.i = len(c.s)
			return true, "", slipf(at, codeQuote, "the quotation mark opened here is never closed")
		}
		c.i += n + len("”")
		return true, rest[len("“"):n], nil
	}
	if !strings.HasPrefix(rest, `"`) {
		return false, "", nil
	}
	for n := 1; n < len(rest); n++ {
		switch rest[n] {
		case '\\':
			n++
		case '"':
			c.i += n + 1
			if text, err := strconv.Unquote(rest[:n+1]); err == nil {
				return true, text, nil
			}
			return true, "", slipf(at, codeQuote, `a backslash between quotation marks is written \\`)
		}
	}
	c.i = len(c.s)
	return true, "", slipf(at, codeQuote, "the quotation mark opened here is never closed")
}

// outsideQuotes is s with what stands between quotation marks blotted out, byte for byte. open is where a quotation mark
// is opened that is never closed, -1 for none.
func outsideQuotes(s string) (out string, open int) {
	if !strings.ContainsAny(s, `"“`) {
		return s, -1
	}
	b := []byte(s)
	var closing string
	open = -1
	for i := 0; i < len(b); i++ {
		switch {
		case open < 0 && b[i] == '"':
			open, closing = i, `"`
		case open < 0 && strings.HasPrefix(s[i:], "“"):
			open, closing = i, "”"
		case open < 0:
		case strings.HasPrefix(s[i:], closing):
			i += len(closing) - 1
			open = -1
		default:
			if b[i] == '\\' && closing == `"` && i+1 < len(b) {
				b[i] = '_'
				i++
			}
			b[i] = '_'
		}
	}
	return string(b), open
}

// colonIn is where the first colon outside quotation marks is, -1 for none.
func colonIn(s string) int {
	out, _ := outsideQuotes(s)
	return strings.IndexByte(out, ':')
}

// bare reports whether a name can stand in a tally book as it is; any other is put in quotation marks.
func bare(s string) bool {
	for i, r := range s {
		if !unicode.IsLetter(r) && (i == 0 || !unicode.IsDigit(r) && r != '-' && r != '_') {
			return false
		}
	}
	return s != ""
}

// quoted is a name as a tally book or a level's text carries it.
func quoted(s string) string {
	if bare(s) {
		return s
	}
	return strconv.Quote(s)
}

// levelText is a level as one text, "turn 30 deg, duration 5 s", that addLevelText reads back.
func levelText(l curriculum.LevelRef) string {
	var b strings.Builder
	for i, v := range l {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(quoted(v.Of))
		b.WriteByte(' ')
		if v.Name != "" {
			if v.Of == curriculum.PieceRamp {
				b.WriteString(strconv.Quote(v.Name))
			} else {
				b.WriteString(quoted(v.Name))
			}
			continue
		}
		b.WriteString(v.LevelValue.String())
	}
	return b.String()
}

// addLevelText reads a level from one text. at is where the text begins in its line, -1 where that is not known.
func addLevelText(n *interner, t *curriculum.Trial, text string, at int) *slip {
	place := func(i int) int {
		if at < 0 {
			return -1
		}
		return at + i
	}
	c := cursor{s: text}
	for {
		of, quoted, i, bad := c.word(",")
		if bad != nil {
			bad.at = place(bad.at)
			return bad
		}
		if r, _ := utf8.DecodeRuneInString(of); of == "" || !quoted && !unicode.IsLetter(r) {
			return slipf(place(i), codeLevel, "a ramp's name is expected, as in turn 30 deg")
		}
		c.space()
		from := c.i
		isQuoted, value, err := c.levelValue()
		if err != nil {
			err.at = place(err.at)
			return err
		}
		if value == "" {
			return slipf(place(from), codeLevel, "%s has no value, as in turn 30 deg", quoteShort(of))
		}
		of, badly := n.name([]byte(of))
		if badly != "" {
			return slipf(place(i), codeName, "a ramp's name %s", badly)
		}
		if of != curriculum.ThinRamp && !isQuoted && strings.ContainsFunc(value, unicode.IsSpace) {
			if _, ok := curriculum.ParseQuantity(value); !ok {
				return slipf(place(from), codeLevel, "%s is no value; a level's ramps have commas between them, as in turn 30 deg, duration 5 s", quoteShort(value))
			}
		}
		if bad := addLevel(n, t, of, []byte(value), place(from)); bad != nil {
			return bad
		}
		if c.end() {
			return nil
		}
		if !c.has(",") {
			return slipf(place(c.i), codeLevel, "a comma is expected between a level's ramps")
		}
	}
}

// levelValue reads up to the next comma, or a quotation.
func (c *cursor) levelValue() (quoted bool, text string, bad *slip) {
	if is, text, bad := c.quotation(); is {
		return true, text, bad
	}
	from := c.i
	if n := strings.IndexByte(c.s[from:], ','); n >= 0 {
		c.i = from + n
	} else {
		c.i = len(c.s)
	}
	return false, strings.TrimSpace(c.s[from:c.i]), nil
}
