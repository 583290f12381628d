package history

import (
	"cmp"
	"errors"
	"fmt"
	"hash/maphash"
	"io"
	"io/fs"
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// History is several sources as one stream of entries: in time order, ties in the order in which the sources were named
// and then in that of their lines, each id once. Not safe for concurrent use.
type History struct {
	opts    Options
	sources []*stream
	heap    []*stream // those with an entry, the earliest first
	stale   bool      // the first of the heap has given its entry away
	twins   *twins
	copies  *sink // reports on ids
	total   int64
	err     error
}

// stream is one source being merged.
type stream struct {
	index  int
	rd     *Reader
	file   io.Closer
	read   *counter
	ahead  *ahead // where a goroutine has the reader
	item   *item  // the entry read last
	own    item
	prints prints

	sorted []curriculum.Entry // what is left of a source out of time order
	mades  []bool
}

// Open reads files, folders (the files in them that look like histories, by name) and, for "-", stdin. Each source is
// looked through once before the first entry comes, so unreadable files are errors here; bad lines are not. Close the
// History when done, or when giving up: long sources are read ahead by a goroutine that ends with it.
func Open(paths []string, stdin io.Reader, opts Options) (*History, error) {
	sources, err := findSources(paths, stdin)
	if err != nil {
		return nil, err
	}
	return open(sources, opts)
}

// OpenFS is Open within a file system, such as an embedded one.
func OpenFS(fsys fs.FS, paths []string, opts Options) (*History, error) {
	sources, err := findFSSources(fsys, paths)
	if err != nil {
		return nil, err
	}
	return open(sources, opts)
}

// OpenReader is Open for one source that is read from r; reports call it name.
func OpenReader(r io.Reader, name string, opts Options) (*History, error) {
	s, err := spool(name, r)
	if err != nil {
		return nil, err
	}
	return open([]*source{s}, opts)
}

func open(sources []*source, opts Options) (*History, error) {
	h := &History{opts: opts, copies: &sink{opts: opts}}
	lines, seed := 0, maphash.MakeSeed()
	for i, s := range sources {
		st, err := openStream(i, s, opts, seed)
		if st != nil {
			h.sources = append(h.sources, st)
			h.total += s.size
			lines += s.lines
		}
		if err == nil {
			err = st.advance()
		}
		switch {
		case err == nil:
			h.heap = append(h.heap, st)
		case isStrict(err):
			h.err = err // comes where the caller expects it, at Next
			return h, nil
		case err != io.EOF:
			return nil, errors.Join(err, h.Close())
		}
	}
	for i := len(h.heap)/2 - 1; i >= 0; i-- {
		h.sink(i)
	}
	h.twins = newTwins(lines)
	return h, nil
}

func isStrict(err error) bool {
	var line *LineError
	return errors.As(err, &line)
}

func openStream(index int, s *source, opts Options, seed maphash.Seed) (*stream, error) {
	ordered, err := s.lookThrough(opts)
	if err != nil {
		return nil, err
	}
	f, err := s.open()
	if err != nil {
		return nil, err
	}
	st := &stream{index: index, file: f, prints: prints{seed: seed}, read: &counter{r: io.LimitReader(f, s.size)}}
	st.rd = NewReader(st.read, s.name, opts)
	st.rd.ordered = ordered
	if ordered {
		// an echo is to come with the entry it is of, by the caller's own goroutine
		if s.size >= aheadFrom && opts.Echo == nil {
			st.ahead = readAhead(st.rd, st.read, &st.prints)
		}
		return st, nil
	}
	return st, st.sort()
}

// sort reads a source that is out of time order whole.
func (s *stream) sort() error {
	var e curriculum.Entry
	for {
		err := s.rd.Next(&e)
		if err == io.EOF {
			break
		}
		if err != nil {
			return err
		}
		s.sorted = append(s.sorted, Clone(&e))
		s.mades = append(s.mades, s.rd.made)
	}
	order := make([]int, len(s.sorted))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return s.sorted[a].At().Compare(s.sorted[b].At()) })
	entries, mades := make([]curriculum.Entry, len(order)), make([]bool, len(order))
	for i, from := range order {
		entries[i], mades[i] = s.sorted[from], s.mades[from]
	}
	s.sorted, s.mades = entries, mades
	return nil
}

// advance reads the stream's next entry.
func (s *stream) advance() error {
	if s.sorted != nil {
		if len(s.sorted) == 0 {
			return io.EOF
		}
		s.own = item{entry: s.sorted[0], made: s.mades[0]}
		s.item, s.sorted, s.mades = &s.own, s.sorted[1:], s.mades[1:]
		s.prints.of(s.item)
		return nil
	}
	var before time.Time
	first := s.item == nil
	if !first {
		before = s.item.entry.At()
	}
	if err := s.take(); err != nil {
		return err
	}
	if !first && s.item.entry.At().Before(before) {
		return fmt.Errorf("%s: the file was changed while it was being read", s.rd.sink.source)
	}
	return nil
}

// take moves item to the next entry of a source in time order.
func (s *stream) take() (err error) {
	if s.ahead != nil {
		s.item, err = s.ahead.next()
		return err
	}
	s.item = &s.own
	if err = s.rd.Next(&s.item.entry); err == nil {
		s.item.made = s.rd.made
		s.prints.of(s.item)
	}
	return err
}

