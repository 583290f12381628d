package automaton

import (
	"fmt"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// inner is a criterion looked at inside one session, place, handler or day alone.
type inner struct {
	parts []part
	is    formula
}

func (in *inner) id() string {
	var b strings.Builder
	for _, p := range in.parts {
		fmt.Fprintf(&b, "{%s}", p.id())
	}
	fmt.Fprintf(&b, "%v", in.is)
	return b.String()
}

func (in *inner) start() string {
	var s state
	for _, p := range in.parts {
		s = s.text(p.start(Entry{}))
	}
	return string(s)
}

func (in *inner) input(c *Case) string {
	var s state
	for _, p := range in.parts {
		s = s.text(p.input(c))
	}
	return string(s)
}

func (in *inner) trial(at, input string) (string, bool) {
	var to state
	r, seen := reading{at}, reading{input}
	said := make([]bool, len(in.parts))
	for i, p := range in.parts {
		next, holds := p.trial(r.text(), seen.text())
		to, said[i] = to.text(next), holds
	}
	return string(to), in.is.holds(func(i int) bool { return said[i] }, 0)
}

func (in *inner) edge(at string, e edge) string {
	var to state
	r := reading{at}
	for _, p := range in.parts {
		to = to.text(p.edge(r.text(), e))
	}
	return string(to)
}

// inEach is "C in n sessions" or "C in n days", in a row or not: groups that follow one another in time. Its state is
// how many came true before (in a row: the newest of them), whether the present one has evidence and came true, and
// what the criterion keeps of it.
type inEach struct {
	inner
	n      int
	row    bool
	leaves edge // the edge that begins a new group
}

func (g *inEach) id() string {
	return fmt.Sprintf("in %d of %d %v (%s)", g.n, g.leaves, g.row, g.inner.id())
}

func (g *inEach) start(Entry) string {
	return string(state{}.num(0).yes(false).yes(false).text(g.inner.start()))
}

func (g *inEach) input(c *Case) string { return evidenceOnly(c) + g.inner.input(c) }

func (g *inEach) close(at string) bool {
	r := reading{at}
	n, evidence, came := r.num(), r.yes(), r.yes()
	if came && (evidence || !g.row) {
		n++
	} else if evidence && g.row {
		n = 0
	}
	return n >= g.n
}

func (g *inEach) trial(at, in string) (string, bool) {
	r := reading{at}
	n, evidence, came, keeps := r.num(), r.yes(), r.yes(), r.text()
	if !g.row && n >= g.n {
		return at, true
	}
	evidence = evidence || g.row && in[0] == '1'
	if !came {
		keeps, came = g.inner.trial(keeps, in[1:])
	}
	if came {
		keeps = ""
		if !g.row && n+1 >= g.n { // for good
			n, came = g.n, false
		}
	}
	to := string(state{}.num(n).yes(evidence).yes(came).text(keeps))
	return to, g.close(to)
}

func (g *inEach) edge(at string, e edge) string {
	r := reading{at}
	n, evidence, came, keeps := r.num(), r.yes(), r.yes(), r.text()
	switch {
	case !g.row && n >= g.n:
		return at
	case e != g.leaves:
		if !came {
			keeps = g.inner.edge(keeps, e)
		}
		return string(state{}.num(n).yes(evidence).yes(came).text(keeps))
	case came && (evidence || !g.row):
		n = min(n+1, g.n)
	case evidence && g.row:
		n = 0
	}
	return string(state{}.num(n).yes(false).yes(false).text(g.inner.start()))
}

// inNamed is "C in n places" or "C in n handlers". Its state is what each has, by name; in a row: the one with the
// newest evidence first.
type inNamed struct {
	inner
	n    int
	row  bool
	over curriculum.Over
}

type named struct {
	name     string
	evidence bool
	came     bool
	keeps    string
}

func (g *inNamed) id() string {
	return fmt.Sprintf("in %d named %d %v (%s)", g.n, g.over, g.row, g.inner.id())
}

func (g *inNamed) start(Entry) string { return "" }

func (g *inNamed) input(c *Case) string {
	name := c.Place
	if g.over == curriculum.Handlers {
		name = c.Handler
	}
	if name == "" {
		return ""
	}
	return string(state{}.text(name)) + evidenceOnly(c) + g.inner.input(c)
}

func (g *inNamed) read(at string) (out []named) {
	for r := (reading{at}); r.more(); {
		out = append(out, named{r.text(), r.yes(), r.yes(), r.text()})
	}
	return out
}

// write drops groups in which nothing has happened, and all but a mark once enough have come true for good.
func (g *inNamed) write(of []named) string {
	var s state
	came := 0
	for _, x := range of {
		if x.came {
			came++
			x.keeps = ""
		}
		if x.came || x.evidence || x.keeps != g.inner.start() {
			s = s.text(x.name).yes(x.evidence).yes(x.came).text(x.keeps)
		}
	}
	if !g.row && came >= g.n {
		return g.done()
	}
	return string(s)
}

func (g *inNamed) done() string {
	var s state
	for range g.n {
		s = s.text("").yes(false).yes(true).text("")
	}
	return string(s)
}

func (g *inNamed) close(at string) bool {
	n := 0
	for _, x := range g.read(at) {
		switch {
		case x.came && (x.evidence || !g.row):
			n++
		case g.row && x.evidence:
			return n >= g.n
		}
	}
	return n >= g.n
}

func (g *inNamed) trial(at, in string) (string, bool) {
	if in == "" || !g.row && at == g.done() {
		return at, g.close(at)
	}
	r := reading{in}
	name, evidence := r.text(), r.s[0] == '1'
	of := g.read(at)
	i := slices.IndexFunc(of, func(x named) bool { return x.name == name })
	x := named{name: name, keeps: g.inner.start()}
	if i >= 0 {
		x = of[i]
		of = slices.Delete(of, i, i+1)
	}
	if !x.came {
		x.keeps, x.came = g.inner.trial(x.keeps, r.s[1:])
	}
	switch {
	case g.row && (evidence || x.evidence):
		x.evidence = true
		if !evidence {
			of = slices.Insert(of, i, x)
			break
		}
		of = slices.Insert(of, 0, x)
	default:
		// by name, behind those with evidence
		j := 0
		for j < len(of) && (of[j].evidence || of[j].name < name) {
			j++
		}
		of = slices.Insert(of, j, x)
	}
	to := g.write(of)
	return to, g.close(to)
}

func (g *inNamed) edge(at string, e edge) string {
	of := g.read(at)
	for i := range of {
		if !of[i].came {
			of[i].keeps = g.inner.edge(of[i].keeps, e)
		}
	}
	return g.write(of)
}
