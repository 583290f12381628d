package history

import (
	"bytes"
	"fmt"
	"hash/fnv"
	"io"
	"slices"
	"strconv"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Reader reads one source in the order of its lines. It does not compare ids; History does. Its memory does not grow with
// the source, but for the ids it makes where none are written. Not safe for concurrent use.
type Reader struct {
	sink   *sink
	in     *lines
	format Format
	from   decoder
	err    error

	made    bool           // the id of the entry read last was made, not written
	seen    map[string]int // how often each made id has come
	ordered bool           // the source is known to be in time order
	latest  time.Time
	buf     []byte
	id      []byte
	names   *interner
}

// decoder reads the entries of one format. next reports lines that cannot be used itself; its error ends the source.
type decoder interface {
	next(*curriculum.Entry) error
}

// NewReader reads from r, which reports call source. The format is that of opts, else the one source's ending
// announces, else what the first line looks like.
func NewReader(r io.Reader, source string, opts Options) *Reader {
	k := &sink{source: source, opts: opts}
	rd := &Reader{sink: k, in: newLines(r, opts.maxLine()), seen: map[string]int{}}
	head := rd.in.peek(4096)
	rd.format = opts.Format
	if rd.format == Auto {
		rd.format = FormatOf(source)
	}
	if rd.format == Auto {
		rd.format = sniff(head)
	}
	if why := notText(head); why != "" {
		rd.err = k.stop(1, codeNotText, why)
		return rd
	}
	switch rd.format {
	case JSONLines:
		j := newJSONLines(k, rd.in)
		rd.from, rd.names = j, &j.names
	case CSV:
		c := newCSV(k, rd.in)
		rd.from, rd.names = c, &c.names
	default:
		t := newTally(k, rd.in)
		rd.from, rd.names = t, &t.names
	}
	return rd
}

// Format is the format the source is read as.
func (r *Reader) Format() Format { return r.format }

// Next reads the next entry into e; io.EOF says there is none. The slices of e are used again by the following call:
// [Clone] an entry to keep it. Under Options.Strict the error is a *LineError at the first line that cannot be used; any
// other error comes from the source itself.
func (r *Reader) Next(e *curriculum.Entry) error {
	if r.err != nil {
		return r.err
	}
	if err := r.from.next(e); err != nil {
		if _, strict := err.(*LineError); err != io.EOF && !strict {
			err = fmt.Errorf("%s: %w", r.sink.source, err)
		}
		r.err = err
		return err
	}
	r.giveID(e)
	return nil
}

// Reports is what there was to report so far, in the order of lines.
func (r *Reader) Reports() []engine.Report { return r.sink.all() }

// giveID makes an id where none is written: dog, behaviour (or the event's kind) and time, six digits of a digest of
// all that the line says, and a count among lines that are alike even in that. So adding lines to any log changes no
// id, two lines that differ never share one, and the same line in two copies of a log has the same id in both.
func (r *Reader) giveID(e *curriculum.Entry) {
	id, name := &e.Trial.ID, e.Trial.Behaviour
	if e.IsEvent {
		id, name = &e.Event.ID, string(e.Event.Kind)
	}
	r.made = *id == ""
	if !r.made {
		return
	}
	r.buf = appendContent(r.buf[:0], e)
	h := fnv.New32a()
	h.Write(r.buf)
	b := append(append(append(append(r.id[:0], e.Dog()...), '/'), name...), '/')
	b = e.At().AppendFormat(b, time.RFC3339Nano)
	b = append(b, '/')
	for shift := 20; shift >= 0; shift -= 4 {
		b = strconv.AppendUint(b, uint64(h.Sum32()>>shift&15), 16)
	}
	r.id = b
	if r.ordered && e.At().After(r.latest) {
		clear(r.seen) // what comes later cannot be alike: it has another time
	}
	r.latest = e.At()
	n := r.seen[string(b)] + 1
	r.seen[string(b)] = n
	if n > 1 {
		b = strconv.AppendInt(append(b, '#'), int64(n), 10)
	}
	*id = r.names.unique(b)
}

// sniff tells a format from the first line that is neither blank nor a remark.
func sniff(head []byte) Format {
	head = bytes.TrimPrefix(head, bom)
	for line := range bytes.Lines(head) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		if line[0] == '{' || line[0] == '[' {
			return JSONLines
		}
		has := map[string]bool{}
		for _, cell := range bytes.FieldsFunc(line, func(r rune) bool { return r == ',' || r == ';' || r == '\t' }) {
			has[string(bytes.Trim(cell, "\" "))] = true
		}
		if has["dog"] && (has["at"] || has["behaviour"] || has["outcome"]) {
			return CSV
		}
		break
	}
	return Tally
}

// notText says why a source is no text in UTF-8.
func notText(head []byte) string {
	switch {
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("\xfe\xff")):
		return "the file is UTF-16; save it as UTF-8. Nothing of it was read"
	case bytes.HasPrefix(head, []byte("\x1f\x8b")), bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return "the file is compressed, or a spreadsheet's own format; unpack it, or save it as CSV. Nothing of it was read"
	case bytes.IndexByte(head[:min(len(head), 512)], 0) >= 0:
		return "the file is no text. Nothing of it was read"
	}
	return ""
}

// Clone is an entry that shares no slices with e.
func Clone(e *curriculum.Entry) curriculum.Entry {
	if e == nil {
		return curriculum.Entry{}
	}
	c := *e
	c.Trial.Help = cloneSlice(e.Trial.Help)
	c.Trial.Measures = cloneSlice(e.Trial.Measures)
	c.Trial.Level = cloneSlice(e.Trial.Level)
	c.Event.Level = cloneSlice(e.Event.Level)
	return c
}

// cloneSlice is nil for an empty slice.
func cloneSlice[S ~[]T, T any](s S) S {
	if len(s) == 0 {
		return nil
	}
	return slices.Clone(s)
}
