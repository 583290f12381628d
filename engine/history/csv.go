package history

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// csvRows reads a table with a heading of field names in any order. Beside the plain ones there are columns
// measures.NAME and level.NAME; a column of a declared measure's name will do as well.
type csvRows struct {
	*sink
	in      *budget
	r       *csv.Reader
	names   interner
	clock   clock
	columns []column
	last    int // line of the row read last
	done    error
}

// column is what a heading's cell says.
type column struct {
	field field
	of    string // with fMeasures or fLevel: the measure's or ramp's name, "" for a whole level
	skip  bool
}

// budget ends reading when one row takes too much: the rest of the file would be held in memory for a quotation mark
// that somebody forgot.
type budget struct {
	r    io.Reader
	left int
	over bool
}

var errBudget = errors.New("row too long")

func (b *budget) Read(p []byte) (int, error) {
	if b.left <= 0 {
		b.over = true
		return 0, errBudget
	}
	n, err := b.r.Read(p[:min(len(p), b.left)])
	b.left -= n
	return n, err
}

func newCSV(k *sink, in *lines) *csvRows {
	c := &csvRows{sink: k}
	c.in = &budget{r: in.rest()}
	c.r = csv.NewReader(c.in)
	c.r.Comma = separator(in.peek(4096))
	c.r.FieldsPerRecord = -1
	c.r.ReuseRecord = true
	return c
}

// separator is what the heading is cut with: a comma, or what spreadsheets write where the comma is a decimal sign.
func separator(head []byte) rune {
	if i := bytes.IndexByte(head, '\n'); i >= 0 {
		head = head[:i]
	}
	best, most := ',', bytes.Count(head, []byte(","))
	for _, c := range ";\t" {
		if n := bytes.Count(head, []byte(string(c))); n > most {
			best, most = c, n
		}
	}
	return best
}

func (c *csvRows) next(e *curriculum.Entry) error {
	if c.done != nil {
		return c.done
	}
	if c.columns == nil {
		if err := c.heading(); err != nil {
			c.done = err
			return err
		}
	}
	for {
		row, err := c.row()
		if err != nil {
			c.done = err
			return err
		}
		if row == nil {
			continue
		}
		line, _ := c.r.FieldPos(0)
		at, bad := c.decode(row, line, e)
		if bad == nil {
			return nil
		}
		column := 0
		if at >= 0 {
			line, column = c.place(row, at)
		}
		if err := c.unusable(line, column, bad.code, bad.text); err != nil {
			c.done = err
			return err
		}
	}
}

// place is the line and column of a cell. The csv package counts bytes, people count characters.
func (c *csvRows) place(row []string, cell int) (line, column int) {
	line, column = c.r.FieldPos(cell)
	for i, text := range row[:cell] {
		if n := strings.LastIndexByte(text, '\n'); n >= 0 {
			text = text[n+1:] // only its last line can be this one
			if next, _ := c.r.FieldPos(i + 1); next != line {
				continue
			}
		} else if l, _ := c.r.FieldPos(i); l != line {
			continue
		}
		column -= len(text) - utf8.RuneCountInString(text)
	}
	return line, column
}

// row is the next row, nil for one that was reported or is empty.
func (c *csvRows) row() ([]string, error) {
	c.in.left = c.opts.maxLine() + 4096 // csv.Reader reads ahead by that much
	row, err := c.r.Read()
	var broken *csv.ParseError
	switch {
	case err == nil:
		c.last, _ = c.r.FieldPos(len(row) - 1)
		if strings.Join(row, "") == "" {
			return nil, nil
		}
		return row, nil
	case c.in.over:
		return nil, c.stop(c.last+1, codeLong, "a row is longer than a history's may be, perhaps for a quotation mark that is never closed; from here on the file was not read")
	case errors.As(err, &broken):
		if broken.StartLine < broken.Line {
			return nil, c.unusable(broken.StartLine, 0, codeQuote, fmt.Sprintf(
				"a quotation mark is opened in this row and not closed before line %d; the lines up to there were not read", broken.Line))
		}
		text := "a quotation mark stands in the middle of a cell; put the whole cell in quotation marks and double the one inside"
		if errors.Is(broken.Err, csv.ErrQuote) {
			text = "a quotation mark is opened and not closed, or closed too early; inside a cell it is doubled"
		}
		return nil, c.unusable(broken.Line, broken.Column, codeQuote, text)
	}
	return nil, err
}

