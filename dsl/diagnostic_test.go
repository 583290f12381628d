package dsl

import (
	"encoding/json"
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update-reports", false, "write the golden files in testdata/reports and testdata/tidy anew")

// The archives in testdata/reports hold a text and what is reported on it in all three forms.
func TestReportsInThreeForms(t *testing.T) {
	golden(t, "testdata/reports/*.txtar", func(t *testing.T, in string) map[string]string {
		_, ds := Parse("in.rung", []byte(in))
		editor := make([]EditorDiagnostic, len(ds))
		for i, d := range ds {
			editor[i] = d.Editor()
		}
		return map[string]string{"text": ds.Text(), "json": lines(t, ds), "editor": lines(t, editor)}
	})
}

func TestTidyByExample(t *testing.T) {
	golden(t, "testdata/tidy/*.txtar", func(t *testing.T, in string) map[string]string {
		out, err := Tidy("in.rung", []byte(in))
		require.NoError(t, err)
		again, err := Tidy("in.rung", out)
		require.NoError(t, err)
		require.Equal(t, string(out), string(again), "tidy comes to rest")
		return map[string]string{"tidy": string(out)}
	})
}

// golden compares what a function makes of the file "in" of each archive with the other files of the archive.
func golden(t *testing.T, glob string, f func(*testing.T, string) map[string]string) {
	files, err := filepath.Glob(glob)
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, name := range files {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			archive, err := txtar.ParseFile(name)
			require.NoError(t, err)
			require.Equal(t, "in", archive.Files[0].Name)
			// archives cannot hold line ends of the other kind or marks at the beginning: they are spelled out
			in := strings.NewReplacer("<CR>\n", "\r\n", "<BOM>", byteOrderMark, "<TAB>", "\t").Replace(string(archive.Files[0].Data))
			got := f(t, in)
			if *update {
				archive.Files = archive.Files[:1]
				for _, part := range []string{"text", "json", "editor", "tidy"} {
					if s, ok := got[part]; ok {
						archive.Files = append(archive.Files, txtar.File{Name: part, Data: []byte(s)})
					}
				}
				require.NoError(t, os.WriteFile(name, txtar.Format(archive), 0o666))
				return
			}
			require.Len(t, archive.Files, len(got)+1)
			for _, part := range archive.Files[1:] {
				require.Equal(t, string(part.Data), got[part.Name], part.Name)
			}
		})
	}
}

// lines is a list as JSON, one element a line.
func lines[T any](t *testing.T, list []T) string {
	var b strings.Builder
	for _, v := range list {
		e := json.NewEncoder(&b)
		e.SetEscapeHTML(false)
		require.NoError(t, e.Encode(v))
	}
	return b.String()
}

func TestDiagnosticsAreAnErrorOnlyWithAnErrorAmongThem(t *testing.T) {
	require.NoError(t, Diagnostics(nil).Err())
	warning := Diagnostics{{Severity: Warning, Code: "R0004", Source: NewSource("a", "b")}}
	require.NoError(t, warning.Err())
	_, ds := Parse("a.rung", []byte("place yard"))
	var as Diagnostics
	require.True(t, errors.As(ds.Err(), &as))
	require.Contains(t, ds.Error(), "a.rung:1:1: error R0201")
	require.False(t, strings.HasSuffix(ds.Error(), "\n"))
}

func TestManyFindingsAreCutAndTheRestCounted(t *testing.T) {
	src := "rung 1\n" + strings.Repeat("place room_a\n", 250)
	_, ds := Parse("a.rung", []byte(src))
	require.Len(t, ds, DefaultMaxDiagnostics+1)
	last := ds[len(ds)-1]
	require.Equal(t, "R0004", last.Code)
	require.Equal(t, "and 150 more", last.Message.String())
	_, ds = Parse("a.rung", []byte("rung 1\n"+strings.Repeat("place room_a\n", 5000)), MaxDiagnostics(3))
	require.Equal(t, "and 4997 more", ds[3].Message.String())
}

func TestPlacesCountCharactersAndEditorsCountTheirOwnWay(t *testing.T) {
	s := NewSource("a", byteOrderMark+"a\r\nb😀é c\n")
	at := strings.Index(s.Text, "c")
	line, column := s.Position(at)
	require.Equal(t, [2]int{2, 5}, [2]int{line, column})
	line, column = s.utf16Position(at)
	require.Equal(t, [2]int{1, 5}, [2]int{line, column})
	line, column = s.Position(strings.Index(s.Text, "a"))
	require.Equal(t, [2]int{1, 1}, [2]int{line, column}, "a byte order mark is no character of the text")
	line, column = s.Position(1000)
	require.Equal(t, [2]int{3, 1}, [2]int{line, column}, "a place past the end is the end")
	require.Equal(t, "a", s.Pos(at).File)
}

func TestFindingsSortByFileAndPlace(t *testing.T) {
	a, b := NewSource("a", "xyz"), NewSource("b", "xyz")
	ds := Diagnostics{{Source: b, Span: Span{0, 1}, Code: "1"}, {Source: a, Span: Span{2, 3}, Code: "2"}, {Source: a, Span: Span{1, 2}, Code: "4"}, {Source: a, Span: Span{1, 2}, Code: "3"}}
	ds.Sort()
	var codes []string
	for _, d := range ds {
		codes = append(codes, d.Code)
	}
	require.Equal(t, []string{"3", "4", "2", "1"}, codes)
}

// Every look-alike stands for one character that a name can have.
func TestLookAlikesStandForCharactersOfNames(t *testing.T) {
	for odd, plain := range lookAlike {
		require.Greater(t, odd, rune(127))
		require.Len(t, plain, 1)
		require.True(t, isNameByte(plain[0]), "%c", odd)
	}
	for _, letter := range "äàáâãåæçèéêëìíîïñöòóôõøüùúûýÿß" {
		require.NotEqual(t, "x", plainLetter(letter), "%c", letter)
	}
}
