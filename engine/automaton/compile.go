package automaton

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// Entry is what a stay begins with.
type Entry struct {
	// Fresh says that the level is the behaviour's first, and that the behaviour's first trial is to enter it: it begins
	// a session, which may be a cold test. Otherwise a move entered it.
	Fresh bool
	// StepTrials is how much evidence the step has from its other levels, for `after N trials at this step`.
	StepTrials int
	// Eased is how often the dog has eased out of the level since its last split.
	Eased int
	// Pieced says that the level was split into named pieces before, so that there is no room for more.
	Pieced bool
}

// reader reads criteria into parts.
type reader struct {
	a       *alphabet
	parts   []part
	session bool // what is read looks at the present session only
	closing bool // it is asked when a session ends
	grouped bool // inside a group
	word    curriculum.RuleWord
	errs    *[]error
}

func (r *reader) fail(format string, args ...any) formula {
	*r.errs = append(*r.errs, fmt.Errorf(format, args...))
	return formula{op: 'f'}
}

// add is the formula of a part.
func (r *reader) add(p part) formula {
	if r.session {
		p = inSession{p}
	}
	return r.addAsIs(p)
}

func (r *reader) addAsIs(p part) formula {
	id := p.id()
	for i := range r.parts {
		if r.parts[i].id() == id {
			return formula{op: 'p', part: i}
		}
	}
	r.parts = append(r.parts, p)
	return formula{op: 'p', part: len(r.parts) - 1}
}

func (r *reader) read(c curriculum.Criterion) formula {
	switch c := c.(type) {
	case curriculum.Window:
		return r.window(c)
	case curriculum.InSessionCount:
		return r.inThis(func() formula {
			return r.add(&counter{sees: r.a.sees(c.Count, curriculum.Qualifiers{Where: c.Where}), n: c.N})
		})
	case curriculum.Done:
		return r.add(&counter{sees: attempts, n: c.N})
	case curriculum.InSession:
		return r.inThis(func() formula { return r.read(c.Is) })
	case curriculum.Repeated:
		return r.repeated(c)
	case curriculum.SessionShare:
		c.N = max(1, c.N)
		r.a.sessionLimit(c.MinTrials)
		return r.add(&share{sees: r.a.sees(curriculum.Successes, c.Qualify), of: c})
	case curriculum.FirstTrial:
		return r.addAsIs(&firstTrials{c.N, c.InARow})
	case curriculum.Confidence:
		return r.add(newConfidence(c))
	case curriculum.Sequential:
		if !within01(c.Low, c.High, c.WronglyUp, c.WronglyDown) {
			return r.fail("%q asks for shares that are none", curriculum.CriterionText(c))
		}
		return r.add(newSequential(c, r.word != curriculum.Ease))
	case curriculum.Statistic:
		return r.statistic(c)
	case curriculum.After:
		return r.after(c)
	case curriculum.Eased:
		r.a.eased = max(r.a.eased, c.N)
		return formula{op: 'e', n: c.N}
	case curriculum.Holds:
		key, asks := r.a.asks(c.Expr)
		return r.addAsIs(&condition{key: key, asks: asks, closing: r.closing && !r.grouped})
	case curriculum.Not:
		return formula{op: '!', kids: []formula{r.read(c.Is)}}
	case curriculum.And:
		return formula{op: '&', kids: r.all(c.All)}
	case curriculum.Or:
		return formula{op: '|', kids: r.all(c.Any)}
	case curriculum.Named:
		return r.read(c.Is)
	}
	return r.fail("a criterion of the unknown type %T", c)
}

func within01(shares ...curriculum.Share) bool {
	for _, s := range shares {
		if s.Den == 0 || s.Rat().Sign() <= 0 || s.Rat().Cmp(big.NewRat(1, 1)) >= 0 {
			return false
		}
	}
	return true
}

func (r *reader) all(list []curriculum.Criterion) (out []formula) {
	for _, c := range list {
		out = append(out, r.read(c))
	}
	return out
}

func (r *reader) inThis(read func() formula) formula {
	defer func(before bool) { r.session = before }(r.session)
	r.session = true
	return read()
}

func (r *reader) window(w curriculum.Window) formula {
	if w.N < 1 || w.K < 0 || w.K > w.N || w.K == 0 && !w.AtMost {
		return r.fail("%q asks for %d of %d", curriculum.CriterionText(w), w.K, w.N)
	}
	s := r.a.sees(w.Count, w.Qualify)
	switch {
	case w.AtMost:
		counts := s.counts
		s.counts = func(c *Case) bool { return !counts(c) }
		return r.add(&atMost{sees: s, k: w.N - w.K, n: w.N})
	case w.Each:
		return r.add(&block{sees: s, k: w.K, n: w.N, twice: w.Twice, closing: r.closing && !r.grouped})
	}
	return r.add(&window{sees: s, k: w.K, n: w.N})
}

