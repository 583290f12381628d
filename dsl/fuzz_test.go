package dsl

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// seed gives a fuzz target what it starts from: the demo school, the test curricula, every page's examples, and the
// hostile texts cut short.
func seed(f *testing.F) {
	for _, glob := range []string{"testdata/*.rung", "testdata/faults/*.rung", "../examples/*.rung", "../examples/*/*.rung"} {
		files, err := filepath.Glob(glob)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range files {
			src, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			for len(src) > 0 { // in pieces: the fuzzer is slow with long ones
				n := min(len(src), 700)
				if i := bytes.Index(src[n:], []byte("\n}\n")); i >= 0 {
					n += i + 3
				}
				f.Add(append([]byte("rung 1\n"), src[:n]...))
				src = src[n:]
			}
		}
	}
	for _, c := range syntaxCodes {
		f.Add([]byte(c.Faulty))
		f.Add([]byte(c.Repaired))
	}
	for _, text := range hostile {
		f.Add([]byte(text[:min(len(text), 400)]))
	}
}

// FuzzParse: no text breaks the reader, every finding has a place in the text and a code with a page, and its three forms
// can be made.
func FuzzParse(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		file, ds := Parse("fuzz.rung", src)
		if file == nil || len(ds) > DefaultMaxDiagnostics+1 {
			t.Fatal("no file, or too many findings")
		}
		for i, d := range ds {
			if d.Span.From < 0 || d.Span.To < d.Span.From || d.Span.To > len(src) {
				t.Fatalf("%s at %v of %d bytes", d.Code, d.Span, len(src))
			}
			if _, ok := Explain(d.Code); !ok {
				t.Fatalf("no page for %q (%s)", d.Code, d.Message.Key)
			}
			if i > 0 && ds[i-1].Span.From > d.Span.From {
				t.Fatal("findings out of order")
			}
			for _, e := range d.Edits {
				if e.Span.From < 0 || e.Span.To < e.Span.From || e.Span.To > len(src) {
					t.Fatalf("%s edits %v of %d bytes", d.Code, e.Span, len(src))
				}
			}
			if _, err := d.MarshalJSON(); err != nil {
				t.Fatal(err)
			}
			d.Editor()
			if text := d.Text(); !utf8.ValidString(text) && utf8.Valid(src) || strings.Contains(text, "\x1b") {
				t.Fatalf("%q", text)
			}
		}
		if _, again := Parse("fuzz.rung", src); again.Text() != ds.Text() {
			t.Fatal("not the same twice")
		}
		for _, s := range file.body {
			if at := s.Span(); at.From < 0 || at.To > len(src) || at.From >= at.To {
				t.Fatalf("a statement at %v of %d bytes", at, len(src))
			}
		}
	})
}

// FuzzTidy: what tidy hands out has no faults, is at rest, and has every remark. It refuses no text without faults.
func FuzzTidy(f *testing.F) {
	seed(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		file, ds := Parse("fuzz.rung", src)
		out, err := Tidy("fuzz.rung", src)
		if ds.HasErrors() != (err != nil) {
			t.Fatalf("faults: %v, tidy: %v\n%s", ds, err, src)
		}
		if err != nil {
			return
		}
		again, err := Tidy("fuzz.rung", out)
		if err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		if !bytes.Equal(out, again) {
			t.Fatalf("not at rest:\n%s\n%s", out, again)
		}
		rest := string(out)
		for _, r := range file.remarks {
			_, after, ok := strings.Cut(rest, r.Text)
			if !ok {
				t.Fatalf("lost %q:\n%s", r.Text, out)
			}
			rest = after
		}
	})
}

// FuzzCriterion: no criterion breaks the reader.
func FuzzCriterion(f *testing.F) {
	for _, c := range []string{"4 of last 5", "80% of a session of at least 10 trials in 2 sessions in a row", "not (a or b) in 2 places", "{ latency < 2 } and first trial in 3 sessions", " last 5"} {
		f.Add(c)
	}
	f.Fuzz(func(t *testing.T, text string) {
		_, c, ds := parseCriterion(text)
		if c == nil && !ds.HasErrors() {
			t.Fatalf("%v %s", c, ds.Text())
		}
	})
}
