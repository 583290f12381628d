package dsl

import (
	"maps"
	"slices"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// Resolve makes a curriculum of parsed files: the first is read, the others stand ready for its `use` lines and those
// of the files used, by their source's name. The findings do not repeat those of Parse. The curriculum is nil where one
// of the findings, or of those that Parse made in these files, is an error.
func Resolve(files []*File, opts ...Option) (*curriculum.Curriculum, Diagnostics) {
	files = slices.DeleteFunc(slices.Clone(files), func(f *File) bool { return f == nil })
	if len(files) == 0 {
		return nil, nil
	}
	ready := map[string]*File{}
	for _, f := range files[1:] {
		ready[f.Source.Name] = f
	}
	l := &loader{open: func(name string) (*File, Diagnostics, error) {
		if f, ok := ready[name]; ok {
			return f, nil, nil
		}
		return nil, nil, errNoFile
	}}
	r := newResolver(newLimits(opts))
	c := r.run(l, files[0])
	return c, capped(r.diagnostics(), r.lim)
}

// resolver turns a syntax tree into a curriculum. One is used once.
type resolver struct {
	lim   limits
	out   *curriculum.Curriculum
	env   expression.Env
	diag  []*Diagnostic
	found Diagnostics // of Parse, in the files read
	seen  map[faultID]bool

	names       map[nameKind]*nameTable
	lost        map[string]bool // names whose declaration could not be read
	blind       bool            // a used file could not be read: nothing can be said about unknown names
	faulty      bool            // a file has faults of form
	faultyClimb bool            // ladders were climbed too often, which was reported
	lostStep    bool            // a climb, step or chain could not be read

	units      map[string]curriculum.Unit // of declared measures
	stepCount  int                        // steps made so far
	levelCount int                        // levels made so far
	climbed    int                        // bytes of ladders, written out
	compared   int                        // levels compared with what names one

	tops       []topStatement
	criteria   map[string]*namedCriterionWork
	ladders    map[string]*ladderWork
	behaviours map[string]*behaviourWork
	works      []*behaviourWork // in the order of the text
}

// topStatement is a top-level statement with where it was written.
type topStatement struct {
	c    *ctx
	stmt statement
}

// faultID tells reports of one fault apart from others: a ladder's body is looked at once for each climb.
type faultID struct {
	src  *Source
	span Span
	key  string
}

func newResolver(lim limits) *resolver {
	r := &resolver{
		lim: lim, out: &curriculum.Curriculum{}, seen: map[faultID]bool{}, names: map[nameKind]*nameTable{},
		lost: map[string]bool{}, criteria: map[string]*namedCriterionWork{}, ladders: map[string]*ladderWork{},
		behaviours: map[string]*behaviourWork{}, units: map[string]curriculum.Unit{},
	}
	for k := range nameKindWords {
		r.names[nameKind(k)] = &nameTable{first: map[string]spot{}}
	}
	return r
}

// run resolves main and what it uses; nil where there is an error.
func (r *resolver) run(l *loader, main *File) *curriculum.Curriculum {
	r.load(l, main)
	r.declare()
	r.resolveTop()
	r.resolveBehaviours()
	for _, t := range r.tops {
		switch s := t.stmt.(type) {
		case *signStmt:
			r.sign(t.c.at(s), s)
		case *sessionStmt:
			r.session(t.c.at(s), s)
		case *exampleStmt:
			r.example(t.c.at(s), s)
		case *allowStmt:
			r.allow(t.c.at(s), s, "", "")
		}
	}
	r.orderSessions()
	r.unusedParameters()
	if r.faulty || r.blind || r.diagnostics().HasErrors() {
		return nil
	}
	for _, b := range r.out.Behaviours {
		for _, s := range b.Steps {
			curriculum.AskFullValue(s)
		}
	}
	return r.out
}

func (r *resolver) diagnostics() Diagnostics {
	out := make(Diagnostics, len(r.diag))
	for i, d := range r.diag {
		out[i] = *d
	}
	out.Sort()
	return out
}

// spot is a piece of a source, the statement around it, and where a ladder's argument brought it in from.
type spot struct {
	src     *Source
	span    Span
	context Span
	used    *spot // for an argument: where the ladder uses it
}

func (s spot) pos() curriculum.Pos { return s.src.Pos(s.span.From) }

// ctx is where a statement stands: its source and, in a ladder's body, what the parameters stand for.
type ctx struct {
	src     *Source
	stmt    Span
	params  map[string]*argument
	climb   *spot           // the ladder's name in the climb
	ladder  string          // the ladder's name
	prefix  string          // of `climb ... as PREFIX`
	steps   map[string]bool // the ladder's own steps, which the prefix goes before
	checked bool            // the ladder's body is looked at for itself: arguments are not known
}

// argument is what a ladder's parameter stands for in one climb; a nil value where that is not known.
type argument struct {
	value *value
	at    spot
	used  bool
}

// at is c with stmt as the statement.
func (c *ctx) at(stmt interface{ Span() Span }) *ctx {
	d := *c
	d.stmt = stmt.Span()
	return &d
}

// spot is a piece of the statement c stands at.
func (c *ctx) spot(span Span) spot { return spot{src: c.src, span: span, context: c.stmt} }

func (c *ctx) pos(span Span) curriculum.Pos { return c.src.Pos(span.From) }

// fault reports an error; the same fault at the same place is reported once. The message's help is the entry KEY.help
// of the table, if there is one.
func (r *resolver) fault(at spot, key string, args ...string) *Diagnostic {
	return r.report(Error, at, key, args)
}

func (r *resolver) warn(at spot, key string, args ...string) *Diagnostic {
	return r.report(Warning, at, key, args)
}

func (r *resolver) report(s Severity, at spot, key string, args []string) *Diagnostic {
	d := &Diagnostic{Severity: s, Code: codeIndex().codeOf[key], Source: at.src, Span: at.span, Context: at.context, Message: Message{Key: key, Args: args}}
	if _, ok := messageFormat(key + ".help"); ok {
		d.Help = Message{Key: key + ".help", Args: args}
	}
	if at.used != nil {
		d.Related = append(d.Related, Related{at.used.src, at.used.span, Message{Key: "used-here"}})
	}
	id := faultID{at.src, at.span, key}
	if r.seen[id] {
		return d // looked at before: the caller may still write to it
	}
	r.seen[id] = true
	r.diag = append(r.diag, d)
	return d
}

// relate adds another place to a finding.
func (d *Diagnostic) relate(at spot, key string, args ...string) *Diagnostic {
	d.Related = append(d.Related, Related{at.src, at.span, Message{Key: key, Args: args}})
	return d
}

func (d *Diagnostic) help(key string, args ...string) *Diagnostic {
	d.Help = Message{Key: key, Args: args}
	return d
}

// replace offers to write text for the finding's piece.
func (d *Diagnostic) replace(text string) *Diagnostic {
	d.Edits = append(d.Edits, Edit{d.Span, text})
	return d
}

func sortedKeys[V any](m map[string]V) []string { return slices.Sorted(maps.Keys(m)) }
