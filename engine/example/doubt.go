package example

import (
	"cmp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Doubts is which small changes of the rules the examples notice. What no example notices nothing in the text holds in
// place: it could be a slip of the pen.
type Doubts struct {
	Changes   int      `json:"changes"`
	Noticed   int      `json:"noticed"`
	Same      int      `json:"same"` // shown to make no difference to any history
	Unnoticed []Change `json:"unnoticed"`
}

// Change is one change of a rule or a named criterion.
type Change struct {
	File      string `json:"file,omitempty"`
	Line      int    `json:"line"`
	Column    int    `json:"column,omitempty"`
	Behaviour string `json:"behaviour,omitempty"` // the first one it concerns; "" for a named criterion
	Step      string `json:"step,omitempty"`
	Was       string `json:"was"`
	Now       string `json:"now"`               // "" where the rule is left out
	Looked    bool   `json:"looked"`            // some example looks at a rule it concerns
	Differs   string `json:"differs,omitempty"` // the shortest history that tells the two apart, in tally marks, where one was found
}

// change is a Change that can be made.
type change struct {
	Change
	rules map[engine.RuleAt]*curriculum.Rule // the rules it concerns and what becomes of them; nil: left out
}

// Doubt changes the rules of p's curriculum, one number, one word or one rule at a time, and asks after each change
// whether an example that passes now would fail. A line of a ladder is changed for all behaviours that climb it, a
// named criterion wherever it is used. What makes no difference to any history, as far as that can be shown, is not
// held against the examples. compile makes a program of a changed curriculum, also of one with some of its behaviours
// alone; nil is engine.Compile without options.
func Doubt(p *engine.Program, opts Options, compile func(*curriculum.Curriculum) (*engine.Program, error)) *Doubts {
	if compile == nil {
		compile = func(c *curriculum.Curriculum) (*engine.Program, error) { return engine.Compile(c) }
	}
	c := p.Curriculum()
	if c == nil {
		return &Doubts{Unnoticed: []Change{}}
	}
	d := &doubter{c: c, dogs: opts.Dogs, compile: compile, who: whoLooks(p, opts), sames: &sameness{c: c, known: map[string]difference{}}}
	changes := changesOf(c)
	verdicts := make([]verdict, len(changes))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range max(1, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for at := next.Add(1) - 1; at < int64(len(changes)); at = next.Add(1) - 1 {
				verdicts[at] = d.judge(&changes[at])
			}
		})
	}
	wg.Wait()
	out := &Doubts{Unnoticed: []Change{}}
	for i, v := range verdicts {
		switch {
		case !v.made:
			continue
		case v.noticed:
			out.Noticed++
		case v.none:
			out.Same++
		default:
			changes[i].Looked, changes[i].Differs = v.looked, v.history
			out.Unnoticed = append(out.Unnoticed, changes[i].Change)
		}
		out.Changes++
	}
	return out
}

// doubter judges changes.
type doubter struct {
	c       *curriculum.Curriculum
	dogs    []curriculum.Dog
	compile func(*curriculum.Curriculum) (*engine.Program, error)
	who     map[engine.RuleAt][]*looker
	sames   *sameness
}

// verdict is what came of a change.
type verdict struct {
	made, noticed, looked bool
	difference            // of one that is not noticed
}

// judge makes a change and plays the examples that look at a rule it concerns, on the behaviours that they are about: no
// other could notice.
func (d *doubter) judge(ch *change) (v verdict) {
	lookers := d.lookers(ch)
	v.looked = len(lookers) > 0
	if v.made = !ch.blocksWhereNoneFit(d.c); !v.made {
		return v
	}
	if !v.looked { // its behaviours by themselves will do to see whether it is a change that can be made
		_, err := d.made(ch, reach{behaviours: ch.behaviours()})
		v.made = err == nil
	}
	for i := 0; i < len(lookers) && v.made && !v.noticed; {
		changed, err := d.made(ch, lookers[i].reach)
		if v.made = err == nil; !v.made {
			break // not a curriculum: nobody could make this slip unseen
		}
		for of := lookers[i].key; i < len(lookers) && lookers[i].key == of && !v.noticed; i++ {
			v.noticed = !play(changed, lookers[i].script, d.dogs, nil).Passed
		}
	}
	if v.made && !v.noticed {
		v.difference = d.sames.of(ch)
	}
	return v
}

// made compiles what is in reach of the curriculum with the change made; the whole where that alone is none.
func (d *doubter) made(ch *change, of reach) (*engine.Program, error) {
	if !of.whole {
		if p, err := d.compile(ch.applyWithin(d.c, of.behaviours)); err == nil {
			return p, nil
		}
	}
	return d.compile(ch.apply(d.c))
}

