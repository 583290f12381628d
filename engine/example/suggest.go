package example

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// Suggestion is an example that fires a rule that no other did, or shows a side of its criterion. It was played: it
// passes, and it does so.
type Suggestion struct {
	Behaviour string `json:"behaviour"`
	Step      string `json:"step"`
	Rule      string `json:"rule"`
	Criterion string `json:"criterion,omitempty"` // the named criterion inside which that part is written
	Part      string `json:"part,omitempty"`      // the criterion of which a side is shown; "" where the rule is fired
	Never     string `json:"never,omitempty"`     // the side that no example showed before
	File      string `json:"file,omitempty"`
	Line      int    `json:"line"`
	Trials    int    `json:"trials"`
	Text      string `json:"example,omitempty"` // ready to paste; "" where none was found
	None      string `json:"none,omitempty"`    // why none was found

	Example curriculum.Example `json:"-"`
}

// How many states are looked at for one suggestion: in one search, and in all for one rule, which is some tenths of a
// second.
const (
	searchStates = 20_000
	ruleStates   = 60_000
)

// Suggest writes an example for each of the rules: the dog is put at a level of the rule's step and gets the shortest
// history there that fires it. Of several rules in one line of the text, a ladder's, the first gets one and speaks for
// the others, unless everyRule asks for all.
func Suggest(p *engine.Program, rules []Unfired, everyRule bool) []Suggestion {
	out := []Suggestion{}
	if p.Curriculum() == nil {
		return out
	}
	done := map[lineOf]bool{}
	s := newSuggester(p)
	for _, u := range rules {
		if p.Parts(u.at) == nil {
			continue // of another program
		}
		r := s.rule(u.at)
		key := lineKey(u.at, r)
		if !everyRule && (done[key] || u.Elsewhere) {
			continue
		}
		done[key] = true
		sg := Suggestion{Behaviour: u.Behaviour, Step: u.Step, Rule: u.Rule, File: u.File, Line: u.Line}
		s.fill(&sg, goal{at: u.at})
		out = append(out, sg)
	}
	return out
}

// SuggestSides writes examples for the sides that none showed, in the same way: of several rules that have one, at the
// first where a history is found. What an example written for another side shows along with it gets none of its own.
func SuggestSides(p *engine.Program, missing []Side) []Suggestion {
	out := []Suggestion{}
	if p.Curriculum() == nil {
		return out
	}
	s := newSuggester(p)
	shown := newCoverage(p)
	for _, side := range missing {
		if slices.ContainsFunc(side.spots, func(of spot) bool { return side.at(of).reached(shown) }) {
			continue
		}
		sg := Suggestion{Behaviour: side.Behaviour, Step: side.Step, Rule: side.Rule, Criterion: side.Criterion, Part: side.Part, Never: side.Never, File: side.File, Line: side.Line}
		for i, of := range side.spots {
			if of.of >= len(p.Parts(of.at)) {
				continue // of another program
			}
			found := sg
			if s.fill(&found, side.at(of)); found.Text != "" || i == 0 {
				sg = found
			}
			if found.Text != "" {
				sg.Behaviour, sg.Step, sg.Rule = s.named(of.at)
				play(p, script{items: sg.Example.Items}, nil, shown)
				break
			}
		}
		out = append(out, sg)
	}
	return out
}

// suggester looks for examples.
type suggester struct {
	p     *engine.Program
	c     *curriculum.Curriculum
	dogs  []*curriculum.ExampleDog // to be tried in turn; nil for no `dog` line
	taken map[string]bool          // names of examples
	whole bool                     // the searches for the present rule saw all there is
	left  int                      // states that may still be looked at for it
}

func newSuggester(p *engine.Program) *suggester {
	s := &suggester{p: p, c: p.Curriculum(), dogs: dogsFor(p.Curriculum()), taken: map[string]bool{}}
	for _, e := range s.c.Examples {
		s.taken[e.Name] = true
	}
	return s
}

// fill looks for the example of a suggestion, or says why there is none.
func (s *suggester) fill(sg *Suggestion, g goal) {
	e, trials, ok := s.suggest(g)
	if ok {
		sg.Example, sg.Trials = e, trials
		sg.Text = s.c.ExampleText(e)
		return
	}
	does, looked := "fires", *s.rule(g.at)
	if g.side != "" {
		does, looked.When = "shows", s.p.Parts(g.at)[g.part]
	}
	sg.None = fmt.Sprintf("no history was found that %s it", does)
	if s.whole && withinLevel(&looked) {
		sg.None = fmt.Sprintf("no history at one level %s it: another rule always moves the dog before, or it contradicts itself", does)
	}
}

