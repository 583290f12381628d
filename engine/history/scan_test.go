package history

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// jsonSeeds are texts at the edges of RFC 8259's grammar.
var jsonSeeds = []string{
	`{}`, `[]`, `""`, `0`, `-0`, `-0.5e-3`, `1E+2`, `1e400`, `01`, `+1`, `.5`, `5.`, `-`, `1e`, `nul`, `null`, `true`, `falsey`,
	`{"a":1,"a":2}`, `{"a":{"b":[1,2,{"c":null}]}}`, `{"a":1,}`, `{,}`, `[1,]`, `[,1]`, `[1 2]`, `{"a" 1}`, `{a:1}`, `{"a":1`, `"\u00e9\n\t\/\\\""`,
	`"\ud83d\ude00"`, `"\ud800"`, `"\udc00x"`, `"\ud800\u0041"`, `"\x"`, `"\u12g4"`, `"\u12"`, `"a` + "\n" + `b"`, "\"\x00\"", "\"\xff\"", "\"é\"", "\"\u2028\"",
	" {\t\"a\"\r\n: 1 } ", "{\"a\":\"\xc3\"}", `123456789012345678901234567890`, `0.1234567890123456789`, `1.7976931348623157e308`, `5e-324`,
	`{"a":1}x`, `[[[[[[]]]]]]`, `"`, `{"`, `{"a":`, `["`, "\xef\xbb\xbf{}",
}

// reads is what the scanner makes of a whole text: a value as encoding/json would give it.
func reads(text []byte) (v any, ok bool, bad *slip) {
	s := &scanner{}
	s.reset(text)
	s.space()
	v, ok = anyValue(s, 0)
	if ok {
		if s.space(); s.i < len(text) {
			ok = s.fail(s.i, codeJSON, "more behind the value")
		}
	}
	return v, ok, s.bad
}

func anyValue(s *scanner, depth int) (v any, ok bool) {
	if depth > maxDepth {
		return nil, s.fail(s.i, codeJSON, "too deep")
	}
	switch s.peek() {
	case '"':
		b, ok := s.text()
		return string(b), ok
	case '{':
		m := map[string]any{}
		ok := s.object(func(key []byte, at int) bool {
			k := string(key)
			v, ok := anyValue(s, depth+1)
			m[k] = v
			return ok
		})
		return m, ok
	case '[':
		l := []any{}
		ok := s.list(func() bool {
			v, ok := anyValue(s, depth+1)
			l = append(l, v)
			return ok
		})
		return l, ok
	case 't':
		return true, s.word("true")
	case 'f':
		return false, s.word("false")
	case 'n':
		return nil, s.word("null")
	}
	return s.number()
}

// FuzzScanner compares with encoding/json, the slow reference: it takes the same texts and gives the same values,
// but for what it refuses on purpose (bytes that are not UTF-8, halves of surrogate pairs, deep nesting).
func FuzzScanner(f *testing.F) {
	for _, s := range jsonSeeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, ok, bad := reads(text)
		require.Equal(t, !ok, bad != nil, "a refusal has its reason")
		var want any
		err := json.Unmarshal(text, &want)
		if ok {
			require.NoError(t, err, "encoding/json refuses it")
			require.Equal(t, want, got)
			s := &scanner{}
			s.reset(bytes.TrimSpace(text))
			require.True(t, s.skip(0), "skip refuses what was read")
			return
		}
		if !utf8.Valid(text) || bad.code == codeUTF8 || strings.Contains(bad.text, "deep") || depthOf(text) > maxDepth {
			return
		}
		require.Error(t, err, "refused with %q", bad.text)
	})
}

func depthOf(text []byte) (most int) {
	n := 0
	for _, c := range text {
		switch c {
		case '{', '[':
			n++
			most = max(most, n)
		case '}', ']':
			n--
		}
	}
	return most
}

