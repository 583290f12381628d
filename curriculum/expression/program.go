package expression

import (
	"slices"
	"strings"
)

// Program is a compiled expression. It is immutable and safe for concurrent use; evaluating it allocates nothing
// unless it calls a function of the host program.
type Program struct {
	text     string
	holds    func(*Facts) bool
	recorded []func(*Facts) bool
	reads    []string
	literals []Literal
	cuts     []Cut
	tangled  bool
	calls    bool // functions of the host program
}

// Cut is a number that a fact, named as in Reads, is compared with, such as 2 in `latency <= 2`.
type Cut struct {
	Fact string
	At   float64
}

// Literal is a text in quotes that is compared with a fact, such as "lane" in `place == "lane"`.
type Literal struct {
	Fact     string
	Value    string
	From, To int // byte offsets in the expression's text, quotes included
}

// Check returns every fault of text, in the order of the text; nil where there is none.
func Check(text string, env Env) []Problem {
	_, problems := build(text, env)
	return problems
}

// Compile makes a Program of text; the error is Problems.
func Compile(text string, env Env) (*Program, error) {
	p, problems := build(text, env)
	if len(problems) > 0 {
		return nil, Problems(problems)
	}
	return p, nil
}

// Holds reports whether the expression holds of f. It does not where a fact that it reads is not recorded, nor where a
// function that it calls panics: f.Fault says so.
func (p *Program) Holds(f *Facts) bool {
	if p == nil || p.holds == nil || f == nil {
		return false
	}
	if p.calls {
		f.Fault = nil
	}
	return p.Recorded(f) && p.holds(f) && (!p.calls || f.Fault == nil)
}

// Recorded reports whether all that the expression reads is recorded in f.
func (p *Program) Recorded(f *Facts) bool {
	for _, ok := range p.recorded {
		if !ok(f) {
			return false
		}
	}
	return true
}

// Reads lists the facts the expression reads, in alphabetical order and each once; the dog's as "dog.NAME".
func (p *Program) Reads() []string { return slices.Clone(p.reads) }

// ReadsTrial reports whether the expression reads a fact of the trial.
func (p *Program) ReadsTrial() bool {
	return slices.ContainsFunc(p.reads, func(s string) bool { return !strings.HasPrefix(s, Member+".") })
}

// Literals lists the texts that are compared with a fact, in the order of the text.
func (p *Program) Literals() []Literal { return slices.Clone(p.literals) }

// Cuts lists the numbers that facts are compared with, in the order of the text: whether the expression holds depends
// only on which side of each a fact lies. ok is false where it may depend on more: sums, facts compared with each other,
// functions of the host program.
func (p *Program) Cuts() (cuts []Cut, ok bool) { return slices.Clone(p.cuts), !p.tangled }

// Text is the expression as written.
func (p *Program) Text() string { return p.text }

func build(text string, env Env) (*Program, []Problem) {
	node, problem := parse(text, env)
	if problem != nil {
		return nil, []Problem{*problem}
	}
	b := newBuilder(text, env)
	out := b.build(node)
	if out.typ != Invalid && out.typ != Bool {
		from, to := b.span(node)
		b.report(Problem{From: from, To: to, Kind: NotYesNo, Message: "the condition gives " + out.typ.String() + ", it must be true or not true", Help: "compare it, such as " + strings.TrimSpace(text[from:to]) + " >= 2"})
	}
	if len(b.problems) > 0 {
		slices.SortStableFunc(b.problems, func(a, c Problem) int {
			if a.From != c.From {
				return a.From - c.From
			}
			return a.To - c.To
		})
		return nil, slices.CompactFunc(b.problems, func(a, c Problem) bool { return a == c })
	}
	p := &Program{text: text, holds: out.yes, literals: b.literals, cuts: b.cuts, tangled: b.tangled, calls: b.calls}
	for name := range b.read {
		p.reads = append(p.reads, name)
	}
	slices.Sort(p.reads)
	for _, name := range p.reads {
		p.recorded = append(p.recorded, b.read[name].recorded)
	}
	return p, nil
}
