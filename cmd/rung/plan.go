package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
	"example.com/rung/engine/plan"
)

// planCall makes the next session of one dog.
type planCall struct {
	File      string    `arg:"" help:"the curriculum"`
	Dog       string    `placeholder:"NAME" help:"the dog"`
	Place     string    `placeholder:"NAME" help:"where it will be (default: not settled)"`
	Handler   string    `placeholder:"NAME" help:"who will work the dog"`
	Minutes   *float64  `placeholder:"N" help:"minutes there are (default: what the session rules say)"`
	Pieces    *int      `placeholder:"N" help:"pieces of food at hand"`
	Kcal      *float64  `placeholder:"N" help:"energy of the food at hand, in kcal"`
	Extras    *float64  `placeholder:"N" help:"energy of the extras the dog has had today already, in kcal; 0 says that it had none"`
	Celsius   []float64 `placeholder:"N" help:"how warm it is there, in degrees Celsius; with --days one for all of them, or one a day, as 18,24,26"`
	Equipment *string   `placeholder:"A,B" help:"equipment at hand, or none (default: all that the curriculum declares)"`
	Seed      uint64    `default:"0" placeholder:"N" help:"another number draws other rewarded trials (default 0)"`
	Session   string    `placeholder:"NAME" help:"session rules by name (default: those without one)"`
	Favour    []string  `placeholder:"A,B" help:"behaviours that somebody wishes for: they weigh more, and no limit is lifted for them"`
	If        []string  `sep:"none" placeholder:"MARKS" help:"the plan after a session that has not been, such as \"pivot-left: + + - + +\"; may be given several times"`
	Class     string    `placeholder:"FILE" help:"a class day instead of one dog: its dogs, stations and turns, as JSON"`
	Days      int       `placeholder:"N" help:"the days ahead, from that day on: which sessions, and what comes up in them"`
	Sessions  int       `placeholder:"N" help:"with --days: so many sessions in those days, evenly spread (default: one a day)"`
	voiceFlag
	historyFlags
	Format string `default:"text" placeholder:"FORMAT" help:"text for people (the default), markdown, html (one page to print), or json for programs"`
}

// Validate is called by kong once the flags are read.
func (c *planCall) Validate() error {
	if err := c.historyFlags.Validate(); err != nil {
		return err
	}
	if err := c.voiceFlag.Validate(); err != nil {
		return err
	}
	for _, n := range []struct {
		flag  string
		value *float64
	}{{"minutes", c.Minutes}, {"kcal", c.Kcal}} {
		if v := n.value; v != nil && (!(*v > 0) || math.IsInf(*v, 0)) {
			return usagef("Leave it away where there is no limit.", "--%s must be more than nought", n.flag)
		}
	}
	if v := c.Extras; v != nil && (!(*v >= 0) || math.IsInf(*v, 0)) {
		return usagef("", "--extras must not be less than nought")
	}
	if err := c.validateCelsius(); err != nil {
		return err
	}
	if c.Pieces != nil && *c.Pieces < 1 {
		return usagef("Leave it away where there is no limit.", "--pieces must be at least 1")
	}
	switch {
	case c.Dog == "" && c.Class == "":
		return usagef("Name the dog, or a class day with --class FILE.", "missing flags: --dog=NAME")
	case c.Class != "" && (c.Dog != "" || c.Days != 0 || c.Place != "" || c.Handler != "" || c.Minutes != nil || c.Equipment != nil):
		return usagef("The class file says who works where, when, how long and with what.", "--class does not go with --dog, --days, --place, --handler, --minutes or --equipment")
	case c.Class != "" && c.voice() == engine.ForOwner:
		return usagef("An owner's sheet is of one dog: rung plan --dog NAME --for owner.", "--class is for trainers and does not go with --for owner")
	}
	if c.Days < 0 || c.Sessions < 0 {
		return usagef("", "--days and --sessions are whole numbers from 1 on")
	}
	if c.Sessions > 0 && c.Days == 0 {
		return usagef("As in --days 7 --sessions 4.", "--sessions needs --days")
	}
	if len(c.If) > 0 && (c.Days > 0 || c.Class != "") {
		return usagef("", "--if goes with the next session of one dog only")
	}
	return oneFormat(c.Format, "text", "markdown", "html", "json")
}

func (c *planCall) validateCelsius() error {
	n := len(c.Celsius)
	for _, v := range c.Celsius {
		if !(v >= -60 && v <= 60) {
			return usagef("As in --celsius 24.", "--celsius is a temperature between -60 and 60")
		}
	}
	switch {
	case n > 0 && c.Class != "":
		return usagef("A class file says celsius at each station.", "--celsius does not go with --class")
	case n > 1 && c.Days == 0:
		return usagef("Several are for the days ahead, as in --days 3 --celsius 18,24,26.", "--celsius takes one temperature for one session")
	case n > 1 && n != c.Days:
		return usagef("Give one for all days, or one a day.", "--celsius has %d temperatures for %d days", n, c.Days)
	}
	return nil
}