func TestScannerRefusesOnPurposeWhatIsNotUTF8(t *testing.T) {
	for _, text := range []string{"\"\xff\"", `"\ud800"`, `"\udc00"`, `"\ud800\ud800"`, "{\"a\xc0\":1}", "\"\\n\xff\""} {
		_, ok, bad := reads([]byte(text))
		require.False(t, ok, text)
		require.Equal(t, codeUTF8, bad.code, text)
	}
}

func TestScannerNumbersAreThoseOfStrconv(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringMatching(`-?(0|[1-9][0-9]{0,20})(\.[0-9]{1,20})?([eE][+-]?[0-9]{1,3})?`),
			rapid.Map(rapid.Float64(), func(f float64) string { return string(appendNumber(nil, f)) }),
		).Draw(t, "number")
		if strings.ContainsAny(text, "NI") { // NaN and Inf are no JSON
			return
		}
		want, err := strconv.ParseFloat(text, 64)
		got, ok := plainNumber(text)
		if err != nil {
			require.False(t, ok, text)
			return
		}
		require.True(t, ok, text)
		require.Equal(t, math.Float64bits(want), math.Float64bits(got), text)
	})
}

func TestTimesAreThoseOfTheStandardLibrary(t *testing.T) {
	var c clock
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(
			rapid.StringMatching(`[0-9]{4}-(0[1-9]|1[0-3])-(0[1-9]|[12][0-9]|3[01])T([01][0-9]|2[0-4]):[0-6][0-9]:[0-6][0-9](\.[0-9]{1,9})?(Z|[+-][01][0-9]:[0-5][0-9])`),
			rapid.StringMatching(`2026-03-0[1-9][Tt ]1[0-9]:00:0[0-9]?(\.[0-9]{0,10})?(Z|[+-][0-2][0-9]:?[0-5][0-9]|)`),
		).Draw(t, "time")
		got, hint := c.rfc3339([]byte(text))
		want, err := time.Parse(time.RFC3339Nano, text)
		if err != nil {
			// RFC 3339 allows a small t, the standard library does not
			if hint == "" && !strings.Contains(text, "t") {
				require.Fail(t, "taken, though the standard library says: "+err.Error(), text)
			}
			return
		}
		if n := len(text) - 6; n > 0 && (text[n] == '+' || text[n] == '-') && text[n+1:n+3] == "24" {
			// the standard library takes an offset of 24 hours, RFC 3339 (section 5.6, time-hour) ends at 23
			require.NotEmpty(t, hint, text)
			return
		}
		require.Empty(t, hint, text)
		_, wantOffset := want.Zone()
		_, offset := got.Zone()
		require.True(t, want.Equal(got), text)
		require.Equal(t, wantOffset, offset, text)
	})
}

func TestLinesAreThoseOfAPlainSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-c]{0,30}\r?\n?){0,12}`).Draw(t, "text")
		step := rapid.IntRange(1, 9).Draw(t, "bytes a read")
		limit := rapid.IntRange(4, 20).Draw(t, "limit")
		l := newLines(&chunks{[]byte(text), step}, limit)
		want := strings.Split(text, "\n")
		if want[len(want)-1] == "" {
			want = want[:len(want)-1]
		}
		for n, w := range want {
			b, long, ok := l.next()
			require.True(t, ok)
			require.Equal(t, n+1, l.line)
			w = strings.TrimSuffix(w, "\r")
			if require.Equal(t, len(w) > limit, long, "%q", w); !long {
				require.Equal(t, w, string(b))
			}
		}
		_, _, ok := l.next()
		require.False(t, ok)
		require.Equal(t, io.EOF, l.err)
	})
}

// chunks gives a few bytes at each read.
type chunks struct {
	b    []byte
	step int
}

func (c *chunks) Read(p []byte) (int, error) {
	if len(c.b) == 0 {
		return 0, io.EOF
	}
	n := copy(p[:min(len(p), c.step)], c.b)
	c.b = c.b[n:]
	return n, nil
}
