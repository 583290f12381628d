// Embed-basic is Rung inside a program of one's own: it reads a curriculum, records five trials and prints the next
// session. Run it from the repository's root:
//
//	go run ./examples/embed-basic
package main

import (
	"fmt"
	"io"
	"log"
	"os"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func main() {
	if err := run(os.Stdout, "examples/first-steps.rung"); err != nil {
		log.Fatal(err)
	}
}

func run(out io.Writer, file string) error {
	house, err := dsl.ReadFile(file)
	if err != nil {
		return err // every fault of the text, each with its line and a caret
	}
	program, err := engine.Compile(house)
	if err != nil {
		return err
	}
	fold := program.NewFold()
	at := time.Date(2026, 4, 20, 17, 0, 0, 0, time.UTC) // the library reads no clock
	for i, o := range []curriculum.Outcome{curriculum.Success, curriculum.Success, curriculum.Wrong, curriculum.Success, curriculum.Success} {
		trial := curriculum.Trial{Dog: "okapi", Behaviour: "hand-touch", At: at.Add(time.Duration(i) * 10 * time.Second), Outcome: o}
		if err := fold.Record(&trial); err != nil {
			return err
		}
	}
	next, err := plan.Next(program, fold, plan.Request{Dog: "okapi", At: at.Add(time.Hour)})
	if err != nil {
		return err
	}
	_, err = fmt.Fprint(out, next.Text())
	return err
}
