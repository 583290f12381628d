// Command rung reads house curricula for dog training and dogs' histories, and prints faults, standings, reasons and
// the next session plan. It is thin: everything it does, a program can do through the packages dsl, engine,
// engine/history and engine/plan.
package main

import (
	"io"
	"os"
	"time"

	"golang.org/x/term"
)

func main() {
	os.Exit(run(os.Args[1:], machine()))
}

// world is everything outside the program that a call may touch. Tests hand in their own.
type world struct {
	stdin     io.Reader
	stdinText string // of a curriculum read from there
	stdout    *output
	stderr    *output
	now       func() time.Time // read only by plan, and only without --at
	progress  bool             // standard error is a terminal that a count may be drawn on
}

// machine is the world of a process.
func machine() *world {
	return &world{
		stdin:    os.Stdin,
		stdout:   newOutput(os.Stdout, colourOn(os.Stdout)),
		stderr:   newOutput(os.Stderr, colourOn(os.Stderr)),
		now:      time.Now,
		progress: term.IsTerminal(int(os.Stderr.Fd())) && os.Getenv("TERM") != "dumb",
	}
}

// colourOn reports whether f is a terminal whose user did not ask for plain text.
func colourOn(f *os.File) bool {
	return os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && term.IsTerminal(int(f.Fd()))
}
