package history

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// tallyBook reads what a person jots down; the package's page says how it is written.
type tallyBook struct {
	*sink
	in    *lines
	names interner
	clock clock

	head   heading
	queue  []curriculum.Entry // of the line read last
	given  int                // of them
	took   map[string]int     // seconds taken in each session so far
	broken int                // index of the report on a heading that could not be read, -1 for none
	lost   int                // lines under it
	pages  pages
	echo   *echo
}

// heading is the session the lines belong to.
type heading struct {
	dog, session, place, handler string
	at                           time.Time
	key                          string // tells sessions apart for counting seconds
}

func newTally(k *sink, in *lines) *tallyBook {
	b := &tallyBook{sink: k, in: in, took: map[string]int{}, broken: -1}
	if k.opts.Echo != nil {
		b.echo = &echo{w: k.opts.Echo}
	}
	return b
}

func (b *tallyBook) next(e *curriculum.Entry) error {
	for b.given == len(b.queue) {
		if err := b.line(); err != nil {
			return err
		}
	}
	from := &b.queue[b.given]
	b.given++
	copyInto(e, from)
	return nil
}

// copyInto makes e the same as from without sharing its slices.
func copyInto(e, from *curriculum.Entry) {
	t := &e.Trial
	help, measures, level := append(t.Help[:0], from.Trial.Help...), append(t.Measures[:0], from.Trial.Measures...), append(t.Level[:0], from.Trial.Level...)
	*e = *from
	e.Trial.Help, e.Trial.Measures, e.Trial.Level = help, measures, level
	if e.IsEvent {
		e.Event.Level = level
	}
}

// line reads one line into the queue; the queue stays empty for a heading, a remark, or a line that was reported.
func (b *tallyBook) line() error {
	b.queue, b.given = b.queue[:0], 0
	raw, long, ok := b.in.next()
	if !ok {
		b.endHeading()
		return b.in.err
	}
	if long {
		return b.tooLong(b.in.line)
	}
	if !utf8.Valid(raw) {
		at := 0
		for r, n := utf8.DecodeRune(raw); r != utf8.RuneError || n > 1; r, n = utf8.DecodeRune(raw[at:]) {
			at += n
		}
		return b.unusable(b.in.line, columnOf(raw, at), codeUTF8, "a byte that is not UTF-8")
	}
	text := withoutRemark(string(raw))
	c := &cursor{s: text}
	if c.end() {
		return nil
	}
	if isHeading(text) {
		return b.heading(c, raw)
	}
	if b.head.dog == "" {
		if b.broken >= 0 {
			b.lost++
			return nil
		}
		b.broken = len(b.reports)
		return b.unusable(b.in.line, 1, codeHeading,
			"a session begins with its heading, as in okapi 2026-03-02 17:10 yard owner")
	}
	if bad := b.body(c); bad != nil {
		b.queue = b.queue[:0]
		return b.unusable(b.in.line, columnOf(raw, bad.at), bad.code, bad.text)
	}
	b.pages.add(text)
	b.pages.marks = b.pages.marks || len(b.queue) > 0 && !b.queue[0].IsEvent
	b.stamp()
	return nil
}

// stamp gives the queued entries what they have of their session.
func (b *tallyBook) stamp() {
	for i := range b.queue {
		e := &b.queue[i]
		at := b.head.at.Add(time.Duration(b.took[b.head.key]) * time.Second)
		b.took[b.head.key]++
		if e.IsEvent {
			e.Event.Dog, e.Event.At, e.Event.Session = b.head.dog, at, b.head.session
			e.Event.Source, e.Event.Line = b.source, b.in.line
			continue
		}
		t := &e.Trial
		t.Dog, t.At, t.Session, t.Place, t.Handler = b.head.dog, at, b.head.session, b.head.place, b.head.handler
		t.Source, t.Line = b.source, b.in.line
	}
	if b.echo != nil {
		b.echo.line(b.queue)
	}
}