func (s *suggester) rule(at engine.RuleAt) *curriculum.Rule { return ruleAt(s.c, at) }

// named are the names of a rule's behaviour and step, and its word.
func (s *suggester) named(at engine.RuleAt) (behaviour, step, rule string) {
	b := s.c.Behaviours[at.Behaviour]
	if at.Step < len(b.Steps) {
		step = b.Steps[at.Step].Name
	}
	return b.Name, step, string(s.rule(at).Word)
}

// suggest is an example that reaches the goal.
func (s *suggester) suggest(g goal) (e curriculum.Example, trials int, ok bool) {
	s.whole, s.left = true, ruleStates
	for _, dog := range s.dogs {
		for _, level := range s.levels(g.at) {
			var best []curriculum.ExampleItem
			for _, by := range s.variants(g) {
				d := &draft{s: s, goal: g, dog: dog, level: level, by: by}
				if items, n, ok := d.find(); ok && (best == nil || n < trials) {
					best, trials = items, n
				}
			}
			if best != nil {
				return curriculum.Example{Name: s.name(g), Items: best}, trials, true
			}
		}
	}
	for _, dog := range s.dogs[:min(len(s.dogs), 2)] {
		d := &draft{s: s, goal: g, dog: dog, level: s.levels(g.at)[0]}
		if items, n, ok := d.pattern(); ok {
			return curriculum.Example{Name: s.name(g), Items: items}, n, true
		}
	}
	if items, n, ok := s.fromPieces(g); ok {
		return curriculum.Example{Name: s.name(g), Items: items}, n, true
	}
	return e, 0, false
}

// fromPieces is the history of an example that reaches the goal from among the pieces that a split put in.
func (s *suggester) fromPieces(g goal) (items []curriculum.ExampleItem, trials int, ok bool) {
	whole := s.whole
	defer func() { s.whole = whole }() // of one level as it is written
	s.left = ruleStates
	for _, dog := range s.dogs[:min(len(s.dogs), 2)] {
		from := s.pieces(g, dog)
		if from == nil {
			continue
		}
		for _, by := range s.variants(g) {
			d := &draft{s: s, goal: g, dog: dog, by: by, lead: from}
			if found, n, fits := d.find(); fits && (!ok || n < trials) {
				items, trials, ok = found, n, true
			}
		}
		if !ok {
			d := &draft{s: s, goal: g, dog: dog, lead: from}
			items, trials, ok = d.pattern()
		}
		if ok {
			return items, trials, true
		}
	}
	return nil, 0, false
}

// levels are the levels of the rule's step at which it is tried, the likeliest first.
func (s *suggester) levels(at engine.RuleAt) []int {
	b := s.c.Behaviours[at.Behaviour]
	if at.Step == len(b.Steps) {
		return []int{0}
	}
	n := len(b.Steps[at.Step].Levels)
	switch b.Steps[at.Step].Rules[at.Rule].Word {
	case curriculum.Ease, curriculum.Split:
		if n > 1 {
			return []int{1, n - 1, 0} // an easier one of the same step, and room between them
		}
	}
	return slices.Compact([]int{0, n - 1})
}

// name is a name for the example that none has yet.
func (s *suggester) name(g goal) string {
	at := g.at
	b, r := s.c.Behaviours[at.Behaviour], s.rule(at)
	what := map[curriculum.RuleWord]string{curriculum.Advance: "goes on", curriculum.Ease: "goes back", curriculum.Split: "gets a level half-way",
		curriculum.StopToday: "is enough for today", curriculum.Flag: "asks for a senior", curriculum.Skip: "skips ahead", curriculum.Lapse: "lapses"}[r.Word]
	name := b.Name + " " + what
	if at.Step < len(b.Steps) {
		name = b.Name + " at " + b.Steps[at.Step].Name + " " + what
	}
	if g.side != "" {
		not := ""
		if g.side == Failed {
			not = "not "
		}
		_, step, _ := s.named(at)
		name = fmt.Sprintf("%s: %s%s", strings.TrimSuffix(b.Name+" at "+step, " at "), not, curriculum.CriterionText(s.p.Parts(at)[g.part]))
	}
	for n := 1; ; n++ {
		full := name
		if n > 1 {
			full = fmt.Sprintf("%s, %d", name, n)
		}
		if !s.taken[full] {
			s.taken[full] = true
			return full
		}
	}
}
