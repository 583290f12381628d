package proof

import (
	"cmp"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// check is one look at a curriculum. It may find several codes; where all of them are off it is not run.
type check struct {
	codes []string
	run   func(*subject)
}

// checks lists every check there is.
func checks() [][]check {
	return [][]check{
		reachChecks, doorChecks, dogChecks, stepChecks, rampChecks, payChecks, sheetChecks, cueChecks, letterChecks, nameChecks,
		bodyChecks, courseChecks, gateChecks, exactChecks,
	}
}

// subject is a curriculum under examination, and what was found so far.
type subject struct {
	program *engine.Program
	c       *curriculum.Curriculum
	options Options
	found   []Finding
	dead    map[*curriculum.Rule]bool // rules that no dog meets beside what else is asked of it
	none    map[string]bool           // whether no dog meets a condition, by its text
	same    map[string]string         // texts of findings, to the part that is the same wherever a ladder is climbed
}

// report adds a finding; its severity is filled in here.
func (s *subject) report(f Finding) {
	f.Severity = s.options.severityOf(f.Code)
	s.found = append(s.found, f)
}

// reportFollowed is report for a finding whose text goes on with what follows from it for its behaviour.
func (s *subject) reportFollowed(f Finding, tail string) {
	if tail != "" {
		if s.same == nil {
			s.same = map[string]string{}
		}
		s.same[f.Text+tail] = f.Text
		f.Text += tail
	}
	s.report(f)
}

// Check lists what does not hang together in a curriculum, sorted by place. It never changes the program and is safe
// for concurrent use; the same program and options always give the same findings. Where p is nil there is nothing to
// look at and no finding: look at the error of engine.Compile first.
func Check(p *engine.Program, o Options) []Finding {
	if p.Curriculum() == nil {
		return nil
	}
	s := &subject{program: p, c: p.Curriculum(), options: o}
	for _, table := range checks() {
		for _, c := range table {
			if slices.ContainsFunc(c.codes, func(code string) bool { return o.severityOf(code) != Off }) {
				c.run(s)
			}
		}
	}
	s.silence()
	s.found = slices.DeleteFunc(s.found, func(f Finding) bool { return f.Severity == Off })
	found := together(s.found, s.same)
	Sort(found)
	return found
}

// together makes one finding of those that the same words of a ladder give in several behaviours. What follows from it
// may be different in each.
func together(fs []Finding, same map[string]string) []Finding {
	type key struct {
		code, text string
		pos        curriculum.Pos
	}
	at := map[key]int{}
	var out []Finding
	for _, f := range fs {
		k := key{f.Code, cmp.Or(same[f.Text], f.Text), f.Pos}
		if f.Behaviour != "" {
			k.text = strings.ReplaceAll(k.text, f.Behaviour, "\x00")
		}
		i, again := at[k]
		if !again || f.Pos.Line == 0 {
			at[k] = len(out)
			out = append(out, f)
			continue
		}
		if w := (Where{f.Behaviour, f.Step}); w != (Where{out[i].Behaviour, out[i].Step}) && !slices.Contains(out[i].Also, w) {
			out[i].Also = append(out[i].Also, w)
		}
	}
	return out
}
