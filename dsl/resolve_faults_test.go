package dsl

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

var updateFaults = flag.Bool("update-faults", false, "write what is found into testdata/resolve")

// A file of testdata/resolve is an archive of cases. A case's name says what it shows. In its text [[ and ]] enclose the
// exact piece of each report; the lines behind the text that begin with => are the reports themselves, in their order. A
// text that does not begin with `rung` gets that line; `step:` before the name puts the text into a step s of a behaviour
// b, `behaviour:` into a behaviour b with a step s.
func TestEveryFaultIsReportedOnceAtItsExactPiece(t *testing.T) {
	files, err := filepath.Glob("testdata/resolve/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, path := range files {
		a, err := txtar.ParseFile(path)
		require.NoError(t, err)
		for i := range a.Files {
			f := &a.Files[i]
			t.Run(strings.ReplaceAll(f.Name, "/", " "), func(t *testing.T) { faultCase(t, f) })
		}
		if *updateFaults {
			require.NoError(t, os.WriteFile(path, txtar.Format(a), 0o644))
		}
	}
}

// used are the files that cases may use.
var used = map[string]string{
	"shared.rung":     "rung 1\ncriterion steady = 4 of last 5\nplace yard, lane\nhandler owner\n",
	"again.rung":      "rung 1\nuse \"shared.rung\"\n",
	"circle.rung":     "rung 1\nuse \"round.rung\"\n",
	"round.rung":      "rung 1\nuse \"circle.rung\"\n",
	"sub/inner.rung":  "rung 1\nuse \"../shared.rung\"\n",
	"back.rung":       "rung 1\nuse \"main.rung\"\n",
	"faulty.rung":     "rung 1\ncriterion lost = = 3\n",
	"common.rung":     "rung 1\nplace yard\n",
	"unreadable.rung": "",
}

func faultCase(t *testing.T, f *txtar.File) {
	body, want, _ := strings.Cut(string(f.Data), "=> ")
	if want != "" {
		want = "=> " + want
	}
	marked := body
	switch {
	case strings.HasPrefix(f.Name, "step:"):
		marked = "behaviour b {\n  step s {\n" + body + "    advance when 3 in a row\n  }\n}\n"
	case strings.HasPrefix(f.Name, "behaviour:"):
		marked = "behaviour b {\n" + body + "  step s {\n    advance when 3 in a row\n  }\n}\n"
	}
	if !strings.HasPrefix(marked, "rung") {
		marked = "rung 1\n" + marked
	}
	text, pieces := unmark(marked)
	fsys := fstest.MapFS{"main.rung": {Data: []byte(text)}}
	for name, data := range used {
		fsys[name] = &fstest.MapFile{Data: []byte(data)}
	}
	delete(fsys, "unreadable.rung")
	c, ds := ReadFS(fsys, "main.rung")
	var got strings.Builder
	var places []Span
	for _, d := range ds {
		fmt.Fprintf(&got, "=> %s %s %s", d.Code, d.Severity, d.Message)
		if !d.Help.IsZero() {
			fmt.Fprintf(&got, "; %s", d.Help)
		}
		for _, r := range d.Related {
			line, _ := r.Source.Position(r.Span.From)
			fmt.Fprintf(&got, " [%s:%d %s: %s]", r.Source.Name, line, r.Message, r.Source.Text[r.Span.From:r.Span.To])
		}
		got.WriteString("\n")
		if d.Source.Name == "main.rung" {
			places = append(places, d.Span)
			if d.Code >= "R1" {
				require.True(t, d.Context.From <= d.Span.From && d.Span.To <= d.Context.To, "the statement holds the piece: %v", d)
			}
		}
		for _, e := range d.Edits {
			require.True(t, 0 <= e.Span.From && e.Span.From <= e.Span.To && e.Span.To <= len(d.Source.Text))
		}
	}
	require.Equal(t, pieces, places, "%s\n%s", text, ds.Text())
	require.Equal(t, ds.HasErrors(), c == nil)
	if *updateFaults {
		f.Data = []byte(body + got.String())
		return
	}
	require.Equal(t, want, got.String())
}

// unmark takes [[ and ]] out of a text and returns the pieces they enclosed.
func unmark(marked string) (text string, pieces []Span) {
	for {
		before, rest, found := strings.Cut(marked, "[[")
		text += before
		if !found {
			return text, pieces
		}
		inside, after, _ := strings.Cut(rest, "]]")
		pieces = append(pieces, Span{len(text), len(text) + len(inside)})
		text += inside
		marked = after
	}
}

// Every code has a page whose example shows exactly that fault and whose repair is free of it.
func TestThePagesOfResolvingCodesAreTrue(t *testing.T) {
	for _, e := range resolveCodes {
		t.Run(e.Code, func(t *testing.T) {
			read := func(text string) Diagnostics {
				fsys := fstest.MapFS{"example.rung": {Data: []byte(text)}, "common.rung": {Data: []byte(used["common.rung"])}}
				_, ds := ReadFS(fsys, "example.rung")
				return ds
			}
			ds := read(e.Faulty)
			require.Len(t, ds, 1, ds.Text())
			require.Equal(t, e.Code, ds[0].Code)
			require.Empty(t, read(e.Repaired))
			require.NotEmpty(t, e.Title)
			require.True(t, strings.HasSuffix(e.Means, "."))
			x, ok := Explain(e.Code)
			require.True(t, ok)
			require.Equal(t, e.Means, x.Means)
		})
	}
}

func TestMessageKeysAndCodesAreUnique(t *testing.T) {
	keys, codes := map[string]string{}, map[string]bool{}
	for _, table := range codeTables() {
		for _, e := range table {
			require.False(t, codes[e.Code], e.Code)
			codes[e.Code] = true
			for _, m := range e.Messages {
				require.Empty(t, keys[m.Key], m.Key)
				keys[m.Key] = e.Code
			}
		}
	}
}