// heading reads the names of the columns.
func (c *csvRows) heading() error {
	row, err := []string(nil), error(nil)
	for row == nil {
		if row, err = c.row(); err != nil {
			return err
		}
		if row == nil && len(c.reports) > 0 {
			return c.stop(1, codeColumns, "the heading could not be read, so neither could the rows")
		}
	}
	line, _ := c.r.FieldPos(0)
	given := map[column]bool{}
	for i, cell := range row {
		_, at := c.r.FieldPos(i)
		col, bad := c.headingCell(strings.TrimSpace(cell), line, at)
		if bad != nil {
			return c.stop(line, bad.code, bad.text)
		}
		if !col.skip && given[col] {
			return c.stop(line, codeTwice, fmt.Sprintf("two columns are called %s", quoteShort(cell)))
		}
		given[col] = true
		c.columns = append(c.columns, col)
	}
	for _, f := range []field{fDog, fAt} {
		if !given[column{field: f}] {
			return c.stop(line, codeColumns, fmt.Sprintf("the heading names no column %s, so the rows cannot be read", f))
		}
	}
	return nil
}

func (c *csvRows) headingCell(cell string, line, at int) (column, *slip) {
	for prefix, f := range map[string]field{"measures.": fMeasures, "level.": fLevel} {
		if rest, ok := strings.CutPrefix(cell, prefix); ok {
			if badUTF8(rest) {
				return column{}, slipf(-1, codeUTF8, "the name behind %s holds bytes that are not UTF-8", prefix)
			}
			of, bad := c.names.name([]byte(rest))
			if rest == "" {
				bad = "is missing"
			}
			if bad != "" {
				return column{}, slipf(-1, codeName, "the name behind %s %s", prefix, bad)
			}
			return c.canonical(column{field: f, of: of}), nil
		}
	}
	if f := fieldOf([]byte(cell)); f != fNone && f != fMeasures {
		return column{field: f}, nil
	}
	for _, m := range c.opts.Measures {
		if m.Name == cell {
			return column{field: fMeasures, of: cell}, nil
		}
	}
	if cell != "" {
		hint := didYouMean(cell, fieldNames[1:])
		if hint == "" {
			hint = "; a column of numbers is called measures." + cell
		}
		c.mentionOnce("unknown "+cell, line, at, codeUnknown, "a history has no column "+quoteShort(cell)+hint)
	}
	return column{skip: true}, nil
}

// canonical makes measures.latency and latency one column.
func (c *csvRows) canonical(col column) column {
	if col.field == fMeasures {
		switch f := fieldOf([]byte(col.of)); f {
		case fLatency, fDuration, fDistance:
			return column{field: f}
		}
	}
	return col
}

// decode reads one row into e; at is the cell at fault, -1 for none.
func (c *csvRows) decode(row []string, line int, e *curriculum.Entry) (at int, bad *slip) {
	for len(row) > len(c.columns) && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	if len(row) != len(c.columns) {
		return -1, slipf(-1, codeColumns, "the row has %d cells, the heading names %d", len(row), len(c.columns))
	}
	blank(e)
	var d draft
	for i, col := range c.columns {
		cell := row[i]
		if col.field != fNote {
			cell = strings.TrimSpace(cell)
		}
		if cell == "" || col.skip {
			continue
		}
		if bad := c.cell(&d, &e.Trial, col, cell); bad != nil {
			return i, bad
		}
	}
	return -1, d.finish(c.sink, line, e)
}

