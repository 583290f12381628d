package automaton

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// maxCases is how many ways a trial may be before letters are made of them: more are not a rule that somebody reads.
const maxCases = 40_000

// maxOpaque is how many conditions that cannot be worked out a stay may have.
const maxOpaque = 6

// alphabet gathers what the rules of a stay look at in a trial, and makes letters of it.
type alphabet struct {
	c     *curriculum.Curriculum
	opts  Options
	stay  *Stay
	units map[string]curriculum.Unit
	facts map[string]string // measures by their names in braces

	cuts               map[string][]float64
	places, handlers   []string // compared with
	asksPlace          bool
	asksHandler        bool
	manyPlaces         int // different ones asked for
	manyHandlers       int
	rewarded, prompted bool
	fullValue          bool
	programs           map[string]*expression.Program
	opaque             []string
	eased              int
	limit              int
	notes              []string
}

func newAlphabet(c *curriculum.Curriculum, s *Stay, opts Options) *alphabet {
	a := &alphabet{c: c, opts: opts, stay: s, cuts: map[string][]float64{}, facts: map[string]string{}, programs: map[string]*expression.Program{}, limit: opts.SessionTrials}
	a.units = map[string]curriculum.Unit{"latency": curriculum.Second, "duration": curriculum.Second, "distance": curriculum.Metre}
	for _, m := range c.Measures {
		a.units[m.Name] = m.Unit
	}
	for name := range a.units {
		a.facts[expression.FactName(name)] = name
	}
	return a
}

func (a *alphabet) cut(measure string, at float64) { a.cuts[measure] = append(a.cuts[measure], at) }

func (a *alphabet) inexact(note string) {
	if !slices.Contains(a.notes, note) {
		a.notes = append(a.notes, note)
	}
}

// sessionLimit bounds the trials of a session where a rule would count without end.
func (a *alphabet) sessionLimit(least int) {
	if a.limit == 0 {
		a.limit = max(DefaultSessionTrials, 2*least)
		a.inexact(fmt.Sprintf("a session has at most %d trials", a.limit))
	}
}

func (a *alphabet) repeated(over curriculum.Over, n int) {
	if over == curriculum.Places {
		a.manyPlaces, a.asksPlace = max(a.manyPlaces, n), true
	} else {
		a.manyHandlers, a.asksHandler = max(a.manyHandlers, n), true
	}
}

func isEvidence(c *Case) bool { return c.Kind.Evidence() }

var (
	evidence = sees{"evidence", isEvidence, isEvidence}
	attempts = sees{"attempts", func(c *Case) bool { return c.Kind != OptOut }, func(*Case) bool { return true }}
)

// sees is what a window looks at.
func (a *alphabet) sees(of curriculum.Counted, q curriculum.Qualifiers) sees {
	s := sees{fills: isEvidence}
	key := fmt.Sprintf("%d %v", of, q.EvenHelped)
	var also []func(*Case) bool
	is := map[curriculum.Counted]func(Kind) bool{
		curriculum.Successes:  func(k Kind) bool { return k == Success || q.EvenHelped && k == Helped },
		curriculum.Misses:     Kind.Miss,
		curriculum.WrongOnes:  func(k Kind) bool { return k == Wrong },
		curriculum.Silents:    func(k Kind) bool { return k == Silent },
		curriculum.HelpedOnes: func(k Kind) bool { return k == Helped },
		curriculum.OptOuts:    func(k Kind) bool { return k == OptOut },
	}[of]
	if is == nil {
		is = func(Kind) bool { return false }
	}
	if of == curriculum.OptOuts {
		s.fills = func(c *Case) bool { return c.Kind.Evidence() || c.Kind == OptOut }
	}
	if q.Within != nil {
		v := q.Within.In(curriculum.Second)
		a.cut("latency", v)
		key += " within " + text(v)
		also = append(also, func(c *Case) bool { got, ok := c.Measure("latency"); return ok && got <= v })
	}
	if q.Holding != nil {
		v := q.Holding.In(curriculum.Second)
		a.cut("duration", v)
		key += " holding " + text(v)
		also = append(also, func(c *Case) bool { got, ok := c.Measure("duration"); return ok && got >= v })
	}
	if q.Where != nil {
		k, asks := a.asks(q.Where)
		key += " where " + k
		also = append(also, asks)
	}
	if q.Among != nil {
		k, asks := a.asks(q.Among)
		key += " among " + k
		fills := s.fills
		s.fills = func(c *Case) bool { return fills(c) && asks(c) }
	}
	s.key = key
	s.counts = func(c *Case) bool {
		if !is(c.Kind) {
			return false
		}
		for _, f := range also {
			if !f(c) {
				return false
			}
		}
		return true
	}
	return s
}

