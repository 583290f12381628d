package example

import (
	"fmt"

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

// PlainDoubt is the slow and obvious way, for every so many of the changes: each is made in the whole curriculum, and all
// examples that pass without it are played on that. Where none notices, what tells the change apart is asked as Doubt does.
func PlainDoubt(p *engine.Program, opts Options, every int) (texts []string) {
	c := p.Curriculum()
	var passing []script
	for _, s := range casesOf(c, opts.Only) {
		if play(p, s, opts.Dogs, nil).Passed {
			passing = append(passing, s)
		}
	}
	sames := &sameness{c: c, known: map[string]difference{}}
	for i, ch := range changesOf(c) {
		if i%every > 0 {
			continue
		}
		changed, err := engine.Compile(ch.apply(c))
		if err != nil || ch.blocksWhereNoneFit(c) {
			texts = append(texts, "cannot be made")
			continue
		}
		v := verdict{made: true}
		for _, s := range passing {
			if v.noticed = !play(changed, s, opts.Dogs, nil).Passed; v.noticed {
				break
			}
		}
		if !v.noticed {
			v.difference = sames.of(&ch)
		}
		texts = append(texts, v.text(&ch))
	}
	return texts
}

// QuickDoubt is the same by what Doubt does.
func QuickDoubt(p *engine.Program, opts Options, every int) (texts []string) {
	c := p.Curriculum()
	d := &doubter{c: c, dogs: opts.Dogs, compile: func(c *curriculum.Curriculum) (*engine.Program, error) { return engine.Compile(c) },
		who: whoLooks(p, opts), sames: &sameness{c: c, known: map[string]difference{}}}
	for i, ch := range changesOf(c) {
		if i%every > 0 {
			continue
		}
		if v := d.judge(&ch); v.made {
			texts = append(texts, v.text(&ch))
		} else {
			texts = append(texts, "cannot be made")
		}
	}
	return texts
}

func (v verdict) text(ch *change) string {
	return fmt.Sprintf("%d %s -> %s: noticed %v, the same %v, %s", ch.Line, ch.Was, ch.Now, v.noticed, v.none, v.history)
}