func (c *planCall) Run(w *world) error {
	t, err := c.read(w, c.File, c.Dog, false)
	if err != nil {
		return err
	}
	at := t.at
	if at.IsZero() {
		zone, err := parseZone(c.Zone)
		if err != nil {
			return err
		}
		at = w.now().In(zone)
	}
	request := plan.Request{
		Dog: c.Dog, At: at, Place: c.Place, Handler: c.Handler, Minutes: value(c.Minutes), Pieces: value(c.Pieces),
		Kcal: value(c.Kcal), ExtrasFed: value(c.Extras), ExtrasKnown: c.Extras != nil, Equipment: c.kit(t.curriculum), Seed: c.Seed, Session: c.Session, Favour: c.Favour,
	}
	switch len(c.Celsius) {
	case 0:
	case 1:
		request.Celsius = &c.Celsius[0]
	default:
		request.DaysCelsius = c.Celsius
	}
	switch {
	case c.Class != "":
		err = c.printClass(w, t, request)
	case c.Days > 0:
		err = c.printDays(w, t, request)
	default:
		err = c.printNext(w, t, request)
	}
	if err != nil {
		return err
	}
	return t.finish(w)
}

func (c *planCall) printNext(w *world, t *told, r plan.Request) error {
	next, err := c.next(t, r)
	if err != nil {
		return err
	}
	switch c.Format {
	case "json":
		return next.WriteJSON(w.stdout)
	case "html":
		return next.WriteHTML(w.stdout, c.voice())
	case "markdown":
		_, err = w.stdout.Write([]byte(next.MarkdownFor(c.voice())))
	default:
		_, err = w.stdout.Write([]byte(next.TextFor(c.voice())))
	}
	return err
}

// next is the next session, or the one after what --if says.
func (c *planCall) next(t *told, r plan.Request) (next *plan.Plan, err error) {
	if len(c.If) == 0 {
		next, err = plan.Next(t.program, t.fold, r)
		return next, asked(err)
	}
	trials, err := c.supposed(t, r)
	if err != nil {
		return nil, err
	}
	next, err = plan.NextIf(t.program, t.fold, r, trials)
	var line *engine.LineError
	if errors.As(err, &line) {
		return nil, usagef("", "--if cannot be taken: %s", line.Text)
	}
	return next, asked(err)
}

// supposed reads the marks of --if like lines of a tally book's page.
func (c *planCall) supposed(t *told, r plan.Request) ([]curriculum.Trial, error) {
	page := "dog " + r.At.Format("2006-01-02 15:04") + "\n" + strings.Join(c.If, "\n") + "\n"
	book := history.NewReader(strings.NewReader(page), "--if", history.Options{Format: history.Tally, Location: r.At.Location()}.For(t.curriculum))
	var out []curriculum.Trial
	var e curriculum.Entry
	for {
		err := book.Next(&e)
		if err == io.EOF {
			break
		} else if err != nil {
			return nil, err
		}
		if e.IsEvent {
			return nil, usagef("Marks only, such as --if \"settle: + + - +\".", "--if takes no events")
		}
		out = append(out, e.Trial)
	}
	for _, r := range book.Reports() {
		return nil, usagef("As in --if \"settle: + + - +\".", "--if cannot be read: %s", r.Text)
	}
	return out, nil
}

func (c *planCall) printDays(w *world, t *told, r plan.Request) error {
	ahead, err := plan.Ahead(t.program, t.fold, r, c.Days, c.Sessions)
	if err != nil {
		return asked(err)
	}
	switch c.Format {
	case "json":
		return ahead.WriteJSON(w.stdout)
	case "html":
		return ahead.WriteHTML(w.stdout, c.voice())
	case "markdown":
		_, err = w.stdout.Write([]byte(ahead.MarkdownFor(c.voice())))
	default:
		_, err = w.stdout.Write([]byte(ahead.TextFor(c.voice())))
	}
	return err
}

// kit is --equipment: nil where it was not given.
func (c *planCall) kit(house *curriculum.Curriculum) []string {
	if c.Equipment == nil {
		return nil
	}
	kit := []string{}
	for _, name := range strings.Split(*c.Equipment, ",") {
		if name = strings.TrimSpace(name); name != "" {
			kit = append(kit, name)
		}
	}
	if len(kit) == 1 && kit[0] == "none" && !declares(house, "none") {
		return []string{}
	}
	return kit
}

func declares(house *curriculum.Curriculum, equipment string) bool {
	for _, e := range house.Equipment {
		if e.Name == equipment {
			return true
		}
	}
	return false
}

// value is what p points to, or nought.
func value[T int | float64](p *T) T {
	if p == nil {
		var nought T
		return nought
	}
	return *p
}

func (c *planCall) printClass(w *world, t *told, r plan.Request) error {
	f, err := os.Open(c.Class)
	if err != nil {
		return plainly(c.Class, err)
	}
	defer f.Close()
	class, err := plan.ReadClass(f)
	var faults *plan.ClassFileError
	switch {
	case errors.As(err, &faults):
		for _, f := range faults.Faults {
			w.stderr.printf("%s", wrapped(fmt.Sprintf("%s:%d:%d: %s", c.Class, f.Line, f.Column, f.Text), "", "    "))
		}
		return usagef("Nothing was planned; rung help plan shows what a class file holds.", "%s is no class day as it stands", c.Class)
	case err != nil:
		return plainly(c.Class, err)
	}
	day, err := plan.ForClass(t.program, t.fold, class, r)
	var clash *plan.ClassError
	switch {
	case errors.As(err, &clash):
		return usagef(sentence(clash.Next), "%s", clash.Text)
	case err != nil:
		return asked(err)
	}
	switch c.Format {
	case "json":
		return day.WriteJSON(w.stdout)
	case "html":
		return day.WriteHTML(w.stdout)
	case "markdown":
		_, err = w.stdout.Write([]byte(day.Markdown()))
	default:
		_, err = w.stdout.Write([]byte(day.Text()))
	}
	return err
}
