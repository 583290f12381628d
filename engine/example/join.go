package example

import (
	"slices"

	"example.com/rung/curriculum"
)

// ruled is what was seen of one rule, in a form that can be put beside that of another curriculum.
type ruled struct {
	tried
	unfired Unfired   // what is said of it where nothing fired it
	written []written // the parts of its criterion
	line    lineOf

	// of its own curriculum
	names  map[string]curriculum.Pos
	prover *prover
}

// ruleKey tells rules of several curricula apart: one of a file that two of them use is the same in both.
type ruleKey struct {
	behaviour, step, rule, text, spelled string
	line                                 lineOf
}

func (r *ruled) key() ruleKey {
	u := &r.unfired
	k := ruleKey{behaviour: u.Behaviour, step: u.Step, rule: u.Rule, text: u.Text, line: r.line}
	if len(r.written) > 0 {
		k.spelled = r.written[0].text
	}
	return k
}

// Join adds up what came of several curricula. Those that use the same file share its examples and rules: an example counts
// once, as failed where it failed in any of them, and a rule counts once, as fired where any of them fired it.
func Join(results ...*Result) *Result {
	out := &Result{Cases: []Case{}}
	type caseKey struct {
		file, name string
		line, row  int
	}
	cases := map[caseKey]int{}
	rules := map[ruleKey]int{}
	var all []ruled
	for n, r := range results {
		for _, c := range r.Cases {
			k := caseKey{c.File, c.Name, c.Line, c.Row}
			if c.Line == 0 {
				k.file = string(rune(n)) // built by a program: nobody knows whether they are the same
			}
			at, known := cases[k]
			switch {
			case !known:
				cases[k] = len(out.Cases)
				out.Cases = append(out.Cases, c)
			case !c.Passed && out.Cases[at].Passed:
				out.Cases[at] = c
			}
		}
		for _, t := range r.Rules.all {
			if at, known := rules[t.key()]; known {
				all[at].add(t.tried)
				continue
			}
			rules[t.key()] = len(all)
			t.parts = slices.Clone(t.parts)
			all = append(all, t)
		}
	}
	for i := range out.Cases {
		if out.Cases[i].Passed {
			out.Passed++
		} else {
			out.Failed++
		}
	}
	out.Rules = rulesOf(all)
	return out
}

// add is what was seen of the same rule elsewhere.
func (r *ruled) add(o tried) {
	r.fired = r.fired || o.fired
	if r.parts == nil {
		r.parts = slices.Clone(o.parts)
		return
	}
	for i, p := range o.parts {
		r.parts[i] = r.parts[i].and(p)
	}
}
