package example

import (
	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Watching adds which sides of each rule's parts an example shows: held, failed.
func Watching(p *engine.Program, e curriculum.Example, seen map[engine.RuleAt][][2]bool) {
	cov := newCoverage(p)
	for _, s := range scriptsOf(&e) {
		play(p, s, nil, cov)
	}
	for at, t := range cov.seen {
		if seen[at] == nil {
			seen[at] = make([][2]bool, len(p.Parts(at)))
		}
		for i, part := range t.parts {
			seen[at][i][0], seen[at][i][1] = seen[at][i][0] || part.held, seen[at][i][1] || part.failed
		}
	}
}

// Never asks the prover.
func Never(p *engine.Program, at engine.RuleAt, of int, side string) bool {
	return newProver(p.Curriculum()).never(at, partsOf(ruleAt(p.Curriculum(), at).When)[of].is, side)
}

// EachRule shows the parts of every rule as they are spelled.
func EachRule(p *engine.Program, do func(at engine.RuleAt, texts []string)) {
	eachRule(p.Curriculum(), func(at engine.RuleAt, _ *curriculum.Behaviour, _ *curriculum.Step, r *curriculum.Rule) {
		var texts []string
		for _, w := range partsOf(r.When) {
			texts = append(texts, w.text)
		}
		do(at, texts)
	})
}