// lookers are the examples that look at a rule which a change concerns; those with the same reach stand together, those
// that need the whole curriculum last.
func (d *doubter) lookers(ch *change) (out []*looker) {
	for at := range ch.rules {
		out = append(out, d.who[at]...)
	}
	slices.SortFunc(out, func(a, b *looker) int {
		switch {
		case a.whole != b.whole && a.whole:
			return 1
		case a.whole != b.whole:
			return -1
		}
		return cmp.Or(len(a.behaviours)-len(b.behaviours), strings.Compare(a.key, b.key), a.nth-b.nth)
	})
	return slices.Compact(out)
}

// blocksWhereNoneFit reports whether the change brings blocks under a `decide`, where the reader of texts takes only such
// as fit.
func (ch *change) blocksWhereNoneFit(c *curriculum.Curriculum) bool {
	for at, now := range ch.rules {
		b := c.Behaviours[at.Behaviour]
		if at.Step == len(b.Steps) || now == nil || b.Steps[at.Step].Decide == (curriculum.Decide{}) {
			continue
		}
		if d := b.Steps[at.Step].Decide; (d.EveryTrials > 0 || d.EachSession) && blocks(now.When) != blocks(b.Steps[at.Step].Rules[at.Rule].When) {
			return true
		}
	}
	return false
}

// blocks counts and adds up the blocks in a criterion.
func blocks(c curriculum.Criterion) (sum int) {
	for c := range curriculum.Parts(c) {
		if w, ok := c.(curriculum.Window); ok && w.Each {
			sum += w.N
		}
	}
	return sum
}

