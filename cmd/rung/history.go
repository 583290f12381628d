package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
)

// historyFlags are what standing, why and plan read beside the curriculum.
type historyFlags struct {
	Log    []string `sep:"none" placeholder:"LOG" help:"a log, or a folder of logs: JSON Lines, CSV or a tally book; - for standard input; may be given several times"`
	Dogs   string   `placeholder:"FILE" help:"the dogs' profiles, as JSON"`
	At     string   `placeholder:"TIME" help:"the moment to answer for, such as 2026-03-02T17:10:00+01:00 or 2026-03-02"`
	Zone   string   `default:"UTC" placeholder:"ZONE" help:"zone of times written without an offset, in tally books and in --at: Europe/Berlin, +01:00, local (default UTC)"`
	Strict bool     `help:"stop at the first line that cannot be used"`
	Echo   string   `default:"newest" placeholder:"WHICH" help:"how much of a tally book to read back on standard error: the newest session (the default), all or none"`
}

// Validate is called by kong once the flags are read.
func (f historyFlags) Validate() error {
	if len(f.Log) == 0 && f.Dogs == "" {
		return usagef("Give the logs with --log. For a dog that has none yet, give its profile with --dogs.", "no history given")
	}
	if !slices.Contains([]string{"newest", "all", "none"}, f.Echo) {
		return usagef("Write --echo newest, all or none.", "nothing is called %q there", f.Echo)
	}
	return nil
}

// told is what a call knows once curriculum, profiles and logs are read.
type told struct {
	curriculum *curriculum.Curriculum
	program    *engine.Program
	fold       *engine.Fold
	sources    []string        // names of the logs, as given
	found      []engine.Report // on profiles and logs; those of the fold are its own
	at         time.Time       // --at, or zero
	echoed     []curriculum.Entry
	only       string // the dog asked about, or all
}

// read reads all three. Where only is a dog's name, only its tally sessions are read back, and what is to report of lines
// about other dogs is left out. With cut, lines later than
// --at are left out.
func (f historyFlags) read(w *world, file, only string, cut bool) (*told, error) {
	if err := onceOnly(append([]string{file, f.Dogs}, f.Log...)...); err != nil {
		return nil, err
	}
	zone, err := parseZone(f.Zone)
	if err != nil {
		return nil, err
	}
	t := &told{only: only}
	if f.At != "" {
		if t.at, err = parseTime(f.At, zone); err != nil {
			return nil, err
		}
	}
	if t.curriculum, t.program, err = readProgram(w, file); err != nil {
		return nil, err
	}
	dogs, err := f.readDogs(w, t)
	if err != nil {
		return nil, err
	}
	t.fold = t.program.NewFold(dogs...)
	err = f.readLogs(w, t, zone, only, cut)
	var line *history.LineError
	if errors.As(err, &line) {
		t.only = "" // the line it stopped at may be another dog's
		t.printReports(w)
		return nil, errFaults
	}
	return t, err
}

// readDogs reads the profiles. One that cannot be used ends the call: it may hold the limit that keeps a dog from harm.
func (f historyFlags) readDogs(w *world, t *told) ([]curriculum.Dog, error) {
	if f.Dogs == "" {
		return nil, nil
	}
	r, name, err := w.openInput(f.Dogs)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	dogs, reports, err := history.ReadDogs(r, name)
	if err != nil {
		return nil, err
	}
	t.found = append(t.found, reports...)
	if slices.ContainsFunc(reports, func(r engine.Report) bool { return r.Unusable }) {
		t.printReports(w)
		return nil, usagef("A profile may hold a limit that keeps a dog from harm, so nothing is worked out without it.", "%s cannot be used as it is", name)
	}
	return dogs, nil
}

// openInput opens a file, or standard input for "-".
func (w *world) openInput(name string) (r io.ReadCloser, shown string, err error) {
	if name == "-" {
		return io.NopCloser(w.stdin), stdinName, nil
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, "", plainly(name, err)
	}
	return file, name, nil
}

func (f historyFlags) readLogs(w *world, t *told, zone *time.Location, only string, cut bool) error {
	if len(f.Log) == 0 {
		return nil
	}
	h, err := history.Open(f.Log, w.stdin, history.Options{Location: zone, Strict: f.Strict}.For(t.curriculum))
	if err != nil {
		return plainPath(err)
	}
	defer h.Close()
	t.sources = h.Sources()
	later := laterLines{at: t.at, only: only, cut: cut}
	echo := echoing{which: f.Echo, only: only, h: h}
	progress := newProgress(w)
	defer progress.done()
	err = eachEntry(h, func(e *curriculum.Entry) error {
		progress.step(h)
		if later.skips(e) {
			return nil
		}
		echo.see(e)
		var refused *engine.LineError
		if err := t.fold.Take(e); errors.As(err, &refused) && f.Strict {
			return &history.LineError{Report: refused.Report}
		}
		return nil // what the fold refuses is among its reports
	})
	t.found = append(t.found, h.Reports()...)
	t.found = append(t.found, later.reports()...)
	t.echoed = echo.held
	return err
}

// eachEntry hands every entry to do, in time order.
func eachEntry(h *history.History, do func(*curriculum.Entry) error) error {
	var e curriculum.Entry
	for {
		if err := h.Next(&e); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
		if err := do(&e); err != nil {
			return err
		}
	}
}

// codeLater is the code of the report on lines behind --at.
const codeLater = "later-lines"

// laterLines counts what lies behind --at.
type laterLines struct {
	at   time.Time
	only string // the dog asked about, or all
	cut  bool
	n    int
}

