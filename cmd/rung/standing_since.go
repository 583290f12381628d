package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// readSince reads a standing that was printed with --format json or saved by a program.
func readSince(w *world, file string) (*engine.Standing, error) {
	r, name, err := w.openInput(file)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, plainly(name, err)
	}
	var then engine.Standing
	if err := json.Unmarshal(text, &then); err != nil || then.Fingerprint == "" {
		return nil, usagef("Keep one with: rung standing FILE --log LOG --format json > STANDING.json", "%s holds no standing", name)
	}
	return &then, nil
}

// onlyDog leaves the other dogs out.
func onlyDog(list []engine.DogStanding, name string) []engine.DogStanding {
	var out []engine.DogStanding
	for _, d := range list {
		if d.Dog == name {
			out = append(out, d)
		}
	}
	return out
}

func printChanges(o *output, ch *engine.Changes, c *curriculum.Curriculum) {
	o.printf("%s", wrapped(o.paint(bold, fmt.Sprintf("Changed between the standings of %s and %s", dated(ch.Then), dated(ch.Now))), "", ""))
	if len(ch.Dogs) == 0 {
		o.line("\nNothing.")
	}
	for _, d := range ch.Dogs {
		o.line("\n" + o.paint(bold, d.Dog))
		switch {
		case d.New:
			o.line("  was not in the earlier standing")
		case d.Gone:
			o.line("  is in the earlier standing only")
		}
		for _, l := range d.Locked {
			o.printf("%s", wrapped(o.paint(red, "LOCKED")+": "+lockText(l), "  ", "    "))
		}
		for _, l := range d.Cleared {
			o.printf("%s", wrapped(fmt.Sprintf("no longer locked: %s seen %s", l.SignText(), l.At.Format(stamp)), "  ", "    "))
		}
		for _, b := range d.Behaviours {
			printChange(o, b, c)
		}
	}
}

func printChange(o *output, b engine.BehaviourChanges, c *curriculum.Curriculum) {
	then, now := standText(b.Then, c, b.Behaviour), standText(b.Now, c, b.Behaviour)
	text := "stood at " + then + "; stands at " + now
	if then == now {
		text = "stands, as then, at " + now
	}
	o.printf("%s", wrapped(text, "  "+b.Behaviour+"  ", "    "))
	for _, m := range b.Moves {
		switch m.Kind {
		case engine.MoveGone:
			printMoveOf(o, "gone", m.Then, c, b.Behaviour)
		case engine.MoveNew:
			word := "new"
			if m.Later {
				word = "since"
			}
			printMoveOf(o, word, m.Now, c, b.Behaviour)
		case engine.MoveChanged:
			printMoveOf(o, "now", m.Now, c, b.Behaviour)
			printMoveOf(o, "was", m.Then, c, b.Behaviour)
		}
	}
	for _, n := range b.NotedGone {
		o.printf("%s", wrapped(noteText(n), "    gone   ", sinceHanging))
	}
	for _, n := range b.NotedNew {
		o.printf("%s", wrapped(noteText(n), "    new    ", sinceHanging))
	}
}

// sinceHanging is the indent behind the word of a change.
const sinceHanging = "           "

func printMoveOf(o *output, word string, m *engine.Move, c *curriculum.Curriculum, behaviour string) {
	date := ""
	if m.At != nil {
		date = m.At.Format(time.DateOnly) + "  "
	}
	text := date + moveText(*m, c, behaviour)
	if m.Trial != "" {
		text += ", at trial " + engine.TrialText(m.Trial)
	}
	o.printf("%s", wrapped(text, "    "+pad(word, 7), sinceHanging))
}

func standText(s engine.Stand, c *curriculum.Curriculum, behaviour string) string {
	if s.State == curriculum.Kept {
		return "its end (finished)"
	}
	text := atPlace(c, behaviour, s.Step, s.Level) + " (" + string(s.State)
	if s.Trials > 0 {
		text += ", " + count(s.Trials, "trial")
	}
	return strings.TrimSpace(text) + ")"
}
