package history

import (
	"io"
	"path"
	"strings"
	"time"

	"example.com/rung/curriculum"
)

// Format is how a history is written down.
type Format uint8

const (
	Auto      Format = iota // by the name's ending, else by the first line
	JSONLines               // one JSON object a line
	CSV                     // a heading, then one row a trial
	Tally                   // a tally book: a session's heading, then a line of marks a behaviour
)

// String is the format's name.
func (f Format) String() string {
	return [...]string{"auto", "JSON Lines", "CSV", "tally book"}[f]
}

// Options say how to read. The zero Options will do; all fields are optional.
type Options struct {
	Format Format

	// Location is where a time written without an offset belongs (tally books; CSV that a spreadsheet wrote). Nil
	// means UTC.
	Location *time.Location

	// Places and Handlers are the declared names. In a tally book they tell a heading's place from its handler.
	Places, Handlers []string

	// Measures are the declared ones: a CSV column of such a name is read as a measure, and a number that a tally
	// book gives with a unit is turned into the declared one.
	Measures []curriculum.Measure

	// Echo, where it is not nil, is told in words what was understood of each line of a tally book.
	Echo io.Writer

	// Strict ends reading at the first line that cannot be used.
	Strict bool

	// MaxReports limits the reports of one source; what goes beyond is counted in a last report. 0 means 1000.
	MaxReports int

	// MaxLine limits a line, or a CSV row, in bytes; a longer one is reported and passed over. 0 means 1 MiB: a
	// trial with a page of notes is a few KiB, so a longer line is a file that is no history.
	MaxLine int
}

// For fills in the names that a curriculum declares.
func (o Options) For(c *curriculum.Curriculum) Options {
	if c == nil {
		return o
	}
	o.Places, o.Handlers, o.Measures = c.Places, c.Handlers, c.Measures
	return o
}

func (o Options) maxReports() int {
	if o.MaxReports > 0 {
		return o.MaxReports
	}
	return 1000
}

func (o Options) maxLine() int {
	if o.MaxLine > 0 {
		return o.MaxLine
	}
	return 1 << 20
}

// measureUnit is the unit a measure is recorded in, and whether the measure is known.
func (o Options) measureUnit(name string) (curriculum.Unit, bool) {
	switch name {
	case "latency", "duration":
		return curriculum.Second, true
	case "distance":
		return curriculum.Metre, true
	}
	for _, m := range o.Measures {
		if m.Name == name {
			return m.Unit, true
		}
	}
	return "", false
}

// FormatOf is the format a file's name announces, or Auto.
func FormatOf(name string) Format {
	switch strings.ToLower(path.Ext(name)) {
	case ".jsonl", ".ndjson":
		return JSONLines
	case ".csv", ".tsv":
		return CSV
	case ".tally":
		return Tally
	}
	return Auto
}
