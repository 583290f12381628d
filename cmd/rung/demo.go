package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"example.com/rung/examples"
)

// demoCall tours the other calls on the made-up school.
type demoCall struct {
	Out string `placeholder:"DIR" help:"also write the school's files to this new folder, to play with"`
	formatFlag
}

//go:embed demo/draft.rung
var demoDraft []byte

// stage is one call of the tour, with what is said before it.
type stage struct {
	Part     string `json:"part,omitempty"` // heading of what begins here
	Sentence string `json:"sentence"`
	Call     string `json:"call"`
	Output   string `json:"output"`
	Exit     int    `json:"exit"`
	args     []string
}

func (c *demoCall) Run(w *world) error {
	dir := c.Out
	if dir == "" {
		temp, err := os.MkdirTemp("", "rung-demo-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(temp)
		dir = temp
	} else if entries, err := os.ReadDir(dir); err == nil && len(entries) > 0 {
		return usagef("Name a folder that is new or empty.", "there is something in %s already", dir)
	}
	if err := writeSchool(dir); err != nil {
		return err
	}
	stages, err := playStages(w, dir)
	if err != nil {
		return err
	}
	if c.json() {
		return w.stdout.json(map[string]any{"at": examples.At, "stages": stages})
	}
	printStages(w.stdout, stages, c.Out)
	return nil
}

// writeSchool puts the school's files into dir: the curriculum, the dogs, their logs and a faulty draft.
func writeSchool(dir string) error {
	school, err := fs.Sub(examples.Files(), "pindrift")
	if err != nil {
		return err
	}
	if err := os.CopyFS(dir, school); err != nil {
		return err
	}
	first, err := fs.ReadFile(examples.Files(), examples.FirstSteps)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "first-steps.rung"), first, 0o644); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "draft.rung"), demoDraft, 0o644)
}

// playStages really runs the calls it shows, in the folder of the school, so that they can be typed again there.
func playStages(w *world, dir string) ([]stage, error) {
	back, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	if err := os.Chdir(dir); err != nil {
		return nil, err
	}
	defer func() { _ = os.Chdir(back) }()
	stages := tour()
	for i := range stages {
		var both bytes.Buffer
		out := newOutput(&both, w.stdout.colour)
		stages[i].Call = "rung " + quoted(stages[i].args)
		stages[i].Exit = run(stages[i].args, &world{stdin: input{Reader: strings.NewReader("")}, stdout: out, stderr: out, now: w.now})
		stages[i].Output = both.String()
	}
	return stages, nil
}

// quoted is args as one types them in a shell.
func quoted(args []string) string {
	parts := make([]string, len(args))
	for i, a := range args {
		parts[i] = a
		if strings.ContainsAny(a, " *") {
			parts[i] = `"` + a + `"`
		}
	}
	return strings.Join(parts, " ")
}

func printStages(o *output, stages []stage, out string) {
	o.printf("%s", wrapped("This is Pindrift Yard, a made-up school with six made-up dogs. Halla Oke keeps its curriculum as text, Dov Marsh and the owners keep the dogs' logs, and rung does the counting. Every call below is really run.", "", ""))
	for i, s := range stages {
		if s.Part != "" {
			o.line("\n" + o.paint(bold, s.Part) + "\n" + strings.Repeat("-", columns(s.Part)))
		}
		o.printf("\n%s\n", wrapped(s.Sentence, "", ""))
		o.line(o.paint(bold, "$ "+s.Call))
		o.printf("%s", s.Output)
		_ = i
	}
	o.line("")
	if out != "" {
		o.printf("%s", wrapped(fmt.Sprintf("The school's files are in %s: change them and run the calls again there.", out), "", ""))
		return
	}
	o.printf("%s", wrapped("To play with these files yourself: rung demo --out yard. What each call can do: rung help.", "", ""))
}

func tour() []stage { return nil }