// reports is what there was to report on the source so far.
func (s *stream) reports() []engine.Report {
	if s.ahead != nil {
		return s.ahead.all(s.rd.sink)
	}
	return s.rd.Reports()
}

// bytes is how much of the source has been read.
func (s *stream) bytes() int64 {
	if s.ahead == nil {
		return s.read.n
	}
	if s.ahead.batch == nil {
		return 0
	}
	return s.ahead.batch.read
}

// before is the order of the merge.
func (s *stream) before(o *stream) bool {
	return cmp.Or(s.item.entry.At().Compare(o.item.entry.At()), s.index-o.index) < 0
}

// sink puts the stream at i of the heap where it belongs among those below it.
func (h *History) sink(i int) {
	for {
		least := i
		for c := 2*i + 1; c <= 2*i+2 && c < len(h.heap); c++ {
			if h.heap[c].before(h.heap[least]) {
				least = c
			}
		}
		if least == i {
			return
		}
		h.heap[i], h.heap[least] = h.heap[least], h.heap[i]
		i = least
	}
}

// Next reads the next entry into e; io.EOF says there is none. The slices of e are used again by the following call:
// [Clone] an entry to keep it. Under Options.Strict the error is a *LineError at the first line that cannot be used; any
// other error comes from a source itself.
func (h *History) Next(e *curriculum.Entry) error {
	for {
		if h.err == nil && h.stale {
			h.err = h.step()
		}
		if h.err == nil && len(h.heap) == 0 {
			h.err = io.EOF
		}
		if h.err != nil {
			return h.err
		}
		s := h.heap[0]
		h.stale = true
		counts, err := h.check(s)
		if err != nil {
			h.err = err
			return err
		}
		if counts {
			*e = s.item.entry
			return nil
		}
	}
}

// step moves the stream at the top of the heap on.
func (h *History) step() error {
	h.stale = false
	switch err := h.heap[0].advance(); {
	case err == io.EOF:
		last := len(h.heap) - 1
		h.heap[0] = h.heap[last]
		h.heap = h.heap[:last]
		if last == 0 {
			return nil
		}
	case err != nil:
		return err
	}
	h.sink(0)
	return nil
}

// check reports an id that came before; the first stands.
func (h *History) check(s *stream) (counts bool, err error) {
	if s.ahead != nil && s.ahead.at == 0 {
		h.twins.expect(s.ahead.batch.items)
	}
	kind := h.twins.meet(s.item)
	if kind == firstOfID {
		return true, nil
	}
	source, line := whereRead(&s.item.entry)
	h.copies.source = source
	switch {
	case kind == otherAgain:
		id := either(&s.item.entry, s.item.entry.Trial.ID, s.item.entry.Event.ID)
		return false, h.copies.unusable(line, 0, codeTwin, fmt.Sprintf(
			"the id %s was read before, with another content; the first stands, and this line was not counted", quoteShort(id)))
	case s.item.made:
		h.copies.mentionOnce("copy "+source, line, 0, codeCopy,
			"this line says the same as one of another log, to the second and the last field; it and others like it in this log were taken for copies and counted once. Ids would tell them apart")
	}
	return false, nil
}

// Reports is what there was to report so far: source by source, in the order of lines.
func (h *History) Reports() []engine.Report {
	var out []engine.Report
	more := h.copies.all()
	done := map[string]bool{}
	for _, s := range h.sources {
		name := s.rd.sink.source
		own := s.reports()
		if !done[name] {
			for _, r := range more {
				if r.Source == name && r.Code != codeMore {
					own = append(own, r)
				}
			}
			done[name] = true
		}
		slices.SortStableFunc(own, byLine)
		out = append(out, own...)
	}
	for _, r := range more {
		if r.Code == codeMore {
			r.Source = ""
			out = append(out, r)
		}
	}
	return out
}

// byLine orders the reports of one source; those without a line come last.
func byLine(a, b engine.Report) int {
	if (a.Line == 0) != (b.Line == 0) {
		return b.Line - a.Line
	}
	return a.Line - b.Line
}

// Sources lists the names of the sources, in the order in which they were named.
func (h *History) Sources() []string {
	out := make([]string, len(h.sources))
	for i, s := range h.sources {
		out[i] = s.rd.sink.source
	}
	return out
}

// Progress is how many bytes have been read, and of how many.
func (h *History) Progress() (read, total int64) {
	for _, s := range h.sources {
		read += s.bytes()
	}
	return read, h.total
}

// Close ends reading ahead and closes the files.
func (h *History) Close() error {
	var errs []error
	for _, s := range h.sources {
		if s.file != nil {
			if s.ahead != nil {
				s.ahead.close()
			}
			errs = append(errs, s.file.Close())
			s.file = nil
		}
	}
	return errors.Join(errs...)
}

// ReadAll reads what is left of a history into memory and closes it.
func (h *History) ReadAll() ([]curriculum.Entry, error) {
	var out []curriculum.Entry
	var e curriculum.Entry
	for {
		err := h.Next(&e)
		if err == io.EOF {
			return out, h.Close()
		}
		if err != nil {
			return out, errors.Join(err, h.Close())
		}
		out = append(out, Clone(&e))
	}
}
