// Generate writes the logs of the demo school: six simulated dogs worked through the real engine, with planted days
// that the demo and the tests lean on. Run it from the repository's root:
//
//	go run ./examples/pindrift/generate
//
// Same curriculum, same engine, same bytes. The learners are made up and fitted to no dog.
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/dsl"
	"example.com/rung/engine"
	"example.com/rung/engine/history"
)

func main() {
	school := flag.String("school", filepath.Join("examples", "pindrift"), "folder of house.rung and dogs.json; logs go into its logs folder")
	flag.Parse()
	if err := run(*school, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func run(school string, out io.Writer) error {
	logs, err := generate(school)
	if err != nil {
		return err
	}
	dir := filepath.Join(school, "logs")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	for _, l := range logs {
		if err := os.WriteFile(filepath.Join(dir, l.name), l.data, 0o666); err != nil {
			return err
		}
		fmt.Fprintf(out, "%-14s %4d lines %7d bytes\n", l.name, l.lines, len(l.data))
	}
	return nil
}

// logFile is one dog's history, written out.
type logFile struct {
	name  string
	data  []byte
	lines int // trials and events
}

// part is one team's role in the demo.
type part struct {
	dog     string
	write   func(io.Writer, []curriculum.Entry) error
	ending  string
	seed    uint64
	story   func(*team)
	goals   []string
	style   style
	learner learner
}

func parts() []part {
	full := style{ids: true, rewards: true, measures: true}
	taped := style{ids: true, rewards: true, measures: true, tape: true}
	return []part{
		{"okapi", history.WriteJSONL, "jsonl", 11, okapi,
			[]string{"name-check", "hand-touch", "mat-settle", "step-platform", "pivot-left", "take", "give", "call-in", "pivot-right"},
			style{ids: true, rewards: true},
			learner{start: 0.64, gain: 0.10, keep: 0.92, quick: 0.9, silent: 0.30, helped: 0.25, leaves: 0.3,
				harder: map[string]float64{"yard": 0.12, "room-b": 0.10, "lane": 0.2}}},
		{"sorrel", history.WriteCSV, "csv", 12, sorrel,
			[]string{"name-check", "hand-touch", "call-in", "step-platform", "take", "give", "pivot-right", "pivot-left", "hold"},
			style{ids: true},
			learner{start: 0.66, gain: 0.11, keep: 0.92, quick: 1.1, silent: 0.45, helped: 0.20, leaves: 0.2,
				harder: map[string]float64{"owner": 0.12, "lane": 0.10, "yard": 0.06, "room-b": 0.05}}},
		{"thimble", history.WriteJSONL, "jsonl", 13, thimble,
			[]string{"chin-rest", "hand-touch", "mat-settle", "name-check", "basket-nose"},
			style{ids: true, rewards: true},
			learner{start: 0.66, gain: 0.11, keep: 0.92, quick: 1.3, silent: 0.25, helped: 0.20, leaves: 0.3,
				harder: map[string]float64{"room-b": 0.1, "foyer": 0.15}}},
		{"gantry", history.WriteJSONL, "jsonl", 14, gantry,
			[]string{"take", "give", "hold", "drawer-open", "mat-settle", "chin-rest", "drawer-shut", "bring-dropped", "call-in", "step-platform", "pivot-right", "pivot-left", "hand-touch", "name-check"},
			taped,
			learner{start: 0.72, gain: 0.14, keep: 0.93, quick: 0.8, silent: 0.15, helped: 0.30, leaves: 0.2,
				harder: map[string]float64{"owner": 0.03, "room-b": 0.04, "home": 0.02}}},
		{"pewter", history.WriteCSV, "csv", 15, pewter,
			[]string{"hand-touch", "mat-settle", "name-check", "chin-rest", "step-platform", "give", "take", "pivot-left", "pivot-right"},
			full,
			learner{start: 0.64, gain: 0.07, keep: 0.90, quick: 1.5, silent: 0.35, helped: 0.25, leaves: 0.2,
				harder: map[string]float64{"room-a": 0.03}}},
		{"bisk", writeTally, "tally", 16, bisk,
			[]string{"basket-nose", "mat-settle", "hand-touch", "name-check", "take", "give", "call-in"},
			style{},
			learner{start: 0.66, gain: 0.10, keep: 0.92, quick: 1.1, silent: 0.25, helped: 0.25, leaves: 0.3,
				harder: map[string]float64{"yard": 0.1, "room-b": 0.06, "second-owner": 0.05}}},
	}
}

// generate works every team through its weeks.
func generate(school string) ([]logFile, error) {
	house, err := dsl.ReadFile(filepath.Join(school, "house.rung"))
	if err != nil {
		return nil, err
	}
	program, err := engine.Compile(house)
	if err != nil {
		return nil, err
	}
	data, err := os.ReadFile(filepath.Join(school, "dogs.json"))
	if err != nil {
		return nil, err
	}
	dogs, reports, err := history.ReadDogs(bytes.NewReader(data), "dogs.json")
	if err != nil {
		return nil, err
	}
	if len(reports) > 0 {
		return nil, fmt.Errorf("dogs.json:%d: %s", reports[0].Line, reports[0].Text)
	}
	var out []logFile
	for _, p := range parts() {
		t := &team{dog: profile(dogs, p.dog), goals: p.goals, style: p.style, learner: p.learner, program: program,
			rand: rand.New(rand.NewPCG(p.seed, 2026))}
		t.learner.skill = map[string]float64{}
		t.fold = program.NewFold(t.dog)
		if p.story(t); t.err != nil {
			return nil, t.err
		}
		var b bytes.Buffer
		if err := p.write(&b, t.log); err != nil {
			return nil, fmt.Errorf("%s: %w", p.dog, err)
		}
		out = append(out, logFile{p.dog + "." + p.ending, b.Bytes(), len(t.log)})
	}
	return out, nil
}

func profile(dogs []curriculum.Dog, name string) curriculum.Dog {
	for _, d := range dogs {
		if d.Name == name {
			return d
		}
	}
	return curriculum.Dog{Name: name}
}

func writeTally(w io.Writer, entries []curriculum.Entry) error {
	return history.WriteTally(w, entries, time.UTC)
}