// skips reports whether the line is to be left out.
func (l *laterLines) skips(e *curriculum.Entry) bool {
	if l.at.IsZero() || !e.At().After(l.at) {
		return false
	}
	if l.only == "" || l.only == e.Dog() {
		l.n++
	}
	return l.cut
}

func (l *laterLines) reports() []engine.Report {
	if l.n == 0 {
		return nil
	}
	are, about := "are", ""
	if l.only != "" {
		about = " about " + l.only
	}
	if l.n == 1 {
		are = "is"
	}
	text := fmt.Sprintf("%s of the logs%s %s later than %s", count(l.n, "line"), about, are, dated(l.at))
	if l.cut {
		text += " and left out: this is how it stood then"
	} else {
		text += "; they were read all the same"
	}
	return []engine.Report{{Code: codeLater, Text: text}}
}

// echoing keeps the entries of tally books that are to be read back: all, or the newest session.
type echoing struct {
	which, only string
	h           *history.History
	session     string
	held        []curriculum.Entry
}

func (c *echoing) see(e *curriculum.Entry) {
	if c.which == "none" || c.only != "" && e.Dog() != c.only {
		return
	}
	source, session := e.Trial.Source, e.Trial.Session
	if e.IsEvent {
		source, session = e.Event.Source, e.Event.Session
	}
	if c.h.FormatOf(source) != history.Tally {
		return
	}
	if key := source + "\x00" + e.Dog() + "\x00" + session; key != c.session {
		c.session = key
		if c.which == "newest" {
			c.held = c.held[:0]
		}
	}
	c.held = append(c.held, history.Clone(e))
}

// now is the moment to answer for: --at, or the last line of the logs.
func (t *told) now() time.Time {
	if !t.at.IsZero() {
		return t.at
	}
	return t.fold.Now()
}

// reports is everything there is to say about the lines read, log by log in the order given; of one dog's where only one
// was asked about, and of lines that cannot be said to be another's.
func (t *told) reports() []engine.Report {
	all := slices.Clone(t.found)
	if t.fold != nil { // nil while the profiles are read
		all = append(all, t.fold.Reports()...)
	}
	all = slices.DeleteFunc(all, func(r engine.Report) bool { return t.only != "" && r.Dog != "" && r.Dog != t.only })
	rank := func(source string) int {
		if i := slices.Index(t.sources, source); i >= 0 {
			return i
		}
		return -1 // profiles, and what is said of all logs
	}
	slices.SortStableFunc(all, func(a, b engine.Report) int {
		if d := rank(a.Source) - rank(b.Source); d != 0 {
			return d
		}
		return a.Line - b.Line
	})
	if all == nil {
		all = []engine.Report{}
	}
	return all
}

// most is how many reports are printed for people; JSON has them all.
const most = 50

// saying is what is printed once of the lines of a log.
type saying struct{ source, code, text string }

// sayingOf is what a report says. That a trial names no step though a move came before it is said once of a dog in a log,
// wherever the dog stood: pages of a tally book are mostly without steps, and the lines that were not read must not drown
// among them.
func sayingOf(r *engine.Report) saying {
	if r.Code == engine.CodeNoStepAfterMove {
		return saying{r.Source, r.Code, r.Dog}
	}
	return saying{r.Source, r.Code, r.Text}
}

// printReports prints the reports to standard error, and tells whether one of them says that a line was not read. What
// is said of many lines of one log is printed once; where there is too much, lines that were not read come first.
func (t *told) printReports(w *world) (unusable bool) {
	var first []engine.Report
	times := map[saying]int{}
	for _, r := range t.reports() {
		unusable = unusable || r.Unusable
		s := sayingOf(&r)
		if times[s]++; times[s] == 1 {
			first = append(first, r)
		}
	}
	if len(first) > most {
		slices.SortStableFunc(first, func(a, b engine.Report) int { return unread(&b) - unread(&a) })
	}
	for _, r := range first[:min(len(first), most)] {
		text := reportText(r)
		if n := times[sayingOf(&r)] - 1; n > 0 {
			text += fmt.Sprintf(" (and %s more)", oftenText(n))
		}
		w.stderr.printf("%s", wrapped(text, "", "    "))
	}
	if len(first) > most {
		w.stderr.printf("... and %s; --format json lists them all\n", count(len(first)-most, "further report"))
	}
	return unusable
}

func unread(r *engine.Report) int {
	if r.Unusable {
		return 1
	}
	return 0
}

// oftenText is once, twice, 3 times.
func oftenText(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

func reportText(r engine.Report) string {
	if r.Source == "" && r.Line == 0 {
		return fmt.Sprintf("%s [%s]", r.Text, r.Code)
	}
	text := history.ReportText(r)
	if r.Unusable && !strings.Contains(r.Text, "not read") {
		text += " (line not read)"
	}
	return text
}

// finish prints reports and what was read of a tally book, and decides the exit code.
func (t *told) finish(w *world) error {
	unusable := t.printReports(w)
	if len(t.echoed) > 0 {
		var said bytes.Buffer
		history.Echo(&said, t.echoed)
		w.stderr.line("Read from the tally book:")
		for _, line := range strings.Split(strings.TrimSpace(said.String()), "\n") {
			indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
			w.stderr.printf("%s", wrapped(line, indent, indent+"    "))
		}
	}
	if unusable {
		return errFaults
	}
	return nil
}

// asked turns the library's error about a name into one of the call.
func asked(err error) error {
	if err == nil {
		return nil
	}
	return &usageError{text: err.Error()}
}