func (c *csvRows) cell(d *draft, t *curriculum.Trial, col column, cell string) (bad *slip) {
	if badUTF8(cell) {
		return slipf(-1, codeUTF8, "%s holds bytes that are not UTF-8", col.field)
	}
	d.given.add(col.field)
	b := []byte(cell)
	switch col.field {
	case fOutcome:
		t.Outcome, bad = outcomeOf(b, -1)
		return bad
	case fEvent:
		d.kind, bad = eventKind(b, -1)
		return bad
	case fAt:
		return c.at(t, cell)
	case fNote:
		t.Note = cell
		return nil
	case fEarly, fKept, fRewarded:
		yes, ok := truthOf(cell)
		if !ok {
			return slipf(-1, codeType, "%s is true or false, not %s", col.field, quoteShort(cell))
		}
		c.setTruth(d, t, col.field, yes)
		return nil
	case fLatency, fDuration, fDistance, fMeasures:
		name := col.of
		if name == "" {
			name = col.field.String()
		}
		v, ok := plainNumber(cell)
		if !ok {
			return slipf(-1, codeNumber, "%s wants a number such as 1.4, not %s", name, quoteShort(cell))
		}
		return addMeasure(t, name, v, -1)
	case fLevel:
		if col.of == "" {
			return addLevelText(&c.names, t, cell, -1)
		}
		return addLevel(&c.names, t, col.of, b, -1)
	case fHelp:
		for _, w := range strings.FieldsFunc(cell, func(r rune) bool { return r == ';' || r == ' ' }) {
			if bad := c.put(&w, []byte(w), fHelp); bad != nil {
				return bad
			}
			t.Help = append(t.Help, w)
		}
		return nil
	}
	to := map[field]*string{fID: &t.ID, fDog: &t.Dog, fBehaviour: &t.Behaviour, fSession: &t.Session, fPlace: &t.Place,
		fHandler: &t.Handler, fStep: &t.Step, fFailed: &t.Failed, fSign: &d.sign, fBy: &d.by}[col.field]
	return c.put(to, b, col.field)
}

// put stores a name.
func (c *csvRows) put(to *string, b []byte, f field) *slip {
	s, bad := c.names.name(b)
	if bad != "" {
		return slipf(-1, codeName, "%s %s: %s", f, bad, quoteShort(b))
	}
	*to = s
	return nil
}

// at reads a time; one without an offset, as spreadsheets write it, belongs to the location of the options.
func (c *csvRows) at(t *curriculum.Trial, cell string) *slip {
	var hint string
	if t.At, hint = c.clock.rfc3339([]byte(cell)); hint == "" {
		return nil
	}
	b := []byte(strings.Replace(cell, "T", " ", 1))
	if len(b) == 16 || len(b) == 19 {
		y, mo, d, ok := date(b)
		h, m, s := two(b[11:]), two(b[14:]), 0
		ok = ok && b[10] == ' ' && b[13] == ':'
		if len(b) == 19 {
			s = two(b[17:])
			ok = ok && b[16] == ':'
		}
		if ok && h >= 0 && h < 24 && m >= 0 && m < 60 && s >= 0 && s < 60 {
			var is bool
			if t.At, is = c.clock.local(y, mo, d, h, m, s, c.opts.Location); is {
				return nil
			}
			hint = "clocks were put forward over this time, so it never was"
		}
	}
	return slipf(-1, codeTime, "at cannot be read as a time, %s: %s", quoteShort(cell), hint)
}

func (c *csvRows) setTruth(d *draft, t *curriculum.Trial, f field, yes bool) {
	switch f {
	case fEarly:
		t.Early = yes
	case fKept:
		d.kept = yes
	default:
		t.Rewarded = yesNo(yes)
	}
	if !yes && f != fRewarded {
		d.given &^= 1 << f // written out as false it says nothing
	}
}

func truthOf(s string) (yes, ok bool) {
	switch strings.ToLower(s) {
	case "true", "yes":
		return true, true
	case "false", "no":
		return false, true
	}
	return false, false
}

// plainNumber reads a number as JSON writes it.
func plainNumber(text string) (float64, bool) {
	s := scanner{b: []byte(text)}
	v, ok := s.number()
	return v, ok && s.i == len(text)
}