// endHeading adds to the report on an unread heading how many lines went with it, and mentions a page that was there.
func (b *tallyBook) endHeading() {
	if line, before := b.pages.end(); before > 0 {
		b.mention(line, 1, codePage, fmt.Sprintf("the page of line %d once more, mark for mark; both are counted: delete one if it is a copy", before))
	}
	if b.lost > 0 && b.broken >= 0 && b.broken < len(b.reports) {
		lines := "the line"
		if b.lost > 1 {
			lines = fmt.Sprintf("the %d lines", b.lost)
		}
		b.reports[b.broken].Text += fmt.Sprintf("; %s under it could not be read either", lines)
	}
	b.broken, b.lost = -1, 0
}

// withoutRemark cuts off a remark; a hash between quotation marks begins none.
func withoutRemark(s string) string {
	out, _ := outsideQuotes(s)
	if i := strings.IndexByte(out, '#'); i >= 0 {
		return s[:i]
	}
	return s
}

// isHeading reports whether a line is meant as a session's heading: its first colon stands between digits, as in
// 17:10, or it has no colon and its second word begins with a digit.
func isHeading(s string) bool {
	c := &cursor{s: s}
	first, quoted, _, bad := c.word(":(")
	if bad != nil || !quoted && isEvent(first) {
		return false
	}
	second, _, _, _ := c.word("")
	if second == "" {
		return false
	}
	if i := colonIn(s); i >= 0 {
		return second != "at" && i > 0 && s[i-1]-'0' <= 9 && two([]byte(s[i+1:])) >= 0
	}
	return second[0]-'0' <= 9
}

func isEvent(word string) bool {
	return word == "sign" || word == "clear" || word == "move" || word == "note"
}

// heading reads "dog day time [place] [[by] handler] [session id]".
func (b *tallyBook) heading(c *cursor, raw []byte) error {
	b.endHeading()
	b.head = heading{}
	h, bad := b.readHeading(c)
	if bad != nil {
		b.broken = len(b.reports)
		return b.unusable(b.in.line, columnOf(raw, bad.at), bad.code, bad.text)
	}
	b.head = h
	b.pages.begin(b.in.line, &h)
	return nil
}

func (b *tallyBook) readHeading(c *cursor) (h heading, bad *slip) {
	if h.dog, _, bad = b.nameWord(c, "the dog's name"); bad != nil {
		return h, bad
	}
	day, _, at, bad := c.word("")
	if bad != nil {
		return h, bad
	}
	y, mo, d, ok := date([]byte(day))
	if !ok || len(day) != 10 {
		return h, slipf(at, codeHeading, "a heading is dog, day, time, and the day is written as 2026-03-02, not %s", quoteShort(day))
	}
	if h.at, bad = b.timeOfDay(c, y, mo, d); bad != nil {
		return h, bad
	}
	if bad := b.placeAndHandler(c, &h); bad != nil {
		return h, bad
	}
	if h.session == "" {
		h.session = h.dog + "/" + h.at.Format(time.RFC3339)
	}
	// a heading written twice goes on where the first one ended
	h.key = h.dog + "\x00" + h.session + "\x00" + h.at.Format(time.RFC3339)
	return h, nil
}

// timeOfDay reads 17:10 or 17:10:30, then perhaps an offset.
func (b *tallyBook) timeOfDay(c *cursor, y, mo, d int) (t time.Time, bad *slip) {
	w, _, at, bad := c.word("+-Zz")
	if bad != nil {
		return t, bad
	}
	if len(w) > 1 && w[1] == ':' {
		w = "0" + w
	}
	h, m, s := two([]byte(w)), -1, 0
	if len(w) >= 5 && w[2] == ':' {
		m = two([]byte(w[3:]))
	}
	if len(w) == 8 && w[5] == ':' {
		s = two([]byte(w[6:]))
	} else if len(w) != 5 {
		m = -1
	}
	if h < 0 || h > 23 || m < 0 || m > 59 || s < 0 || s > 59 {
		return t, slipf(at, codeHeading, "behind the day stands the time, as 17:10, not %s", quoteShort(w))
	}
	from := c.i
	c.space()
	if c.i < len(c.s) && strings.IndexByte("+-Zz", c.s[c.i]) >= 0 && (c.i == from || c.s[c.i]|0x20 != 'z') {
		o, _, at, _ := c.word("")
		offset, ok := parseOffset([]byte(o))
		if !ok {
			return t, slipf(at, codeHeading, "an offset is written as +01:00 or Z, not %s", quoteShort(o))
		}
		return time.Date(y, time.Month(mo), d, h, m, s, 0, time.UTC).Add(-time.Duration(offset) * time.Second).In(b.clock.zone(offset)), nil
	}
	t, ok := b.clock.local(y, mo, d, h, m, s, b.opts.Location)
	if !ok {
		return t, slipf(at, codeTime, "clocks were put forward over %s on this day, so it never was; give an offset such as +01:00", w)
	}
	return t, nil
}

