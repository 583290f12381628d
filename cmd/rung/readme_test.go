package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The README is run, so that it cannot rot. Each section works in a folder of its own, beside a link `rung` to this
// checkout. A fenced block is
//
//   - a file, if its first line names one: ```go file=main.go
//   - console lines: those after "$ " are run, what follows them is what they print on both streams. A line "..." there
//     stands for any number of lines, and one that ends in "..." for any ending, so that a tour can show what matters.

// block is one fenced block of the README.
type block struct {
	section string
	info    string // behind the fence
	line    int
	text    string
}

func readmeBlocks(t *testing.T, root string) []block {
	src, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	var out []block
	var open *block
	section := ""
	for i, line := range strings.Split(string(src), "\n") {
		switch {
		case open == nil && strings.HasPrefix(line, "```"):
			open = &block{section: section, info: strings.TrimPrefix(line, "```"), line: i + 1}
		case open != nil && line == "```":
			out = append(out, *open)
			open = nil
		case open != nil:
			open.text += line + "\n"
		case strings.HasPrefix(line, "## "):
			section = strings.TrimPrefix(line, "## ")
		}
	}
	require.Nil(t, open, "a fence is not closed")
	return out
}

func repoRoot(t testing.TB) string {
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	return root
}

// The two commands for a fresh machine stand first, and the test command is what .ci/run runs.
func TestReadmeBeginsWithTheTwoCommands(t *testing.T) {
	root := repoRoot(t)
	first := readmeBlocks(t, root)[0]
	require.Equal(t, "go run ./cmd/rung demo\ngo test ./...\n", first.text)
	ci, err := os.ReadFile(filepath.Join(root, ".ci/run"))
	require.NoError(t, err)
	require.Contains(t, string(ci), "\n\tgo test ./...\n")
	require.Contains(t, string(ci), "\n\tgo run ./cmd/rung demo ")
}

func TestReadmeTours(t *testing.T) {
	if testing.Short() {
		t.Skip("long, and of one goroutine")
	}
	root := repoRoot(t)
	sections := map[string][]block{}
	var order []string
	for _, b := range readmeBlocks(t, root)[1:] {
		if sections[b.section] == nil {
			order = append(order, b.section)
		}
		sections[b.section] = append(sections[b.section], b)
	}
	require.Equal(t, []string{"Ten minutes for a trainer", "Ten minutes for a course author", "Ten minutes for a developer", "Keeping a log"}, order)
	for _, name := range order {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.Symlink(root, filepath.Join(dir, "rung")))
			at := dir
			for _, b := range sections[name] {
				at = runBlock(t, dir, at, b)
			}
		})
	}
}

var fileInfo = regexp.MustCompile(`\bfile=(\S+)`)

// runBlock writes or runs one block of a section whose folder is top, in the folder it has gone to; it returns where it
// has gone from there.
func runBlock(t *testing.T, top, dir string, b block) string {
	if m := fileInfo.FindStringSubmatch(b.info); m != nil {
		file := filepath.Join(top, m[1])
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(b.text), 0o644))
		return dir
	}
	require.Equal(t, "console", b.info, "README.md:%d: no test knows what to do with this block", b.line)
	for _, c := range consoleLines(b.text) {
		if to, ok := strings.CutPrefix(c.command, "cd "); ok {
			dir = filepath.Join(dir, to)
			continue
		}
		out := shell(t, dir, c.command)
		require.True(t, likeShown(c.shown, out), "README.md:%d: %s prints\n%s\nbut the README shows\n%s", b.line, c.command, out, c.shown)
	}
	return dir
}

// shell runs one line as a reader would type it and returns what it prints on both streams. Modules come from the local
// cache where they are there, and this checkout's own go.sum has vouched for them already.
func shell(t *testing.T, dir, line string) string {
	cmd := exec.Command("sh", "-c", line)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "NO_COLOR=1", "GONOSUMDB=*", "GOWORK=off", "GOFLAGS=")
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatalf("%s: %v", line, err)
	}
	return string(out)
}

type console struct{ command, shown string }

func consoleLines(text string) []console {
	var out []console
	for _, line := range strings.SplitAfter(text, "\n") {
		if command, ok := strings.CutPrefix(line, "$ "); ok {
			out = append(out, console{command: strings.TrimSpace(command)})
		} else if len(out) > 0 {
			out[len(out)-1].shown += line
		}
	}
	return out
}

// likeShown reports whether out is what is shown, "..." lines standing for anything.
func likeShown(shown, out string) bool {
	var pattern strings.Builder
	pattern.WriteString(`\A`)
	for _, line := range strings.SplitAfter(shown, "\n") {
		if line == "...\n" {
			pattern.WriteString(`(.*\n)*?`)
			continue
		}
		if start, ok := strings.CutSuffix(line, "...\n"); ok {
			pattern.WriteString(regexp.QuoteMeta(start) + `.*\n`)
			continue
		}
		pattern.WriteString(regexp.QuoteMeta(line))
	}
	pattern.WriteString(`\z`)
	return regexp.MustCompile(pattern.String()).MatchString(out)
}

func TestLikeShownTellsAChangedLine(t *testing.T) {
	require.True(t, likeShown("a\nb\n", "a\nb\n"))
	require.True(t, likeShown("a\n...\nd\n", "a\nb\nc\nd\n"))
	require.False(t, likeShown("a\n...\nd\n", "a\nb\nc\ne\n"))
	require.False(t, likeShown("a\n", "a\nb\n"))
	require.True(t, likeShown("a: ...\nb\n", "a: x y\nb\n"))
	require.False(t, likeShown("a: ...\nb\n", "a: x\ny\nb\n"))
}