// behaviours are those whose rules change, in order.
func (ch *change) behaviours() (out []int) {
	for at := range ch.rules {
		out = append(out, at.Behaviour)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// apply is the curriculum with the change made.
func (ch *change) apply(c *curriculum.Curriculum) *curriculum.Curriculum {
	out := *c
	out.Behaviours = slices.Clone(c.Behaviours)
	for _, bi := range ch.behaviours() {
		out.Behaviours[bi] = ch.changed(bi, c.Behaviours[bi])
	}
	return &out
}

// changed is a behaviour with the change made.
func (ch *change) changed(bi int, b *curriculum.Behaviour) *curriculum.Behaviour {
	nb := *b
	nb.Steps = slices.Clone(b.Steps)
	for si, s := range b.Steps {
		if rules, changed := ch.list(bi, si, s.Rules); changed {
			ns := *s
			ns.Rules, nb.Steps[si] = rules, &ns
		}
	}
	nb.Lapse, _ = ch.list(bi, len(b.Steps), b.Lapse)
	return &nb
}

// list is a step's rules with the change made.
func (ch *change) list(behaviour, step int, rules []curriculum.Rule) (out []curriculum.Rule, changed bool) {
	for i := range rules {
		now, mine := ch.rules[engine.RuleAt{Behaviour: behaviour, Step: step, Rule: i}]
		changed = changed || mine
		switch {
		case !mine:
			out = append(out, rules[i])
		case now != nil:
			out = append(out, *now)
		}
	}
	return out, changed
}

// changesOf lists all changes in the order of the curriculum: those of named criteria, then those of each line with a
// rule.
func changesOf(c *curriculum.Curriculum) []change {
	return append(namedChanges(c), ruleChanges(c)...)
}

// namedChanges are the changes inside named criteria, each in all rules that use it.
func namedChanges(c *curriculum.Curriculum) (out []change) {
	for i := range c.Criteria {
		n := &c.Criteria[i]
		for _, is := range mutants(n.Is) {
			ch := change{Change: Change{File: n.Pos.File, Line: n.Pos.Line, Column: n.Pos.Column, Was: namedText(n.Name, n.Is), Now: namedText(n.Name, is)}, rules: map[engine.RuleAt]*curriculum.Rule{}}
			eachRule(c, func(at engine.RuleAt, _ *curriculum.Behaviour, _ *curriculum.Step, r *curriculum.Rule) {
				if when, used := renamed(r.When, n.Name, is); used {
					changed := *r
					changed.When = when
					ch.rules[at] = &changed
				}
			})
			if len(ch.rules) > 0 {
				out = append(out, ch)
			}
		}
	}
	return out
}

// ruleLine is a rule as it is written, with all the places where it is meant.
type ruleLine struct {
	rule            *curriculum.Rule
	behaviour, step string // the first of them
	at              []engine.RuleAt
}

// ruleLines are the rules as they are written, in the order of the curriculum.
func ruleLines(c *curriculum.Curriculum) (out []*ruleLine) {
	type written struct {
		of   lineOf
		text string // a ladder's parameters may give one line several texts
	}
	known := map[written]*ruleLine{}
	eachRule(c, func(at engine.RuleAt, b *curriculum.Behaviour, s *curriculum.Step, r *curriculum.Rule) {
		key := written{lineKey(at, r), ruleText(r)}
		l := known[key]
		if l == nil {
			l = &ruleLine{rule: r, behaviour: b.Name}
			if s != nil {
				l.step = s.Name
			}
			known[key] = l
			out = append(out, l)
		}
		l.at = append(l.at, at)
	})
	return out
}

// ruleChanges are, for every line with a rule, the rule left out, with another criterion, or leading elsewhere.
func ruleChanges(c *curriculum.Curriculum) (out []change) {
	for _, l := range ruleLines(c) {
		r := l.rule
		add := func(now *curriculum.Rule) {
			ch := change{Change: Change{File: r.Pos.File, Line: r.Pos.Line, Column: r.Pos.Column, Behaviour: l.behaviour, Step: l.step, Was: ruleText(r)},
				rules: map[engine.RuleAt]*curriculum.Rule{}}
			if now != nil {
				ch.Now = ruleText(now)
			}
			for _, a := range l.at {
				ch.rules[a] = now
			}
			out = append(out, ch)
		}
		add(nil)
		for _, when := range mutants(r.When) {
			changed := *r
			changed.When = when
			add(&changed)
		}
		if r.To == "" {
			continue
		}
		near, edge := *r, *r
		near.To, near.ToFirst = "", false
		edge.ToFirst = !r.ToFirst
		for _, changed := range []*curriculum.Rule{&near, &edge} {
			if slices.ContainsFunc(l.at, func(a engine.RuleAt) bool { return leadsElsewhere(c, a, r, changed) }) {
				add(changed)
			}
		}
	}
	return out
}

// leadsElsewhere reports whether two eases or lapses lead to different places from some level.
func leadsElsewhere(c *curriculum.Curriculum, at engine.RuleAt, a, b *curriculum.Rule) bool {
	bh := c.Behaviours[at.Behaviour]
	from := 1
	if at.Step < len(bh.Steps) {
		from = len(bh.Steps[at.Step].Levels)
	}
	for level := range from {
		if target(bh, at.Step, level, a) != target(bh, at.Step, level, b) {
			return true
		}
	}
	return false
}

// target is where an ease or lapse leads.
func target(b *curriculum.Behaviour, step, level int, r *curriculum.Rule) [2]int {
	last := func(s int) [2]int { return [2]int{s, len(b.Steps[s].Levels) - 1} }
	switch {
	case r.To != "" && r.ToFirst:
		return [2]int{b.Step(r.To), 0}
	case r.To != "":
		return last(b.Step(r.To))
	case level > 0:
		return [2]int{step, level - 1}
	case step > 0:
		return last(step - 1)
	}
	return [2]int{}
}

func namedText(name string, is curriculum.Criterion) string {
	return "criterion " + name + " = " + curriculum.CriterionNames(is)
}

// renamed is a criterion in which a name stands for something else, and whether it uses the name.
func renamed(c curriculum.Criterion, name string, is curriculum.Criterion) (curriculum.Criterion, bool) {
	list := func(cs []curriculum.Criterion) ([]curriculum.Criterion, bool) {
		out, used := slices.Clone(cs), false
		for i := range out {
			var u bool
			out[i], u = renamed(out[i], name, is)
			used = used || u
		}
		return out, used
	}
	switch c := c.(type) {
	case curriculum.Named:
		if c.Name == name {
			return curriculum.Named{Name: name, Is: is}, true
		}
		in, used := renamed(c.Is, name, is)
		return curriculum.Named{Name: c.Name, Is: in}, used
	case curriculum.Not:
		in, used := renamed(c.Is, name, is)
		return curriculum.Not{Is: in}, used
	case curriculum.InSession:
		in, used := renamed(c.Is, name, is)
		return curriculum.InSession{Is: in}, used
	case curriculum.Repeated:
		in, used := renamed(c.Is, name, is)
		c.Is = in
		return c, used
	case curriculum.And:
		all, used := list(c.All)
		return curriculum.And{All: all}, used
	case curriculum.Or:
		some, used := list(c.Any)
		return curriculum.Or{Any: some}, used
	}
	return c, false
}
