package main

import (
	"bytes"
	"embed"
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

//go:embed demo
var demoDrafts embed.FS

// stage is one call of the tour, with what is said before it.
type stage struct {
	Part     string `json:"part,omitempty"` // heading of what begins here
	Sentence string `json:"sentence"`
	Call     string `json:"call"`
	Output   string `json:"output"`
	Exit     int    `json:"exit"`
	args     []string
	expect   int // exit code it should have
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

// writeSchool puts the school's files into dir: the curriculum, the dogs, their logs and two drafts with faults.
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
	for _, name := range []string{"draft.rung", "second-draft.rung"} {
		draft, err := demoDrafts.ReadFile("demo/" + name)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(dir, name), draft, 0o644); err != nil {
			return err
		}
	}
	return nil
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
		stages[i].Exit = run(stages[i].args, &world{stdin: strings.NewReader(""), stdout: out, stderr: out, now: w.now})
		stages[i].Output = both.String()
		if stages[i].Exit != stages[i].expect {
			return nil, fmt.Errorf("%s: exit code %d, not %d:\n%s", stages[i].Call, stages[i].Exit, stages[i].expect, stages[i].Output)
		}
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

// shellLines breaks a call before a flag where it is too long for one line.
func shellLines(call string) string {
	var b strings.Builder
	used := 0
	for i, part := range strings.Split(call, " --") {
		switch {
		case i == 0:
		case used+len(part)+5 > width:
			b.WriteString(" \\\n    --")
			used = 6
		default:
			b.WriteString(" --")
			used += 3
		}
		b.WriteString(part)
		used += len(part)
	}
	return b.String()
}

func printStages(o *output, stages []stage, out string) {
	o.printf("%s", wrapped("This is Pindrift Yard, a made-up school with six made-up dogs. Halla Oke keeps its curriculum as text, Dov Marsh and the owners keep the dogs' logs, and rung does the counting. Every call below is really run.", "", ""))
	for _, s := range stages {
		if s.Part != "" {
			o.line("\n" + o.paint(bold, s.Part) + "\n" + strings.Repeat("-", columns(s.Part)))
		}
		o.printf("\n%s\n", wrapped(s.Sentence, "", ""))
		o.line(o.paint(bold, shellLines("$ "+s.Call)))
		o.printf("%s", s.Output)
	}
	o.line("")
	if out != "" {
		o.printf("%s", wrapped(fmt.Sprintf("The school's files are in %s: change them and run the calls again there.", out), "", ""))
		return
	}
	o.printf("%s", wrapped("To play with these files yourself: rung demo --out yard. What each call can do: rung help.", "", ""))
}

// tour is what the demo shows, in order. Part is set where a new part begins.
func tour() []stage {
	about := func(call, dog string, flags ...string) []string { // each dog's log is a file of its own
		return append([]string{call, "house.rung", "--log", "logs/" + dog + ".jsonl", "--dogs", "dogs.json", "--dog", dog}, flags...)
	}
	at := strings.Replace(strings.TrimSuffix(examples.At, ":00Z"), "T", " ", 1)
	return []stage{
		{
			Part:     "The curriculum",
			Sentence: "The house curriculum is a handful of text files, written to be read aloud. Before Halla hands out a new edition she has it checked.",
			args:     []string{"check", "house.rung"},
		},
		{
			Sentence: "Dov has drafted something of his own, late on a Friday. All his slips come back in one go, each with its place and what to write instead.",
			args:     []string{"check", "draft.rung"},
			expect:   exitFaults,
		},
		{
			Sentence: "He mends it. Now every word is right, and still nobody should train by it: check also reads the whole for what cannot work, and says what would be the smallest thing to change.",
			args:     []string{"check", "second-draft.rung"},
			expect:   exitFaults,
		},
		{
			Part:     "What a rule promises",
			Sentence: "A remark in the text says that the rules of this ramp keep a dog right about seven times in ten: busy, not bored. Halla would like to know whether that is so, and how long it takes. It is worked out from the rules; no dog has to try it.",
			args:     []string{"odds", "house.rung", "hand-touch", "reach"},
		},
		{
			Part:     "Where a dog stands",
			Sentence: "Okapi is the puppy. His people jot down every try, right or wrong; the rules of the text do the rest. This is where he stands, and the last move he made in each exercise, with the rule that moved him and the line it is written in.",
			args:     about("standing", "okapi", "--moves", "1"),
		},
		{
			Part:     "Why it stands there",
			Sentence: "His owner asks why he is not further with the pivot to the left. So: what each rule has counted so far, and how little would move him.",
			args:     about("why", "okapi", "pivot-left"),
		},
		{
			Part:     "The next session",
			Sentence: "Monday morning in the yard, Dov has three minutes for him. The sheet says what to do and how often, which tries are paid, what counts, and what to do when it goes well or badly. It keeps to the limits of the house and of the puppy, and says why everything else is left out.",
			args:     about("plan", "okapi", "--place", "yard", "--handler", "junior", "--minutes", "3", "--at", at),
		},
		{
			Part:     "When somebody saw a growl",
			Sentence: "Thimble growled on Saturday when a hand went to her paw. Dov wrote it in the log, and from then on there is no plan for her, until a named person clears it.",
			args:     about("plan", "thimble", "--at", at),
		},
	}
}
