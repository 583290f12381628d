package example

import (
	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Rules is how far the rules of a curriculum were tried. A rule of a ladder counts for each behaviour that climbs it;
// a line of the text counts once.
type Rules struct {
	Total   int `json:"total"`
	Fired   int `json:"fired"`
	Lines   int `json:"lines"`
	InLines int `json:"lines_fired"` // lines of which at least one rule fired
	// Unfired are the rules that no example fired, in the order of the curriculum.
	Unfired []Unfired `json:"unfired"`
	// Sides are what no example showed of the criteria of rules that were fired, in the same order. What is written once
	// is listed once.
	Sides []Side `json:"sides"`
	// Impossible are sides that no history can show: no example is missing.
	Impossible []Side `json:"impossible"`

	all []ruled
}

// Unfired is a rule that no example fired.
type Unfired struct {
	Behaviour string `json:"behaviour"`
	Step      string `json:"step"` // "" for a lapse rule
	Rule      string `json:"rule"` // its word
	Text      string `json:"text"` // the whole rule
	File      string `json:"file,omitempty"`
	Line      int    `json:"line"`
	Looked    bool   `json:"looked"`  // it was looked at and never held, or another rule always came first
	Elsewhere bool   `json:"by_line"` // the same line fired in another behaviour

	at engine.RuleAt
}

// tried is what was seen of one rule.
type tried struct {
	parts []sides
	fired bool
}

// coverage watches folds.
type coverage struct {
	p    *engine.Program
	seen map[engine.RuleAt]*tried
	in   map[engine.RuleAt]bool // rules looked at in the run that goes on
}

func newCoverage(p *engine.Program) *coverage {
	return &coverage{p: p, seen: map[engine.RuleAt]*tried{}}
}

func (c *coverage) of(r engine.RuleAt) *tried {
	t := c.seen[r]
	if t == nil {
		t = &tried{}
		c.seen[r] = t
	}
	return t
}

// Looked notes what held.
func (c *coverage) Looked(r engine.RuleAt, parts []bool) {
	t := c.of(r)
	if t.parts == nil {
		t.parts = make([]sides, len(parts))
	}
	for i, holds := range parts {
		t.parts[i].held = t.parts[i].held || holds
		t.parts[i].failed = t.parts[i].failed || !holds
	}
	c.in[r] = true
}

// Fired notes that a rule fired.
func (c *coverage) Fired(r engine.RuleAt) { c.of(r).fired = true }

// eachRule calls do with every rule in the order of the curriculum; s is nil for a lapse rule.
func eachRule(c *curriculum.Curriculum, do func(at engine.RuleAt, b *curriculum.Behaviour, s *curriculum.Step, r *curriculum.Rule)) {
	for bi, b := range c.Behaviours {
		for si, s := range b.Steps {
			for ri := range s.Rules {
				do(engine.RuleAt{Behaviour: bi, Step: si, Rule: ri}, b, s, &s.Rules[ri])
			}
		}
		for ri := range b.Lapse {
			do(engine.RuleAt{Behaviour: bi, Step: len(b.Steps), Rule: ri}, b, nil, &b.Lapse[ri])
		}
	}
}

// lineOf tells rules apart that stand in the same line of the text; a rule built by a program is its own line.
type lineOf struct {
	pos curriculum.Pos
	at  engine.RuleAt
}

func lineKey(at engine.RuleAt, r *curriculum.Rule) lineOf {
	if r.Pos.Line > 0 {
		return lineOf{pos: r.Pos}
	}
	return lineOf{at: at}
}

// rules is what was seen of each rule, in the order of the curriculum.
func (c *coverage) rules() []ruled {
	var out []ruled
	names, prover := namedAt(c.p.Curriculum()), newProver(c.p.Curriculum())
	eachRule(c.p.Curriculum(), func(at engine.RuleAt, b *curriculum.Behaviour, s *curriculum.Step, r *curriculum.Rule) {
		step := ""
		if s != nil {
			step = s.Name
		}
		t := ruled{unfired: Unfired{Behaviour: b.Name, Step: step, Rule: string(r.Word), Text: ruleText(r), File: r.Pos.File, Line: r.Pos.Line, at: at}, line: lineKey(at, r),
			written: partsOf(r.When), names: names, prover: prover}
		if seen := c.seen[at]; seen != nil {
			t.tried = *seen
		}
		out = append(out, t)
	})
	return out
}

// rulesOf adds up what was seen of rules.
func rulesOf(all []ruled) Rules {
	out := Rules{Total: len(all), Unfired: []Unfired{}, all: all}
	lines := map[lineOf]bool{}
	for i := range all {
		lines[all[i].line] = lines[all[i].line] || all[i].fired
	}
	for i := range all {
		r, u := &all[i], all[i].unfired
		if !r.fired {
			u.Looked, u.Elsewhere = r.parts != nil, lines[r.line]
			out.Unfired = append(out.Unfired, u)
			continue
		}
		out.Fired++
	}
	out.Sides, out.Impossible = unshown(all)
	out.Lines = len(lines)
	for _, fired := range lines {
		if fired {
			out.InLines++
		}
	}
	return out
}
