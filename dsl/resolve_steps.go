package dsl

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// ladderWork is a `ladder` and what its body may name.
type ladderWork struct {
	c    *ctx
	stmt *ladderStmt
	used map[string]bool // parameters that stand somewhere in the body
}

// behaviourWork is a `behaviour` on its way.
type behaviourWork struct {
	c          *ctx
	stmt       *behaviourStmt
	b          *curriculum.Behaviour
	drafts     []*stepDraft
	steps      map[string]spot // step names with their places
	incomplete bool            // a climb could not be followed: a step that is missing may be one of its
	needs      map[string]spot // stated so far
	pieces     []pieceUse      // of chains, each of which may be a behaviour
}

type pieceUse struct {
	name string
	at   spot
}

// stepDraft is a step before its lines are resolved: ladders climbed, chains unrolled, changes made.
type stepDraft struct {
	name  string
	at    spot
	text  string
	chain []string
	lines []stepLine

	step      *curriculum.Step
	values    map[string]map[string]bool // the values each ramp lists, made when first asked for
	rampFault bool                       // a ramp was faulty: nothing is said about its levels
}

// stepLine is a statement of a step with where it was written.
type stepLine struct {
	c    *ctx
	stmt statement
}

// collect makes the drafts of a behaviour's steps.
func (r *resolver) collect(w *behaviourWork) {
	var changes []*changeStmt
	for _, stmt := range w.stmt.Body {
		c := w.c.at(stmt)
		switch s := stmt.(type) {
		case *stepStmt:
			r.addStep(w, c, s)
		case *chainStmt:
			r.addChain(w, c, s)
		case *climbStmt:
			r.climb(w, c, s)
		case *changeStmt:
			changes = append(changes, s)
		}
	}
	for _, s := range changes {
		r.change(w, w.c.at(s), s)
	}
	if len(w.drafts) == 0 && !w.incomplete && !r.lostStep {
		r.fault(w.c.spot(w.stmt.Name.Span), "behaviour-empty", w.stmt.Name.Text)
	}
}

// addDraft adds a step unless its name is taken.
func (r *resolver) addDraft(w *behaviourWork, c *ctx, d *stepDraft) {
	if first, taken := w.steps[d.name]; taken {
		if c.climb != nil {
			r.fault(*c.climb, "climb-again", c.ladder, d.name).relate(first, "first-here")
			return
		}
		r.doubled("step", d.name, d.at, first)
		return
	}
	if r.stepCount++; r.stepCount > maxAllSteps {
		at := d.at
		if c.climb != nil {
			at = *c.climb
		}
		if r.stepCount == maxAllSteps+1 {
			r.fault(at, "all-steps", itoa(maxAllSteps))
		}
		w.incomplete = true
		return
	}
	w.steps[d.name] = d.at
	w.drafts = append(w.drafts, d)
}

func (r *resolver) addStep(w *behaviourWork, c *ctx, s *stepStmt) {
	name, at, ok := r.name(c, s.Name)
	if !ok {
		return
	}
	d := &stepDraft{name: c.prefixed(name), at: at, lines: linesOf(c, s.Body)}
	if s.Text != nil {
		d.text = s.Text.Text
	}
	r.addDraft(w, c, d)
}

func linesOf(c *ctx, body []statement) []stepLine {
	out := make([]stepLine, len(body))
	for i, s := range body {
		out[i] = stepLine{c.at(s), s}
	}
	return out
}

// prefixed is a step's name under `climb ... as PREFIX`.
func (c *ctx) prefixed(name string) string {
	if c.prefix == "" {
		return name
	}
	return c.prefix + "-" + name
}

// stepName is the step that a name in a rule means: under a prefix the ladder's own step of that name.
func (c *ctx) stepName(name string) string {
	if c.steps[name] {
		return c.prefixed(name)
	}
	return name
}

