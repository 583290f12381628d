package main

import (
	"fmt"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// partsOf is what one dog did in one behaviour, by handler or place.
func partsOf(a *engine.Apart, dog, behaviour string) []engine.Part {
	for _, d := range a.Dogs {
		for _, b := range d.Behaviours {
			if d.Dog == dog && b.Behaviour == behaviour {
				return b.Parts
			}
		}
	}
	return nil
}

// printApart is a dog's behaviours with how each went by handler or place: right of evidence at the present level, right
// of the newest ten at any, void of all.
func printApart(o *output, d engine.DogStanding, c *curriculum.Curriculum, a *engine.Apart) {
	rows := [][]string{}
	for _, b := range d.Behaviours {
		for _, p := range partsOf(a, d.Dog, b.Behaviour) {
			rows = append(rows, []string{partName(p, a.By), tallyText(p.Here), tallyText(p.Newest), fmt.Sprintf("%d of %d", p.Spoiled, p.Trials)})
		}
	}
	if len(rows) == 0 {
		o.line("  no trials yet")
		return
	}
	head := []string{"", "this level", "newest 10", "void"}
	widths := make([]int, len(head))
	for _, r := range append(rows, head) {
		for i, cell := range r {
			widths[i] = max(widths[i], columns(cell))
		}
	}
	print := func(r []string) {
		line := "   "
		for i, cell := range r {
			line += " " + pad(cell, widths[i]) + " "
		}
		o.line(strings.TrimRight(line, " "))
	}
	print(head)
	for _, b := range d.Behaviours {
		parts := partsOf(a, d.Dog, b.Behaviour)
		if len(parts) == 0 {
			continue
		}
		o.printf("%s", wrapped(placeText(d, b, c), fmt.Sprintf("  %s  %s  ", b.Behaviour, b.State), "      "))
		for range parts {
			print(rows[0])
			rows = rows[1:]
		}
	}
}

func tallyText(t engine.Tally) string {
	if t.Evidence == 0 {
		return "-"
	}
	return fmt.Sprintf("%d of %d", t.Successes, t.Evidence)
}

func partName(p engine.Part, by engine.ApartBy) string {
	switch {
	case p.Others:
		return "others"
	case p.Name == "":
		return "no " + string(by) + " given"
	}
	return p.Name
}
