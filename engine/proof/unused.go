package proof

import (
	"fmt"
	"slices"

	"example.com/rung/curriculum"
)

const (
	codeUnused   = "unused"
	codeNearName = "near-name"
)

var nameCodes = []codeEntry{
	{
		Code: codeUnused, Severity: Warning, Title: "declared and not used",
		Means: "A marker, a piece of equipment, a measure, a criterion, a caution or a ladder is declared and nothing uses it. Often a line was forgotten, or a name was mended in one place only. " +
			"Looked at in whole curricula only: in one with a name, and in a text that is all in one file.",
		Faulty:   "rung 1\ncriterion steady = 4 of last 5\nbehaviour settle {\n" + cueTail,
		Repaired: "rung 1\nbehaviour settle {\n" + cueTail,
	},
	{
		Code: codeNearName, Severity: Warning, Title: "a prompt's name that is nearly another's",
		Means:    "A prompt or help stands in one step only and is one letter away from one that stands in several. If they are the same thing, help by it is taken for help beyond the prompts.",
		Faulty:   "rung 1\nbehaviour settle {\n  step a \"follows 1 m\" {\n    prompt palms\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step b \"follows 2 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step c \"follows 3 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step a \"follows 1 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step b \"follows 2 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n  step c \"follows 3 m\" {\n    prompt palm\n    advance when 4 of last 5\n    flag when after 40 trials\n  }\n}\n",
	},
}

var nameChecks = []check{
	{[]string{codeUnused}, (*subject).unused},
	{[]string{codeNearName}, (*subject).nearNames},
}

// complete reports whether all that could use a declaration is here.
func (s *subject) complete() bool {
	if s.whole() {
		return true
	}
	file := ""
	for i, n := range s.names() {
		if i == 0 {
			file = n.at.File
		} else if n.at.File != file {
			return false
		}
	}
	return len(s.c.Behaviours) > 0
}

func (s *subject) unused() {
	if !s.complete() {
		return
	}
	used := s.usedNames()
	look := func(kind, name string, at curriculum.Pos) {
		if used[kind+" "+name] {
			return
		}
		s.report(Finding{Code: codeUnused, Pos: at, Text: fmt.Sprintf("%s %s is declared, and nothing uses it", kind, name), Help: "use it or delete it"})
	}
	for _, x := range s.c.Markers {
		look("marker", x.Name, x.Pos)
	}
	for _, x := range s.c.Equipment {
		look("equipment", x.Name, x.Pos)
	}
	for _, x := range s.c.Measures {
		look("measure", x.Name, x.Pos)
	}
	for _, x := range s.c.Criteria {
		look("criterion", x.Name, x.Pos)
	}
	for _, x := range s.c.Cautions {
		look("caution", x.Name, x.Pos)
	}
	for _, x := range s.c.Ladders {
		if !x.Climbed {
			look("ladder", x.Name, x.Pos)
		}
	}
}

// usedNames are the names that something uses, each behind its kind.
func (s *subject) usedNames() map[string]bool {
	used := map[string]bool{}
	sheet := func(x curriculum.Sheet) {
		used["marker "+x.Mark] = true
		for _, n := range x.Equipment {
			used["equipment "+n] = true
		}
		for _, n := range x.Cautions {
			used["caution "+n] = true
		}
	}
	criterion := func(c curriculum.Criterion) {
		for p := range curriculum.Parts(c) {
			if n, ok := p.(curriculum.Named); ok {
				used["criterion "+n.Name] = true
			}
		}
		for _, m := range s.measuresOf(c) {
			used["measure "+m] = true
		}
	}
	for _, b := range s.c.Behaviours {
		sheet(b.Sheet)
		for _, r := range b.Lapse {
			criterion(r.When)
		}
		for _, st := range b.Steps {
			sheet(st.Sheet)
			for _, r := range st.Rules {
				criterion(r.When)
			}
			for _, r := range st.Ramps {
				used["measure "+r.Of] = true
			}
			if st.Reward != nil {
				used["measure "+st.Reward.Measure] = true
			}
		}
	}
	return used
}

// helpWord is a prompt or a help at its first step.
type helpWord struct {
	name string
	p    place
}

func (s *subject) nearNames() {
	count := map[string]int{}
	seen := map[string]bool{} // a ladder's step counts once
	var order []helpWord
	for _, p := range s.places() {
		for _, n := range append(slices.Clone(p.step.Prompts), p.step.Help...) {
			at := fmt.Sprint(n, p.step.Pos)
			if p.step.Pos.Line > 0 && seen[at] {
				continue
			}
			seen[at] = true
			count[n]++
			order = append(order, helpWord{n, p})
		}
	}
	for _, o := range order {
		if count[o.name] != 1 || len(o.name) < 4 {
			continue
		}
		for _, x := range order {
			if count[x.name] > 1 && len(x.name) >= 4 && distance(o.name, x.name) == 1 {
				f := o.p.finding(codeNearName, o.p.step.Pos, "%s stands here only, and %s in %d steps: is it the same?", o.name, x.name, count[x.name])
				f.Help = "write " + x.name
				s.report(f)
				break
			}
		}
	}
}