// addChain unrolls a chain into one step for each piece.
func (r *resolver) addChain(w *behaviourWork, c *ctx, s *chainStmt) {
	if len(s.Pieces) > maxPieces {
		r.fault(c.spot(s.Pieces[maxPieces].Span), "chain-long", itoa(maxPieces))
		w.incomplete = true
		return
	}
	first := map[string]spot{}
	var names []string
	for _, n := range s.Pieces {
		text, at, ok := r.name(c, n)
		if !ok {
			w.incomplete = true
			return
		}
		if before, twice := first[text]; twice {
			r.doubled("piece", text, at, before)
			w.incomplete = true
			return
		}
		first[text] = at
		names = append(names, text)
		if text == w.b.Name {
			r.fault(at, "self", "a chain", text)
			continue
		}
		if !slices.ContainsFunc(w.pieces, func(p pieceUse) bool { return p.name == text }) {
			w.pieces = append(w.pieces, pieceUse{text, at})
		}
	}
	if len(names) == 1 {
		r.fault(c.spot(s.Pieces[0].Span), "chain-one", names[0])
		w.incomplete = true
		return
	}
	for i := range names {
		d := &stepDraft{name: "to-" + names[i], chain: slices.Clone(names[:i+1]), lines: linesOf(c, s.Body)}
		d.at = first[names[i]]
		if s.Way.Value == "backward" {
			j := len(names) - 1 - i
			d.name, d.chain, d.at = "from-"+names[j], slices.Clone(names[j:]), first[names[j]]
		}
		d.name = c.prefixed(d.name)
		r.addDraft(w, c, d)
	}
}

// climb adds the steps of a ladder.
func (r *resolver) climb(w *behaviourWork, c *ctx, s *climbStmt) {
	name, at, ok := r.name(c, s.Ladder)
	l := r.ladders[name]
	if !ok || !r.known(aLadder, name, at) || l == nil {
		w.incomplete = true
		return
	}
	if i := slices.IndexFunc(r.out.Ladders, func(l curriculum.Ladder) bool { return l.Name == name }); i >= 0 {
		r.out.Ladders[i].Climbed = true
	}
	if len(s.Args) != len(l.stmt.Params) {
		span := s.Ladder.Span
		if len(s.Args) > 0 {
			span = Span{s.Args[0].Span.From, s.Args[len(s.Args)-1].Span.To}
		}
		r.fault(c.spot(span), "climb-arguments", name, itoa(len(l.stmt.Params)), itoa(len(s.Args))).
			relate(l.c.spot(l.stmt.Name.Span), "declared-here", name)
		w.incomplete = true
		return
	}
	r.climbed += l.stmt.Close.To - l.stmt.Span().From
	if r.climbed > maxClimbed {
		if !r.faultyClimb {
			r.fault(at, "climbed-much", itoa(maxClimbed))
		}
		r.faultyClimb, w.incomplete = true, true
		return
	}
	inner := *l.c
	inner.climb, inner.ladder = &at, name
	inner.params = map[string]*argument{}
	for i, p := range l.stmt.Params {
		v := s.Args[i]
		inner.params[p.Text] = &argument{value: &v, at: c.spot(v.Span)}
	}
	if s.As != nil {
		inner.prefix = s.As.Text
	}
	r.addLadder(w, &inner, l)
}

// addLadder adds the steps of a ladder whose arguments are in c.
func (r *resolver) addLadder(w *behaviourWork, c *ctx, l *ladderWork) {
	c.steps = map[string]bool{}
	for _, stmt := range l.stmt.Body {
		switch s := stmt.(type) {
		case *stepStmt:
			if a := c.params[s.Name.Text]; a != nil && a.value != nil {
				c.steps[a.value.Name] = true
			}
			c.steps[s.Name.Text] = true
		case *chainStmt:
			for _, p := range s.Pieces {
				c.steps["to-"+p.Text], c.steps["from-"+p.Text] = true, true
			}
		}
	}
	for _, stmt := range l.stmt.Body {
		switch s := stmt.(type) {
		case *stepStmt:
			r.addStep(w, c.at(s), s)
		case *chainStmt:
			r.addChain(w, c.at(s), s)
		}
	}
}

// checkLadder looks at a ladder's body for itself, with arguments not known, so that its faults are found once and
// found even where nobody climbs it.
func (r *resolver) checkLadder(l *ladderWork) {
	c := *l.c
	c.checked = true
	c.params = map[string]*argument{}
	first := map[string]spot{}
	for _, p := range l.stmt.Params {
		at := l.c.spot(p.Span)
		if before, twice := first[p.Text]; twice {
			r.doubled("parameter", p.Text, at, before)
		}
		first[p.Text] = at
		c.params[p.Text] = &argument{at: at}
	}
	w := &behaviourWork{c: &c, b: &curriculum.Behaviour{}, steps: map[string]spot{}, incomplete: true}
	r.addLadder(w, &c, l)
	if len(l.stmt.Body) == 0 && !r.lostStep {
		r.fault(l.c.spot(l.stmt.Name.Span), "ladder-empty", l.stmt.Name.Text)
	}
	for _, d := range w.drafts {
		r.step(w, d)
	}
	for _, d := range w.drafts {
		r.rules(w, d)
	}
	for name, a := range c.params {
		l.used[name] = a.used
	}
}