// placeAndHandler reads the rest of a heading. Declared names tell which is which; without any the first is the place.
func (b *tallyBook) placeAndHandler(c *cursor, h *heading) *slip {
	for !c.end() {
		w, quoted, at, bad := c.word("")
		if bad != nil {
			return bad
		}
		if !quoted && (w == "by" || w == "session") && !c.end() {
			to, what := &h.handler, "a handler"
			if w == "session" {
				to, what = &h.session, "a session's id"
			}
			if *to != "" {
				return slipf(at, codeHeading, "%s is given twice", what)
			}
			if *to, _, bad = b.nameWord(c, what); bad != nil {
				return bad
			}
			continue
		}
		name, problem := b.names.name([]byte(w))
		if problem != "" || w == "" {
			return slipf(at, codeName, "a place or handler %s", problem)
		}
		place := slices.Contains(b.opts.Places, name)
		handler := slices.Contains(b.opts.Handlers, name)
		declared := len(b.opts.Places)+len(b.opts.Handlers) > 0
		switch {
		case h.place == "" && (place || !handler && h.handler == ""):
			h.place = name
		case h.handler == "":
			h.handler = name
		case h.place == "":
			h.place = name
		default:
			return slipf(at, codeHeading, "a heading ends with place and handler; %s is one too many", quoteShort(name))
		}
		if declared && !place && !handler {
			as := "place"
			if h.handler == name {
				as = "handler"
			}
			b.mentionOnce("heading "+as+name, b.in.line, utf8.RuneCountInString(c.s[:at])+1, codeHeading,
				fmt.Sprintf("%s is neither a declared place nor a handler, and was read as the %s%s", quoteShort(name),
					as, didYouMean(name, slices.Concat(b.opts.Places, b.opts.Handlers))))
		}
	}
	return nil
}

// nameWord reads a word that has to be there.
func (b *tallyBook) nameWord(c *cursor, what string) (string, int, *slip) {
	w, quoted, at, bad := c.word(":,()")
	if bad != nil {
		return "", at, bad
	}
	if w == "" {
		return "", at, slipf(at, codeTallyLine, "%s is expected here", what)
	}
	s, problem := b.names.name([]byte(w))
	if problem != "" {
		return "", at, slipf(at, codeName, "%s %s", what, problem)
	}
	if r, _ := utf8.DecodeRuneInString(w); !quoted && !unicode.IsLetter(r) && !unicode.IsDigit(r) {
		return "", at, slipf(at, codeTallyLine, "%s is expected here, not %s", what, quoteShort(w))
	}
	return s, at, nil
}

// body reads a line under a heading.
func (b *tallyBook) body(c *cursor) *slip {
	start := c.i
	first, quoted, _, bad := c.word(":")
	if bad != nil {
		return bad
	}
	if !quoted && isEvent(first) && !b.isMarks(c) {
		return b.event(c, first)
	}
	c.i = start
	return b.marks(c)
}

// isMarks reports whether a line that begins with an event's word is a behaviour of that name with its marks after
// all: then a colon outside quotation marks follows a behaviour's place. A note may always hold a colon.
func (b *tallyBook) isMarks(c *cursor) bool {
	word := strings.TrimSpace(c.s[:c.i])
	if word == "note" {
		return false
	}
	rest := strings.TrimSpace(c.s[c.i:])
	return strings.HasPrefix(rest, ":") || strings.HasPrefix(rest, "at ") && colonIn(rest) >= 0
}
