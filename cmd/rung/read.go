package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
)

// stdinName is what findings call standard input.
const stdinName = "standard input"

// readCurriculum reads a curriculum and what it uses. The error is for a file that cannot be read at all; what is wrong
// with its text, and what the engine cannot evaluate, are findings.
func readCurriculum(w *world, file string) (*curriculum.Curriculum, *engine.Program, dsl.Diagnostics, error) {
	var house *curriculum.Curriculum
	var findings dsl.Diagnostics
	if file == "-" {
		text, err := w.readStdin()
		if err != nil {
			return nil, nil, nil, err
		}
		house, findings = dsl.ReadFS(besideStdin{text}, stdinName)
	} else {
		if err := readable(file); err != nil {
			return nil, nil, nil, err
		}
		house, findings = dsl.ReadFileDiagnostics(file)
	}
	if house == nil {
		return nil, nil, findings, nil
	}
	program, err := engine.Compile(house)
	var refused engine.Refusals
	switch {
	case errors.As(err, &refused):
		findings = append(findings, asFindings(refused, w.stdinText)...)
		findings.Sort()
	case err != nil:
		return nil, nil, findings, err
	}
	return house, program, findings, nil
}

// readStdin reads all of standard input, for a curriculum; one byte more than a curriculum may have is enough to see
// that it is too long.
func (w *world) readStdin() (string, error) {
	b, err := io.ReadAll(io.LimitReader(w.stdin, dsl.DefaultMaxFileBytes+1))
	if err != nil {
		return "", fmt.Errorf("standard input: %w", err)
	}
	w.stdinText = string(b)
	return w.stdinText, nil
}

// readable is an error for a file that cannot be read as a curriculum at all.
func readable(file string) error {
	f, err := os.Open(file)
	if err != nil {
		return plainly(file, err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return usagef("Name the file that uses the others, such as "+filepath.Join(file, "house.rung")+".", "%s is a folder", file)
	}
	return nil
}

// plainly says in words why a file could not be opened.
func plainly(file string, err error) error {
	switch {
	case file == "":
		return usagef("", "a file's name is empty")
	case errors.Is(err, fs.ErrNotExist):
		return usagef(nearFile(file), "there is no file %s", file)
	case errors.Is(err, fs.ErrPermission):
		return usagef("", "%s may not be read by you", file)
	}
	return err
}

// nearFile asks whether the file beside it with the nearest name is meant; "" where none is near.
func nearFile(file string) string {
	folder, name := filepath.Split(file)
	entries, err := os.ReadDir(filepath.Clean(folder))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	if near := curriculum.Nearest(name, names); near != "" {
		return "Did you mean " + filepath.ToSlash(folder) + near + "?"
	}
	return ""
}

// plainPath is plainly for an error that knows its file.
func plainPath(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return plainly(p.Path, err)
	}
	return err
}

// besideStdin is the working directory with the text of standard input in it, so that `use` finds files from there.
type besideStdin struct{ text string }

func (d besideStdin) Open(name string) (fs.File, error) {
	if name == stdinName {
		return &textFile{Reader: strings.NewReader(d.text), size: int64(len(d.text))}, nil
	}
	return os.DirFS(".").Open(name)
}

// textFile is a text as an open file.
type textFile struct {
	*strings.Reader
	size int64
}

func (f *textFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f *textFile) Close() error               { return nil }
func (f *textFile) Name() string               { return stdinName }
func (f *textFile) Size() int64                { return f.size }
func (f *textFile) Mode() fs.FileMode          { return 0o444 }
func (f *textFile) ModTime() time.Time         { return time.Time{} }
func (f *textFile) IsDir() bool                { return false }
func (f *textFile) Sys() any                   { return nil }

// asFindings puts what the engine refuses beside what the reader found, in the same shape.
func asFindings(refused engine.Refusals, stdin string) dsl.Diagnostics {
	places := newPlaces(stdin)
	out := make(dsl.Diagnostics, len(refused))
	for i, r := range refused {
		d := dsl.Diagnostic{Severity: dsl.Error, Code: r.Code, Message: dsl.Message{Key: r.Text}, Help: dsl.Message{Key: r.Next}}
		d.Source, d.Span = places.span(r.Pos)
		out[i] = d
	}
	return out
}

func sourceOf(file, stdin string) *dsl.Source {
	if file == stdinName {
		return dsl.NewSource(file, stdin)
	}
	text, err := os.ReadFile(filepath.FromSlash(file))
	if err != nil {
		return dsl.NewSource(file, "") // it was read a moment ago; without it the finding has no excerpt
	}
	return dsl.NewSource(file, string(text))
}

// offsetOf is the byte offset of a line and column, both from 1, columns in characters; the end of the line, or of the
// text, where there is no such place. A byte order mark takes no column.
func offsetOf(text string, line, column int) int {
	at := 0
	for ; line > 1; line-- {
		i := strings.IndexByte(text[at:], '\n')
		if i < 0 {
			return len(text)
		}
		at += i + 1
	}
	if at == 0 && strings.HasPrefix(text, "\ufeff") {
		at = len("\ufeff")
	}
	rest, _, _ := strings.Cut(text[at:], "\n")
	for i := range rest {
		if column--; column == 0 {
			return at + i
		}
	}
	return at + len(rest)
}

// endOfStatement is where a statement's words end on its line.
func endOfStatement(text string, from int) int {
	line, _, _ := strings.Cut(text[from:], "\n")
	line, _, _ = strings.Cut(line, "#")
	line = strings.TrimRight(line, " \t\r{")
	return min(len(text), from+max(1, len(line)))
}

// faultyError is a curriculum that a call cannot work with.
type faultyError struct {
	file     string
	findings dsl.Diagnostics
}

func (e *faultyError) Error() string {
	return fmt.Sprintf("%s in %s, so nothing was worked out\nrung explain CODE says more about a code.", count(errorsIn(e.findings), "fault"), e.file)
}

func errorsIn(findings dsl.Diagnostics) (n int) {
	for _, d := range findings {
		if d.Severity == dsl.Error {
			n++
		}
	}
	return n
}

// readProgram reads a curriculum for a call that needs a sound one.
func readProgram(w *world, file string) (*curriculum.Curriculum, *engine.Program, error) {
	house, program, findings, err := readCurriculum(w, file)
	if err != nil {
		return nil, nil, err
	}
	if program == nil {
		w.stderr.findings(findings)
		return nil, nil, &faultyError{shownName(file), findings}
	}
	return house, program, nil
}

// leftOut are the files that a call could not work with, as JSON has them. What it can do with the others it does.
type leftOut []leftFile

type leftFile struct {
	File string `json:"file"`
	Text string `json:"text"`
	Next string `json:"next,omitempty"`
	err  error
}

func (l *leftOut) add(file string, err error) {
	text, next, _ := strings.Cut(err.Error(), "\n")
	*l = append(*l, leftFile{shownName(file), text, next, err})
}

// end says of each file why it was left out, and is the error of the call; nil where there is none.
func (l leftOut) end(w *world) error {
	for _, f := range l {
		w.stderr.complain(f.err)
	}
	if len(l) > 0 {
		return errSaid
	}
	return nil
}

func shownName(file string) string {
	if file == "-" {
		return stdinName
	}
	return file
}