// unusedParameters warns of parameters that stand nowhere in their ladder.
func (r *resolver) unusedParameters() {
	if r.faulty || r.lostStep || r.diagnostics().HasErrors() {
		return
	}
	for _, name := range sortedKeys(r.ladders) {
		l := r.ladders[name]
		for _, p := range l.stmt.Params {
			if !l.used[p.Text] {
				r.warn(l.c.spot(p.Span), "parameter-unused", p.Text)
			}
		}
	}
}

// change makes a `change step`.
func (r *resolver) change(w *behaviourWork, c *ctx, s *changeStmt) {
	i := slices.IndexFunc(w.drafts, func(d *stepDraft) bool { return d.name == s.Step.Text })
	if i < 0 {
		if !w.incomplete && !r.lostStep {
			r.unknown("step", s.Step.Text, c.spot(s.Step.Span), w.stepNames(), "steps-are", strings.Join(w.stepNames(), ", "))
		}
		return
	}
	d := w.drafts[i]
	r.doubledLines(linesOf(c, s.Body))
	d.lines = changed(d.lines, linesOf(c, s.Body))
}

// changed is old with new lines in it: those of one key stand where the first old line of that key stood, and take the
// place of all of them; the others come at the end.
func changed(old, lines []stepLine) []stepLine {
	byKey := map[string][]stepLine{}
	for _, l := range lines {
		byKey[lineKey(l)] = append(byKey[lineKey(l)], l)
	}
	var out []stepLine
	put := map[string]bool{}
	for _, l := range old {
		key := lineKey(l)
		switch {
		case byKey[key] == nil:
			out = append(out, l)
		case !put[key]:
			put[key] = true
			out = append(out, byKey[key]...)
		}
	}
	for _, l := range lines {
		if !put[lineKey(l)] {
			out = append(out, l)
		}
	}
	return out
}

// lineKey says which lines of a step replace one another under `change step`, and which may stand only once: the
// line's word, for a ramp with the thing it is over.
func lineKey(l stepLine) string {
	switch s := l.stmt.(type) {
	case *rampStmt:
		of := s.Of.Text
		if a := l.c.params[of]; a != nil && a.value != nil && a.value.Name != "" {
			of = a.value.Name
		}
		return "ramp " + of
	case *ruleStmt:
		return s.Word.Value
	case *namesStmt:
		return s.Word.Value
	case *wordStmt:
		return s.Word.Value
	case *cueStmt:
		return "cue"
	case *markStmt:
		return "mark"
	case *takesStmt:
		return "takes"
	case *rewardStmt:
		return "reward"
	case *thinStmt:
		return "thin"
	case *raiseStmt:
		return "raise"
	case *choiceStmt:
		return "choice"
	case *decideStmt:
		return "decide"
	case *capsStmt:
		return "at most"
	case *allowStmt:
		return "allow"
	}
	return ""
}

// doubledLines reports lines that may stand only once and stand again.
func (r *resolver) doubledLines(lines []stepLine) {
	first := map[string]stepLine{}
	for _, l := range lines {
		key := lineKey(l)
		switch key {
		case "", "allow", "at most", "advance", "ease", "split", "stop", "flag", "skip":
			continue
		}
		if before, twice := first[key]; twice {
			at := l.c.spot(l.stmt.Span())
			at.span.To = at.span.From + len(strings.Fields(key)[0])
			was := before.c.spot(before.stmt.Span())
			was.span.To = was.span.From + len(strings.Fields(key)[0])
			if ramp, ok := l.stmt.(*rampStmt); ok {
				at.span = ramp.Of.Span
				was.span = before.stmt.(*rampStmt).Of.Span
			}
			r.fault(at, "line-doubled", key).relate(was, "first-here")
			continue
		}
		first[key] = l
	}
}

func (w *behaviourWork) stepNames() []string {
	out := make([]string, len(w.drafts))
	for i, d := range w.drafts {
		out[i] = d.name
	}
	return out
}

// stepIndex is the place of the step of that name, or of that former name, in the order of steps; -1 without one.
func (w *behaviourWork) stepIndex(name string) int {
	return slices.IndexFunc(w.drafts, func(d *stepDraft) bool { return d.name == name })
}

// knownStep finds a step of a behaviour and reports where there is none.
func (r *resolver) knownStep(w *behaviourWork, name string, at spot) int {
	i := w.stepIndex(name)
	if i < 0 && len(w.drafts) > 0 && !w.incomplete && !r.lostStep {
		r.unknown("step of "+w.b.Name, name, at, w.stepNames(), "steps-are", strings.Join(w.stepNames(), ", "))
	}
	return i
}
