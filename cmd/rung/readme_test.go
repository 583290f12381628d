package main

import (
	"bytes"
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
//     stands for any number of lines, so that a tour can show the interesting part.
//   - sh lines: run, and only have to succeed.

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
	root := repoRoot(t)
	sections := map[string][]block{}
	var order []string
	for _, b := range readmeBlocks(t, root)[1:] {
		if sections[b.section] == nil {
			order = append(order, b.section)
		}
		sections[b.section] = append(sections[b.section], b)
	}
	require.Equal(t, []string{"Ten minutes for a trainer", "Ten minutes for a course author", "Ten minutes for a developer"}, order)
	for _, name := range order {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.Symlink(root, filepath.Join(dir, "rung")))
			for _, b := range sections[name] {
				runBlock(t, filepath.Join(dir), b)
			}
		})
	}
}

var fileInfo = regexp.MustCompile(`\bfile=(\S+)`)

func runBlock(t *testing.T, dir string, b block) {
	switch m := fileInfo.FindStringSubmatch(b.info); {
	case m != nil:
		file := filepath.Join(dir, m[1])
		require.NoError(t, os.MkdirAll(filepath.Dir(file), 0o755))
		require.NoError(t, os.WriteFile(file, []byte(b.text), 0o644))
	case b.info == "sh":
		for _, line := range strings.Split(strings.TrimSpace(b.text), "\n") {
			out, err := shell(dir, line)
			require.NoError(t, err, "README.md:%d: %s\n%s", b.line, line, out)
		}
	case b.info == "console":
		for _, c := range consoleLines(b.text) {
			out, _ := shell(dir, c.command)
			require.True(t, likeShown(c.shown, out), "README.md:%d: %s prints\n%s\nbut the README shows\n%s", b.line, c.command, out, c.shown)
		}
	default:
		t.Fatalf("README.md:%d: no test knows what to do with a block %q", b.line, b.info)
	}
}

// shell runs one line as a reader would type it. Modules come from the local cache: nothing is fetched.
func shell(dir, line string) (string, error) {
	cmd := exec.Command("sh", "-c", line)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "NO_COLOR=1", "GOFLAGS=-mod=mod", "GOPROXY=off", "GONOSUMDB=*", "GOWORK=off")
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	err := cmd.Run()
	return out.String(), err
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
}
