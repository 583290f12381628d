package main

import (
	"sort"
	"strings"

	"github.com/alecthomas/kong"
)

// helpCall prints the list of calls, or all about one.
type helpCall struct {
	Call string `arg:"" optional:"" help:"the call to explain"`
}

// guide is what the help of one call says beside its list of flags.
type guide struct {
	usage    string
	text     string // paragraphs, one a line
	examples []string
}

// inOrder is the order of the overview.
var inOrder = []string{"check", "try", "odds", "standing", "why", "plan", "tally", "tidy", "explain", "demo", "help", "version"}

func (c *helpCall) Run(w *world) error {
	if c.Call == "" {
		overview(w.stdout)
		return nil
	}
	parser, err := newParser()
	if err != nil {
		return err
	}
	if err := knownCall(c.Call, parser.Model); err != nil {
		return err
	}
	for _, n := range parser.Model.Children {
		if n.Name == c.Call {
			manual(w.stdout, n)
		}
	}
	return nil
}

// overview lists the calls.
func overview(o *output) {
	o.line("rung: from a house curriculum and a dog's log to the next session.\n")
	parser, err := newParser()
	if err != nil {
		o.line(err.Error())
		return
	}
	nodes := append([]*kong.Node(nil), parser.Model.Children...)
	sort.SliceStable(nodes, func(i, j int) bool { return place(nodes[i].Name) < place(nodes[j].Name) })
	for _, n := range nodes {
		lead := "  " + pad(n.Name, 10)
		o.printf("%s", wrapped(n.Help, lead, strings.Repeat(" ", len(lead))))
	}
	o.line("\nMore about one of them: rung help CALL. To look round: rung demo.")
}

func place(name string) int {
	for i, n := range inOrder {
		if n == name {
			return i
		}
	}
	return len(inOrder)
}

// manual prints all about one call.
func manual(o *output, n *kong.Node) {
	g := guides[n.Name]
	o.line(o.paint(bold, "rung "+n.Name+" "+g.usage) + "\n")
	for _, p := range strings.Split(g.text, "\n") {
		o.line(wrapped(p, "", ""))
	}
	if len(n.Flags) > 0 {
		o.line("Flags")
		for _, f := range n.Flags {
			name := "--" + f.Name
			if !f.IsBool() {
				name += " " + f.PlaceHolder
			}
			const column = 22
			lead := pad("  "+name, column)
			if columns(lead) > column || !strings.HasSuffix(lead, " ") {
				o.line("  " + name)
				lead = strings.Repeat(" ", column)
			}
			o.printf("%s", wrapped(f.Help, lead, strings.Repeat(" ", column)))
		}
		o.line("")
	}
	for i, e := range g.examples {
		if i == 0 {
			o.line("For example")
		}
		o.line("  " + e)
	}
	if len(g.examples) > 0 {
		o.line("")
	}
	o.line("Exit codes: 0 fine, 1 it ran and found faults, 2 it could not run, or not for every file.")
}