func (r *reader) after(c curriculum.After) formula {
	switch {
	case c.Unit == curriculum.AfterSessions:
		return r.addAsIs(&sessionsSince{c.N})
	case c.Unit == curriculum.AfterDays:
		return r.addAsIs(&daysSince{c.N, r.closing})
	}
	return r.addAsIs(&counter{sees: evidence, n: c.N, atStep: c.AtStep})
}

func (r *reader) repeated(c curriculum.Repeated) formula {
	sub := &reader{a: r.a, grouped: true, closing: r.closing, word: r.word, errs: r.errs}
	in := inner{}
	in.is = sub.read(c.Is)
	in.parts = sub.parts
	switch c.Over {
	case curriculum.Places, curriculum.Handlers:
		r.a.repeated(c.Over, c.N)
		return r.add(&inNamed{inner: in, n: c.N, row: c.InARow, over: c.Over})
	case curriculum.Days:
		return r.add(&inEach{inner: in, n: c.N, row: c.InARow, leaves: dateChange})
	}
	return r.add(&inEach{inner: in, n: c.N, row: c.InARow, leaves: sessionEnd})
}

// shortMedian is up to how many values an even median is worked out from the values themselves. Its middle may fall
// between two of them, and how many meet the comparison does not decide it where half of them do.
const shortMedian = 4

// statistic is windows over the successes that meet the comparison, where that decides; else a window of values.
func (r *reader) statistic(c curriculum.Statistic) formula {
	unit, ok := r.a.units[c.Measure]
	one := curriculum.Q(1, unit)
	if !ok || c.N < 1 || one.Base().Sign() == 0 {
		return r.fail("%q cannot be read", curriculum.CriterionText(c))
	}
	want := new(big.Rat).Quo(c.Value.Base(), one.Base())
	at, _ := want.Float64()
	r.a.cut(c.Measure, at)
	small := c.Measure == "latency" || slices.ContainsFunc(r.a.c.Measures, func(m curriculum.Measure) bool { return m.Name == c.Measure && m.SmallerIsBetter })
	even := c.Stat == curriculum.Median && c.N%2 == 0
	byValue := c.Op == "==" || c.Stat == curriculum.Mean || even && c.N <= shortMedian
	switch {
	case byValue && (even || c.Stat == curriculum.Mean):
		r.a.inexact(fmt.Sprintf("%q is worked out for a few values of %s", curriculum.CriterionText(c), c.Measure))
	case even:
		r.a.inexact(fmt.Sprintf("%q is taken to hold where more than half of the values meet it", curriculum.CriterionText(c)))
	}
	if byValue {
		return r.add(&statistic{of: c, want: want, small: small})
	}
	succeeds := func(k *Case) bool { return k.Kind == Success }
	recorded := func(k *Case) bool { _, ok := k.Measure(c.Measure); return ok }
	meets := func(k *Case) bool {
		v, ok := k.Measure(c.Measure)
		return ok && compares(c.Op, exact(v).Cmp(want))
	}
	text := fmt.Sprintf("%s %s %s", c.Measure, c.Op, want.RatString())
	of := func(k int) formula {
		return r.add(&window{sees: sees{"successes " + text, succeeds, meets}, k: k, n: c.N})
	}
	all := r.add(&window{sees: sees{"successes with " + c.Measure, succeeds, recorded}, k: c.N, n: c.N})
	both := func(k int) formula { return formula{op: '&', kids: []formula{all, of(k)}} }
	smallest := (c.Stat == curriculum.Best) == small
	switch {
	case c.Stat == curriculum.Median:
		return both(c.N/2 + 1)
	case smallest == strings.HasPrefix(c.Op, "<"):
		return both(1)
	}
	return both(c.N)
}

// exact is the decimal that a log wrote.
func exact(v float64) *big.Rat {
	r, _ := new(big.Rat).SetString(text(v))
	return r
}

// programOf compiles a condition.
func (a *alphabet) programOf(e *curriculum.Expression) (*expression.Program, error) {
	if e == nil {
		return nil, fmt.Errorf("a condition without a text")
	}
	return expression.Compile(strings.TrimSpace(e.Text), expression.Env{Measures: a.c.Measures, Functions: a.opts.Functions})
}
