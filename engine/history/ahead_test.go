package history

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
)

// longText is a source long enough to be decoded ahead, with lines that are reported here and there.
func longText(t testing.TB, slips bool) string {
	g := &benchEntries{r: rand.New(rand.NewPCG(5, 6)), at: time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)}
	var b []byte
	for i := range 6000 {
		var err error
		b, err = AppendJSON(b, g.next())
		require.NoError(t, err)
		b = append(b, '\n')
		switch at := g.at.Format(time.RFC3339); {
		case !slips:
		case i%500 == 250:
			b = append(b, "no line\n"...)
		case i%700 == 300:
			b = fmt.Appendf(b, `{"dog":"okapi","behaviour":"settle","at":%q,"outcome":"success","odd%d":1}`+"\n", at, i)
		case i%900 == 450:
			b = fmt.Appendf(b, `{"dog":"okapi","at":%q,"event":"note","note":"%d"}`+"\n", at, i)
		}
	}
	require.Greater(t, len(b), aheadFrom)
	return string(b)
}

func openText(t testing.TB, text string, o Options) *History {
	h, err := OpenFS(fstest.MapFS{"a.jsonl": &fstest.MapFile{Data: []byte(text)}}, []string{"a.jsonl"}, o)
	require.NoError(t, err)
	return h
}

// The reference reads line after line in the test's own goroutine.
func TestReadingAheadShowsAtEveryEntryWhatReadingInStepShows(t *testing.T) {
	text := longText(t, true)
	for _, o := range []Options{{}, {MaxReports: 3}, {Strict: true}} {
		h, r := openText(t, text, o), NewReader(strings.NewReader(text), "a.jsonl", o)
		require.NotNil(t, h.sources[0].ahead)
		r.ordered = true
		var got, want curriculum.Entry
		for n := 0; ; n++ {
			errGot, errWant := h.Next(&got), r.Next(&want)
			require.Equal(t, errWant, errGot, "entry %d", n)
			if n%7 == 0 || errGot != nil || want.Trial.Line > 250 && want.Trial.Line < 260 {
				require.Equal(t, r.Reports(), h.Reports(), "entry %d", n)
				read, total := h.Progress()
				require.LessOrEqual(t, read, total)
			}
			if errGot != nil {
				break
			}
			if diff := gocmp.Diff(want, got, entryOptions); diff != "" {
				t.Fatalf("entry %d: -in step +ahead:\n%s", n, diff)
			}
		}
		require.NoError(t, h.Close())
		require.Equal(t, r.Reports(), h.Reports())
	}
}

func TestClosingEarlyEndsTheGoroutineAndKeepsTheReports(t *testing.T) {
	before := runtime.NumGoroutine()
	text := longText(t, true)
	for _, n := range []int{0, 1, 255, 256, 257, 3000} {
		h := openText(t, text, Options{})
		var e curriculum.Entry
		for range n {
			require.NoError(t, h.Next(&e))
		}
		reports := h.Reports()
		require.NoError(t, h.Close())
		require.NoError(t, h.Close(), "twice")
		require.Equal(t, reports, h.Reports())
		var err error
		for range 2000 { // what is in memory may still come
			if err = h.Next(&e); err != nil {
				break
			}
		}
		require.ErrorIs(t, err, fs.ErrClosed)
	}
	for range 5000 { // its last words are said before it is gone; require.Eventually would count its own goroutine
		if runtime.NumGoroutine() <= before {
			break
		}
		time.Sleep(time.Millisecond)
	}
	require.LessOrEqual(t, runtime.NumGoroutine(), before)
}

func TestTwinsAreFoundAmongSourcesReadAhead(t *testing.T) {
	text := longText(t, false)
	h, err := OpenFS(fstest.MapFS{"a.jsonl": &fstest.MapFile{Data: []byte(text)}, "b.jsonl": &fstest.MapFile{Data: []byte(text)}},
		[]string{"a.jsonl", "b.jsonl"}, Options{})
	require.NoError(t, err)
	entries, err := h.ReadAll()
	require.NoError(t, err)
	require.Len(t, entries, 6000)
	require.Empty(t, h.Reports())
	read, total := h.Progress()
	require.Equal(t, total, read)
}

// breaking is a file system whose files cannot be read to their end the second time.
type breaking struct {
	fstest.MapFS
	opened int
}

func (b *breaking) Open(name string) (fs.File, error) {
	f, err := b.MapFS.Open(name)
	if b.opened++; b.opened == 2 {
		return breakingFile{f, io.MultiReader(io.LimitReader(f, 900_000), broken{strings.NewReader("")})}, err
	}
	return f, err
}

type breakingFile struct {
	fs.File
	r io.Reader
}

func (f breakingFile) Read(p []byte) (int, error) { return f.r.Read(p) }

func TestAnErrorOfTheDiskComesBehindTheEntriesBeforeIt(t *testing.T) {
	h, err := OpenFS(&breaking{MapFS: fstest.MapFS{"a.jsonl": &fstest.MapFile{Data: []byte(longText(t, false))}}}, []string{"a.jsonl"}, Options{})
	require.NoError(t, err)
	entries, err := h.ReadAll()
	require.True(t, errors.Is(err, errBroken), err)
	require.Greater(t, len(entries), 3000)
	require.Less(t, len(entries), 6000)
}
