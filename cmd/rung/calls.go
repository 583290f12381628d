package main

import (
	"errors"
	"slices"
	"strings"

	"github.com/alecthomas/kong"
)

// calls are the calls of the command, in the order the help lists them.
type calls struct {
	Check    checkCall    `cmd:"" help:"every fault of a curriculum, in one run"`
	Odds     oddsCall     `cmd:"" help:"how soon, and how likely, the rules move a dog on or back"`
	Standing standingCall `cmd:"" help:"where each dog stands, and every move so far with its reason"`
	Why      whyCall      `cmd:"" help:"why a dog stands where it stands, and what would move it"`
	Plan     planCall     `cmd:"" help:"a dog's next session: what to do, how often, what is rewarded"`
	Tally    tallyCall    `cmd:"" help:"the marks on a plan's sheet as a log that names step and level"`
	Try      tryCall      `cmd:"" help:"the examples of a curriculum, run as tests of its rules"`
	Tidy     tidyCall     `cmd:"" help:"a curriculum text in its one layout, every remark kept"`
	Explain  explainCall  `cmd:"" help:"what a code in a report means, with an example and its repair"`
	Demo     demoCall     `cmd:"" help:"a tour on a made-up school, no files needed"`
	Help     helpCall     `cmd:"" help:"what the calls do, or all about one of them"`
	Version  versionCall  `cmd:"" help:"which build this is"`
}

// formatFlag chooses between words for people and JSON for programs.
type formatFlag struct {
	Format string `default:"text" placeholder:"FORMAT" help:"text for people (the default) or json for programs"`
}

func (f formatFlag) json() bool { return f.Format == "json" }

// Validate is called by kong once the flags are read.
func (f formatFlag) Validate() error { return oneFormat(f.Format, "text", "json") }

// oneFormat checks a --format.
func oneFormat(format string, known ...string) error {
	if slices.Contains(known, format) {
		return nil
	}
	return usagef("Formats here: "+strings.Join(known, ", ")+".", "there is no format %q", format)
}

// errFaults ends a call that ran, said what it found, and found faults.
var errFaults = errors.New("faults found")

// errSaid ends a call that could not do all that was asked, and has said why.
var errSaid = errors.New("said before")

// run carries out one call and returns the exit code.
func run(args []string, w *world) int {
	err := carryOut(args, w)
	if failure := w.stdout.flush(); failure != nil {
		err = failure
	}
	code := exitFine
	switch {
	case errors.Is(err, errFaults):
		code = exitFaults
	case errors.Is(err, errSaid):
		code = exitFailed
	case err != nil:
		w.stderr.complain(err)
		code = exitFailed
	}
	_ = w.stderr.flush() // there is nowhere left to say so
	return code
}

func carryOut(args []string, w *world) error {
	if len(args) == 0 {
		overview(w.stderr)
		return &usageError{text: "no call given"}
	}
	parser, err := newParser()
	if err != nil {
		return err
	}
	if args[0] == "--version" {
		args = append([]string{"version"}, args[1:]...)
	}
	if asksForHelp(args) {
		return (&helpCall{Call: firstWord(args)}).Run(w)
	}
	if err := knownCall(args[0], parser.Model); err != nil {
		return err
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		var usage *usageError
		if errors.As(err, &usage) {
			return usage
		}
		return usagef("See: rung help "+args[0], "%s", err)
	}
	return ctx.Run(w)
}

func newParser() (*kong.Kong, error) {
	return kong.New(&calls{}, kong.Name("rung"), kong.NoDefaultHelp(), kong.Exit(func(int) {}))
}

// asksForHelp reports whether -h or --help stands among the flags.
func asksForHelp(args []string) bool {
	for _, a := range args {
		switch a {
		case "--":
			return false
		case "-h", "--help":
			return true
		}
	}
	return false
}

// firstWord is the first argument that is no flag.
func firstWord(args []string) string {
	for _, a := range args {
		if !strings.HasPrefix(a, "-") {
			return a
		}
	}
	return ""
}

// knownCall refuses a first word that is no call, with the nearest one.
func knownCall(word string, app *kong.Application) error {
	var names []string
	for _, n := range app.Children {
		names = append(names, n.Name)
	}
	if slices.Contains(names, word) {
		return nil
	}
	if strings.HasPrefix(word, "-") {
		return usagef("Such as: rung check house.rung", "the call comes first, then its flags (found %s)", word)
	}
	next := perhaps(word, names)
	return usagef(next+"\nrung help says what each does.", "there is no call %q", word)
}
