package history

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// source is something that can be read from its beginning more than once.
type source struct {
	name string
	open func() (io.ReadCloser, error)
	// as found when it was looked through; what is added later is not read
	size  int64
	lines int
}

// endings are those of the files taken from a folder.
var endings = []string{".jsonl", ".ndjson", ".csv", ".tsv", ".tally", ".txt"}

// walk lists the histories in a folder and the folders in it, in the order of their names; hidden ones are left out.
func walk(fsys fs.FS, root string) ([]string, error) {
	var out []string
	err := fs.WalkDir(fsys, root, func(p string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case p != root && strings.HasPrefix(d.Name(), "."):
			if d.IsDir() {
				return fs.SkipDir
			}
		case !d.IsDir() && slices.Contains(endings, strings.ToLower(path.Ext(p))):
			out = append(out, p)
		}
		return nil
	})
	if err == nil && len(out) == 0 {
		err = fmt.Errorf("the folder holds no history (%s)", strings.Join(endings, ", "))
	}
	return out, err
}

// findSources turns paths into sources, in the order given.
func findSources(paths []string, stdin io.Reader) ([]*source, error) {
	var out []*source
	taken := false
	for _, p := range paths {
		if p == "-" {
			if taken || stdin == nil {
				return nil, errors.New("standard input can be read once only")
			}
			taken = true
			s, err := spool("standard input", stdin)
			if err != nil {
				return nil, err
			}
			out = append(out, s)
			continue
		}
		info, err := os.Stat(p)
		if err != nil {
			return nil, err
		}
		files := []string{p}
		if info.IsDir() {
			names, err := walk(os.DirFS(p), ".")
			if err != nil {
				return nil, fmt.Errorf("%s: %w", p, err)
			}
			files = files[:0]
			for _, n := range names {
				files = append(files, filepath.Join(p, filepath.FromSlash(n)))
			}
		}
		for _, f := range files {
			out = append(out, &source{name: f, open: func() (io.ReadCloser, error) { return os.Open(f) }})
		}
	}
	return out, nil
}

// findFSSources is findSources within a file system.
func findFSSources(fsys fs.FS, paths []string) ([]*source, error) {
	if fsys == nil {
		return nil, errors.New("there is no file system to read from")
	}
	var out []*source
	for _, p := range paths {
		info, err := fs.Stat(fsys, p)
		if err != nil {
			return nil, err
		}
		files := []string{p}
		if info.IsDir() {
			if files, err = walk(fsys, p); err != nil {
				return nil, fmt.Errorf("%s: %w", p, err)
			}
		}
		for _, f := range files {
			out = append(out, &source{name: f, open: func() (io.ReadCloser, error) { return fsys.Open(f) }})
		}
	}
	return out, nil
}

// spoolInMemory is how much of standard input is kept in memory before it goes to a temporary file.
const spoolInMemory = 8 << 20

// spool makes a source of what can be read only once.
func spool(name string, r io.Reader) (*source, error) {
	head, err := io.ReadAll(io.LimitReader(given(r), spoolInMemory+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(head) <= spoolInMemory {
		return &source{name: name, open: func() (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(head)), nil }}, nil
	}
	f, err := os.CreateTemp("", "rung-history-*")
	if err != nil {
		return nil, err
	}
	// it is gone from the folder at once where the system allows, and from the disk when the process ends
	removed := os.Remove(f.Name()) == nil
	size, err := io.Copy(f, io.MultiReader(bytes.NewReader(head), r))
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	// opened twice: to look it through and to read it
	opened := 0
	return &source{name: name, open: func() (io.ReadCloser, error) {
		opened++
		c := closer{io.NewSectionReader(f, 0, size), func() error { return nil }}
		if opened == 2 {
			c.close = func() error {
				err := f.Close()
				if !removed {
					err = errors.Join(err, os.Remove(f.Name()))
				}
				return err
			}
		}
		return c, nil
	}}, nil
}

type closer struct {
	io.Reader
	close func() error
}

func (c closer) Close() error { return c.close() }

// lookThrough finds out whether a source is in time order, reading it once. For JSON Lines only the times are looked
// at, which costs a fraction of reading the lines; where a line leaves any doubt it is read whole.
func (s *source) lookThrough(opts Options) (ordered bool, err error) {
	opts.Strict, opts.MaxReports, opts.Echo = false, 1, nil
	f, err := s.open()
	if err != nil {
		return false, err
	}
	defer f.Close()
	count := &counter{r: f}
	rd := NewReader(count, s.name, opts)
	defer func() { s.size, s.lines = count.n, rd.in.line }()
	latest := time.Time{}
	ordered = true
	see := func(t time.Time) {
		ordered = ordered && !t.Before(latest)
		if t.After(latest) {
			latest = t
		}
	}
	var e curriculum.Entry
	switch from := rd.from.(type) {
	case nil: // no text
		err = rd.err
	case *jsonLines:
		err = from.times(&e, see)
	default:
		for err = from.next(&e); err == nil; err = from.next(&e) {
			see(e.At())
		}
	}
	if err != io.EOF {
		return false, fmt.Errorf("%s: %w", s.name, err)
	}
	// a source that ended early (a heading nobody can read) is not read further the second time either
	_, err = io.Copy(io.Discard, count)
	return ordered, err
}

type counter struct {
	r io.Reader
	n int64
}

func (c *counter) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	c.n += int64(n)
	return n, err
}

// times calls see with the time of each line. A line without backslashes has its keys as they are, so one that holds
// "at" exactly once has its time behind it, if it has one at all. (Looked for without its first quotation mark, which
// stands everywhere and would slow the search.)
func (j *jsonLines) times(e *curriculum.Entry, see func(time.Time)) error {
	key, again := []byte(`at":"`), []byte(`at"`)
	for {
		b, long, ok := j.in.next()
		if !ok {
			return j.in.err
		}
		if long {
			continue
		}
		if i := bytes.Index(b, key); i > 0 && b[i-1] == '"' && bytes.IndexByte(b, '\\') < 0 {
			rest := b[i+len(key):]
			if n := bytes.IndexByte(rest, '"'); n > 0 && !bytes.Contains(rest[n:], again) {
				if t, hint := j.clock.rfc3339(rest[:n]); hint == "" {
					see(t)
					continue
				}
			}
		}
		if j.decode(b, j.in.line, e) == nil {
			see(e.At())
		}
	}
}
