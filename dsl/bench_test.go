package dsl

import (
	"bytes"
	"os"
	"testing"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"
	"github.com/stretchr/testify/require"
)

// longText is the test curriculum over and over, about 250 KB.
func longText(tb testing.TB) []byte {
	src, err := os.ReadFile("testdata/yard.rung")
	require.NoError(tb, err)
	first, rest, _ := bytes.Cut(src, []byte("\n"))
	return append(append(first, '\n'), bytes.Repeat(rest, 60)...)
}

func BenchmarkParse(b *testing.B) {
	src := longText(b)
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if _, ds := Parse("long.rung", src); len(ds) > 0 {
			b.Fatal(ds)
		}
	}
}

// BenchmarkParseFaulty has a fault in every tenth line or so.
func BenchmarkParseFaulty(b *testing.B) {
	src := bytes.ReplaceAll(longText(b), []byte("prompt word"), []byte("prompt word word"))
	src = bytes.ReplaceAll(src, []byte("4 of last 5"), []byte("4 out of 5"))
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		Parse("long.rung", src)
	}
}

func BenchmarkTidy(b *testing.B) {
	src := longText(b)
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if _, err := Tidy("long.rung", src); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkYardstick is participle as it comes, with its own lexer, over a flat language of the same words: what it costs
// to read such a text without spans of statements, recovery, hints or remarks.
func BenchmarkYardstick(b *testing.B) {
	type item struct {
		Word  string   `parser:"@Word"`
		Parts []string `parser:"@( Word | Number | String | Punct )*"`
		End   string   `parser:"@End+"`
	}
	type file struct {
		Items []*item `parser:"End* @@*"`
	}
	p := participle.MustBuild[file](participle.UseLookahead(1), participle.Elide("Space", "Remark"), participle.Lexer(lexer.MustSimple([]lexer.SimpleRule{
		{Name: "Remark", Pattern: `#[^\n]*`}, {Name: "Space", Pattern: `[ \t]+`}, {Name: "End", Pattern: `[\n{}]`},
		{Name: "String", Pattern: `"(\\.|[^"\\\n])*"`}, {Name: "Number", Pattern: `[0-9]+(\.[0-9]+)?`}, {Name: "Word", Pattern: `[A-Za-z][A-Za-z0-9-]*`},
		{Name: "Punct", Pattern: `[^\s]`},
	})))
	src := longText(b)
	b.SetBytes(int64(len(src)))
	for b.Loop() {
		if _, err := p.ParseBytes("long.rung", src); err != nil {
			b.Fatal(err)
		}
	}
}
