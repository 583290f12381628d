package history

import (
	"bytes"
	"errors"
	"io"
)

// lines cuts a source into lines. It holds one line at a time, however long the source.
type lines struct {
	r          io.Reader
	buf        []byte
	start, end int // of what is buffered and not yet given out
	limit      int // longest line in bytes
	line       int // number of the line given last
	read       int64
	err        error
}

func newLines(r io.Reader, limit int) *lines {
	return &lines{r: given(r), buf: make([]byte, min(64<<10, limit+2)), limit: limit}
}

// given is r, or where there is none a reader that says so.
func given(r io.Reader) io.Reader {
	if r == nil {
		return noReader{}
	}
	return r
}

type noReader struct{}

func (noReader) Read([]byte) (int, error) { return 0, errors.New("there is no source to read from") }

// next is the next line without its ending, good until the following call. A line longer than the limit comes as its
// first bytes with long set. ok is false at the end, or where reading failed: see err.
func (l *lines) next() (b []byte, long, ok bool) {
	searched := 0
	for {
		if i := bytes.IndexByte(l.buf[l.start+searched:l.end], '\n'); i >= 0 {
			b = l.buf[l.start : l.start+searched+i]
			l.start += searched + i + 1
			return l.give(b)
		}
		searched = l.end - l.start
		if searched > l.limit+1 {
			return l.overlong()
		}
		if l.fill() {
			continue
		}
		if l.err != io.EOF || searched == 0 {
			return nil, false, false
		}
		b = l.buf[l.start:l.end]
		l.start = l.end
		return l.give(b)
	}
}

var bom = []byte("\xef\xbb\xbf")

func (l *lines) give(b []byte) ([]byte, bool, bool) {
	l.line++
	if n := len(b); n > 0 && b[n-1] == '\r' {
		b = b[:n-1]
	}
	if l.line == 1 {
		b = bytes.TrimPrefix(b, bom)
	}
	return b, len(b) > l.limit, true
}

// overlong passes over the rest of a line that does not fit.
func (l *lines) overlong() ([]byte, bool, bool) {
	l.line++
	head := bytes.Clone(l.buf[l.start:min(l.end, l.start+64)])
	for {
		if i := bytes.IndexByte(l.buf[l.start:l.end], '\n'); i >= 0 {
			l.start += i + 1
			return head, true, true
		}
		l.start = l.end
		if !l.fill() {
			return head, true, true
		}
	}
}

// fill reads more, making room where there is none; false at the end and on an error.
func (l *lines) fill() bool {
	if l.err != nil {
		return false
	}
	if l.start > 0 {
		l.end = copy(l.buf, l.buf[l.start:l.end])
		l.start = 0
	}
	if l.end == len(l.buf) {
		l.buf = append(l.buf, make([]byte, len(l.buf))...)
	}
	for tries := 0; ; tries++ {
		n, err := l.r.Read(l.buf[l.end:])
		l.end += n
		l.read += int64(n)
		switch {
		case err != nil:
			l.err = err
			return n > 0
		case n > 0:
			return true
		case tries == 100:
			l.err = io.ErrNoProgress
			return false
		}
	}
}

// peek is the beginning of the source, at most n bytes, without taking it.
func (l *lines) peek(n int) []byte {
	for l.end-l.start < n && l.fill() {
	}
	return l.buf[l.start:min(l.end, l.start+n)]
}

// rest is the whole source as a reader again, from the first byte not yet taken on, without a byte order mark.
func (l *lines) rest() io.Reader {
	if bytes.HasPrefix(l.peek(len(bom)), bom) {
		l.start += len(bom)
	}
	return (*unread)(l)
}

// unread reads what lines has buffered first, then its source.
type unread lines

func (u *unread) Read(p []byte) (int, error) {
	l := (*lines)(u)
	if l.start == l.end && !l.fill() {
		return 0, l.err
	}
	n := copy(p, l.buf[l.start:l.end])
	l.start += n
	return n, nil
}
