package main

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// testWorld is a world of strings.
func testWorld(stdin string) (w *world, stdout, stderr *bytes.Buffer) {
	stdout, stderr = &bytes.Buffer{}, &bytes.Buffer{}
	return &world{
		stdin:  strings.NewReader(stdin),
		stdout: newOutput(stdout, false),
		stderr: newOutput(stderr, false),
		now:    func() time.Time { return time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC) },
	}, stdout, stderr
}

func TestWrappedKeepsToTheWidthAndLosesNoWord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SliceOf(rapid.StringMatching(`[a-zäß]{1,20}`)).Draw(t, "words")
		indent := strings.Repeat(" ", rapid.IntRange(0, 20).Draw(t, "indent"))
		text := wrapped(strings.Join(words, " "), "", indent)
		require.Equal(t, strings.Join(words, " "), strings.Join(strings.Fields(text), " "))
		for _, line := range strings.Split(text, "\n") {
			require.LessOrEqual(t, columns(line), width)
		}
	})
}

func TestPaintTakesNoColumns(t *testing.T) {
	o := newOutput(&bytes.Buffer{}, true)
	require.Equal(t, "\x1b[1mokapi\x1b[0m", o.paint(bold, "okapi"))
	require.Equal(t, 5, columns(o.paint(bold, "okapi")))
	require.Equal(t, "okapi", newOutput(&bytes.Buffer{}, false).paint(bold, "okapi"))
}

func TestPerhapsOffersTheNearestNameOrTheFewThereAre(t *testing.T) {
	names := []string{"check", "standing", "why"}
	require.Equal(t, "Did you mean standing?", perhaps("Stnading", names))
	require.Equal(t, "Known here: check, standing, why.", perhaps("xyzzy", names))
	require.Empty(t, perhaps("xyzzy", nil))
}

// failing is a stream whose reader went away or whose disk is full.
type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestAReaderWhoGoesAwayIsNoErrorButAFullDiskIs(t *testing.T) {
	for _, c := range []struct {
		name string
		err  error
		code int
		says string
	}{
		{"broken pipe", &os.PathError{Op: "write", Path: "|1", Err: syscall.EPIPE}, exitFine, ""},
		{"full disk", &os.PathError{Op: "write", Path: "out", Err: syscall.ENOSPC}, exitFailed, "rung: write out: no space left on device\n"},
		{"other", errors.New("gone"), exitFailed, "rung: gone\n"},
	} {
		w, _, stderr := testWorld("")
		w.stdout = newOutput(failing{c.err}, false)
		require.Equal(t, c.code, run([]string{"help"}, w), c.name)
		require.Equal(t, c.says, stderr.String(), c.name)
	}
}

func TestStandardInputIsNamedOnceOnly(t *testing.T) {
	require.NoError(t, onceOnly("a", "-", "b"))
	require.ErrorContains(t, onceOnly("-", "a", "-"), "once only")
}

func TestEveryCallHasAGuideAndAPlaceInTheOverview(t *testing.T) {
	parser, err := newParser()
	require.NoError(t, err)
	for _, n := range parser.Model.Children {
		require.Contains(t, guides, n.Name)
		require.Contains(t, inOrder, n.Name)
		for _, f := range n.Flags {
			require.NotEmpty(t, f.Help, "%s --%s", n.Name, f.Name)
		}
	}
}