func text(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

var expressionKind = [...]expression.Kind{Success: expression.Success, Wrong: expression.Wrong, Silent: expression.Silent, Helped: expression.Helped, Early: expression.OtherKind, OptOut: expression.OtherKind}

// asks is a condition, asked of a case. What cannot be worked out from comparisons of one fact of the trial with
// constants may hold or not at any trial.
func (a *alphabet) asks(e *curriculum.Expression) (key string, asks func(*Case) bool) {
	prog, err := a.programOf(e)
	if err != nil { // it calls functions that nobody named here
		text := "?"
		if e != nil {
			text = strings.TrimSpace(e.Text)
		}
		return text, a.assumed("{ " + text + " }")
	}
	key = prog.Text()
	cuts, known := prog.Cuts()
	reads := prog.Reads()
	for _, fact := range reads {
		known = known && (!strings.HasPrefix(fact, expression.Member+".") || a.opts.Dog != nil)
	}
	switch {
	case known:
	case a.opts.Never != nil && a.opts.Never(e):
		return key, func(*Case) bool { return false }
	default:
		return key, a.assumed("{ " + key + " }")
	}
	for _, fact := range reads {
		switch fact {
		case "place":
			a.asksPlace = true
		case "handler":
			a.asksHandler = true
		case "rewarded":
			a.rewarded = true
		case "early":
			a.prompted = true
		case expression.FullValue:
			a.fullValue = true
		}
	}
	for _, l := range prog.Literals() {
		switch l.Fact {
		case "place":
			a.places = append(a.places, l.Value)
		case "handler":
			a.handlers = append(a.handlers, l.Value)
		}
	}
	for _, c := range cuts {
		if m, ok := a.facts[c.Fact]; ok {
			a.cut(m, c.At)
		}
	}
	step, dog, day := a.stay.Step, a.opts.Dog, a.opts.Day
	return key, func(c *Case) bool {
		t := c.Trial(a.stay.Prompts)
		return prog.Holds(&expression.Facts{Trial: &t, Kind: expressionKind[c.Kind], Step: step, Short: len(c.Level) > 0, Dog: dog, Day: day})
	}
}

// assumed is a condition that may hold or not, whatever the trial.
func (a *alphabet) assumed(text string) func(*Case) bool {
	i := slices.Index(a.opaque, text)
	if i < 0 {
		i = len(a.opaque)
		a.opaque = append(a.opaque, text)
	}
	return func(c *Case) bool { return c.Assumed>>i&1 != 0 }
}

// cells is a value of each piece that cuts make of a range.
func cells(cuts []float64) []float64 {
	slices.Sort(cuts)
	cuts = slices.Compact(cuts)
	below := cuts[0] - 1
	if cuts[0] > 0 {
		below = cuts[0] / 2
	}
	out := []float64{below}
	for i, v := range cuts {
		out = append(out, v)
		if i+1 < len(cuts) {
			out = append(out, (v+cuts[i+1])/2)
		}
	}
	return append(out, cuts[len(cuts)-1]+1)
}

// names are the places (or handlers) that trials may name: those compared with, one that is none of them, and as many
// as are asked for of those there are.
func (a *alphabet) names(what string, asked bool, literals []string, many int, given, declared []string) []string {
	out := []string{""}
	if !asked {
		return out
	}
	add := func(name string) {
		if !slices.Contains(out, name) {
			out = append(out, name)
		}
	}
	if given != nil {
		for _, name := range given {
			add(name)
		}
		return out
	}
	for _, name := range literals {
		add(name)
	}
	want := len(out) + min(1, len(literals)) // one that is none of the literals
	want = max(want, 1+many)
	left := 0
	for _, name := range declared {
		if len(out) < want {
			add(name)
		} else if !slices.Contains(out, name) {
			left++
		}
	}
	if len(out) < want && many == 0 {
		add("elsewhere")
	}
	if left > 0 && many > 0 {
		a.inexact(fmt.Sprintf("%s: %s, and no others", what, strings.Join(out[1:], ", ")))
	}
	return out
}

// cases are all ways a trial may be.
func (a *alphabet) cases() ([]Case, error) {
	if len(a.opaque) > maxOpaque {
		return nil, fmt.Errorf("%w: %d conditions that cannot be worked out", ErrAlphabet, len(a.opaque))
	}
	places := a.c.Places
	if len(a.stay.Places) > 0 {
		places = a.stay.Places
	}
	var out []Case
	for _, k := range Kinds {
		if !slices.Contains(a.opts.Without, k) {
			out = append(out, Case{Kind: k})
		}
	}
	grow := func(n int, set func(c *Case, i int) bool) error {
		if n*len(out) > maxCases {
			return fmt.Errorf("%w: more than %d ways a trial may be", ErrAlphabet, maxCases)
		}
		var more []Case
		for i := range n {
			for _, c := range out {
				if set(&c, i) {
					more = append(more, c)
				}
			}
		}
		out = more
		return nil
	}
	var errs []error
	for _, m := range slices.Sorted(maps.Keys(a.cuts)) {
		values := cells(a.cuts[m])
		errs = append(errs, grow(1+len(values), func(c *Case, i int) bool {
			if i > 0 {
				c.Measures = append(slices.Clone(c.Measures), curriculum.MeasureValue{Name: m, Value: values[i-1]})
			}
			return true
		}))
	}
	names := a.names("places", a.asksPlace, a.places, a.manyPlaces, a.opts.Places, places)
	errs = append(errs, grow(len(names), func(c *Case, i int) bool { c.Place = names[i]; return true }))
	hands := a.names("handlers", a.asksHandler, a.handlers, a.manyHandlers, a.opts.Handlers, a.c.Handlers)
	errs = append(errs, grow(len(hands), func(c *Case, i int) bool { c.Handler = hands[i]; return true }))
	if a.rewarded {
		errs = append(errs, grow(3, func(c *Case, i int) bool { c.Rewarded = curriculum.YesNo(i); return true }))
	}
	if a.fullValue && len(a.stay.Short) > 0 {
		errs = append(errs, grow(2, func(c *Case, i int) bool {
			if i == 1 {
				c.Level = a.stay.Short
			}
			return true
		}))
	}
	if a.prompted {
		errs = append(errs, grow(2, func(c *Case, i int) bool {
			c.Prompted = i == 1
			return i == 0 || c.Kind == OptOut || len(a.stay.Prompts) > 0 && c.Kind != Helped && c.Kind != Early
		}))
	}
	errs = append(errs, grow(1<<len(a.opaque), func(c *Case, i int) bool { c.Assumed = uint64(i); return true }))
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// reacts reports whether an edge may change what a part keeps.
func reacts(p part, e edge) bool {
	any := func(ps []part) bool { return slices.ContainsFunc(ps, func(p part) bool { return reacts(p, e) }) }
	switch p := p.(type) {
	case inSession:
		return e == sessionEnd || reacts(p.part, e)
	case *inEach:
		return p.leaves == e || any(p.parts)
	case *inNamed:
		return any(p.parts)
	case *daysSince:
		return e == dateChange || p.closing
	case *block:
		return e == sessionEnd && p.closing
	case *condition:
		return e == sessionEnd && p.closing
	case *sessionsSince, *firstTrials, *share, worked, *limit:
		return e == sessionEnd
	}
	return false
}

// Options say what a machine is to cover. The zero value covers every trial.
type Options struct {
	// Budget is the most states that are explored; 0 means DefaultBudget.
	Budget int
	// SessionTrials is the most trials of the behaviour in one session; 0 means no limit.
	SessionTrials int
	// Without leaves kinds of trial out.
	Without []Kind
	// Entry is what the stay begins with.
	Entry Entry
	// Places and Handlers are all that trials may name; nil means as many of the declared ones as the rules ask for.
	Places, Handlers []string
	// Functions are those of the host program; conditions that call them may hold or not at any trial.
	Functions []expression.Function
	// Never reports conditions over the dog that hold of no dog; nil for none.
	Never func(*curriculum.Expression) bool
	// Dog and Day work conditions over the dog out; without a Dog they may hold or not at any trial.
	Dog *curriculum.Dog
	Day time.Time
	// GoesOn lets the stay go on after a move, as if nothing had held; each state then remembers what held at the last
	// look.
	GoesOn bool
}
