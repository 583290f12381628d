package dsl

import (
	"example.com/rung/curriculum"
)

// condition makes the criterion of what participle read; false: a fault in it was reported.
func (p *parser) condition(c *condition, span Span) bool {
	if c.Chain == nil {
		return false
	}
	b := &criterionBuilder{parser: p, span: span}
	c.Is = b.chain(c.Chain)
	if b.faulty {
		c.Is = nil
	}
	return !b.faulty
}

// criterionBuilder turns the left-factored grammar of criteria into the criterion types.
type criterionBuilder struct {
	*parser
	span   Span // of the statement
	faulty bool
}

func (b *criterionBuilder) fail(key string, at Span, args ...string) {
	if !b.faulty {
		b.parser.fail(finding{key: key, span: at, context: b.span, args: args}, b.span)
	}
	b.faulty = true
}

func (b *criterionBuilder) chain(c *chain) criterion {
	parts := []criterion{b.term(c.First)}
	for _, j := range c.Rest {
		if j.Word.Value != c.Rest[0].Word.Value {
			b.fail("and-or", spanOf(j.Word), c.Rest[0].Word.Value, j.Word.Value)
		}
		parts = append(parts, b.term(j.Term))
	}
	switch {
	case len(parts) == 1:
		return parts[0]
	case c.Rest[0].Word.Value == "and":
		return &andCriterion{spanned{c.Span()}, parts}
	}
	return &orCriterion{spanned{c.Span()}, parts}
}

func (b *criterionBuilder) term(t *term) criterion {
	if t == nil || t.Primary == nil {
		b.faulty = true
		return nil
	}
	if most := b.limits.nesting; len(t.Nots) > most || len(t.Suffixes) > most { // each is a layer around the criterion
		b.fail("nesting", t.Primary.Span(), itoa(most))
		return nil
	}
	c := b.suffixed(t)
	for i := len(t.Nots) - 1; i >= 0; i-- {
		c = &notCriterion{spanned{Span{t.Nots[i].Span().From, t.Span().To}}, c}
	}
	return c
}

// suffixed is a primary with what goes on it.
func (b *criterionBuilder) suffixed(t *term) criterion {
	from := t.Primary.Span().From
	rest := t.Suffixes
	c := b.primary(t.Primary, &rest)
	for len(rest) > 0 {
		s := &rest[0]
		rest = rest[1:]
		span := Span{from, s.Span().To}
		switch {
		case s.In != nil && s.In.Session != nil:
			c = &inSessionCriterion{spanned{span}, c, s.Span()}
		case s.In != nil && s.In.N != nil:
			over, ok := b.over(s.In)
			if !ok {
				b.fail("in-what", s.Span())
			}
			in, row := s.Span(), takeRow(&rest, &span)
			c = &repeatedCriterion{spanned{span}, c, *s.In.N, over, row, Span{in.From, span.To}}
		case s.In != nil:
			b.fail("in-a-row", s.Span())
		case s.Twice != nil:
			b.fail("twice", s.Span())
		default:
			b.fail("qualifier", s.Span(), spelled(s))
		}
	}
	return c
}

// takeRow takes `in a row` off rest where it is next, and makes the span reach to its end.
func takeRow(rest *[]suffix, span *Span) bool {
	if len(*rest) == 0 || (*rest)[0].In == nil || (*rest)[0].In.Row == nil {
		return false
	}
	span.To = (*rest)[0].Span().To
	*rest = (*rest)[1:]
	return true
}

// spelled is the first word of a qualifier.
func spelled(s *suffix) string { return s.Tokens[0].Value }

func (b *criterionBuilder) over(in *inWords) (curriculum.Over, bool) {
	if in.Over == nil {
		return curriculum.Days, in.N.Unit == "days" || in.N.Unit == "day"
	}
	switch in.Over.Value {
	case "places", "place":
		return curriculum.Places, in.N.Unit == ""
	case "handlers", "handler":
		return curriculum.Handlers, in.N.Unit == ""
	}
	return curriculum.Sessions, in.N.Unit == ""
}

// primary is a criterion with those of the suffixes that belong to it, which it takes off rest.
func (b *criterionBuilder) primary(p *primary, rest *[]suffix) criterion {
	at := spanned{p.Span()}
	switch {
	case p.Bracket != nil:
		return b.chain(p.Bracket)
	case p.Holds != nil:
		return &holdsCriterion{at, p.Holds}
	case p.Bound != nil && p.Bound.Most != nil:
		return b.head(p.Bound.Most, at.span.From, true, rest)
	case p.Bound != nil && p.Bound.Least != nil:
		return &confidenceCriterion{at, *p.Bound.Least, p.Bound.Confidence, p.Bound.N}
	case p.Done != nil:
		return &doneCriterion{at, p.Done.value()}
	case p.Eased != nil:
		return &easedCriterion{at, p.Eased.value()}
	case p.First != nil:
		return b.firstTrial(at, rest)
	case p.Sequential != nil:
		return &sequentialCriterion{at, p.Sequential.Low, p.Sequential.High, p.Sequential.Up, p.Sequential.Down}
	case p.Stat != nil:
		return &statisticCriterion{at, curriculum.Stat(p.Stat.Stat.Value), p.Stat.Measure, p.Stat.N, p.Stat.Op.Value, spanOf(p.Stat.Op), p.Stat.Value}
	case p.After != nil:
		return b.after(p.After, at)
	case p.Head != nil:
		return b.head(p.Head, at.span.From, false, rest)
	}
	b.faulty = true
	return nil
}

func (t *times) value() value {
	if t.Twice != nil {
		return value{Number: "2", Span: spanOf(*t.Twice)}
	}
	return *t.N
}

func (b *criterionBuilder) firstTrial(at spanned, rest *[]suffix) criterion {
	if len(*rest) == 0 || (*rest)[0].In == nil || (*rest)[0].In.N == nil {
		b.fail("first-trial", at.span)
		return nil
	}
	in := (*rest)[0].In
	if over, ok := b.over(in); !ok || over != curriculum.Sessions {
		b.fail("first-trial", (*rest)[0].Span())
	}
	at.span.To = (*rest)[0].Span().To
	*rest = (*rest)[1:]
	row := takeRow(rest, &at.span)
	return &firstTrialCriterion{at, *in.N, row}
}

func (b *criterionBuilder) after(a *after, at spanned) criterion {
	c := &afterCriterion{spanned: at, N: a.N, AtStep: a.AtStep != nil}
	switch {
	case a.Trials != nil:
		c.Unit = curriculum.AfterTrials
	case a.Sessions != nil:
		c.Unit = curriculum.AfterSessions
	case a.N.Unit == "day" || a.N.Unit == "days":
		c.Unit = curriculum.AfterDays
		return c
	default:
		b.fail("after-what", at.span)
	}
	if a.N.Unit != "" {
		b.fail("after-what", a.N.UnitSpan)
	}
	return c
}

var countedWords = map[string]curriculum.Counted{"misses": curriculum.Misses, "miss": curriculum.Misses, "wrong": curriculum.WrongOnes,
	"silent": curriculum.Silents, "helped": curriculum.HelpedOnes, "opt-outs": curriculum.OptOuts, "opt-out": curriculum.OptOuts}

// isCounted reports whether a word names what a window counts, other than successes.
func isCounted(word string) bool { _, ok := countedWords[word]; return ok }

// head is a criterion that begins with a number, a share or a name.
func (b *criterionBuilder) head(h *head, from int, atMost bool, rest *[]suffix) criterion {
	at := spanned{Span{from, h.Span().To}}
	count, countSpan := curriculum.Successes, Span{}
	if h.Count != nil {
		count, countSpan = countedWords[h.Count.Value], spanOf(*h.Count)
	}
	next := func() *suffix {
		if len(*rest) == 0 {
			return nil
		}
		return &(*rest)[0]
	}
	take := func() {
		at.span.To = next().Span().To
		*rest = (*rest)[1:]
	}
	switch {
	case h.Of != nil && h.Of.MinTrials != nil:
		c := &sessionShareCriterion{Share: h.K, MinTrials: *h.Of.MinTrials}
		if h.Count != nil || atMost {
			b.fail("session-share", at.span)
		}
		c.Qualify = b.qualifiers(rest, &at)
		if s := next(); s != nil && s.In != nil && s.In.N != nil {
			if over, ok := b.over(s.In); !ok || over != curriculum.Sessions {
				b.fail("share-in", s.Span())
			}
			c.N = s.In.N
			take()
			c.InARow = takeRow(rest, &at.span)
		}
		c.spanned = at
		return c
	case h.Of != nil && h.Of.N != nil:
		c := &windowCriterion{K: h.K, AtMost: atMost, Count: count, CountSpan: countSpan, N: *h.Of.N}
		if h.Of.Kind != nil && h.Of.Kind.Value == "each" {
			c.Kind = eachWindow
		}
		if s := next(); s != nil && s.Twice != nil {
			c.Twice = s.Span()
			if c.Kind != eachWindow {
				b.fail("twice", s.Span())
			}
			take()
		}
		c.Qualify = b.qualifiers(rest, &at)
		c.spanned = at
		return c
	}
	if s := next(); s != nil && s.In != nil && s.In.Row != nil {
		c := &windowCriterion{K: h.K, AtMost: atMost, Count: count, CountSpan: countSpan, Kind: inARowWindow}
		if atMost {
			b.fail("at-most-row", at.span)
		}
		take()
		c.Qualify = b.qualifiers(rest, &at)
		c.spanned = at
		return c
	}
	if h.Count != nil || atMost {
		return b.inSessionCount(h, at, atMost, count, countSpan, rest)
	}
	if h.K.Name == "" {
		b.fail("count-alone", h.K.Span, b.src.Text[h.K.Span.From:h.K.Span.To])
		return nil
	}
	return &namedCriterion{at, name{h.K.Name, h.K.Span}}
}

// inSessionCount is "2 misses in this session".
func (b *criterionBuilder) inSessionCount(h *head, at spanned, atMost bool, count curriculum.Counted, countSpan Span, rest *[]suffix) criterion {
	c := &inSessionCountCriterion{N: h.K, AtMost: atMost, Count: count, CountSpan: countSpan}
	c.Qualify = b.qualifiers(rest, &at)
	if len(*rest) == 0 || (*rest)[0].In == nil || (*rest)[0].In.Session == nil || h.Count == nil {
		b.fail("count-alone", Span{h.K.Span.From, h.Span().To}, b.src.Text[h.K.Span.From:h.Span().To])
		return nil
	}
	at.span.To = (*rest)[0].Span().To
	*rest = (*rest)[1:]
	q := b.qualifiers(rest, &at)
	if q != (qualifiers{}) && c.Qualify != (qualifiers{}) {
		b.fail("qualifier-again", at.span)
	} else if q != (qualifiers{}) {
		c.Qualify = q
	}
	c.spanned = at
	return c
}

// qualifiers takes the qualifiers at the beginning of rest.
func (b *criterionBuilder) qualifiers(rest *[]suffix, at *spanned) (q qualifiers) {
	for len(*rest) > 0 {
		s := &(*rest)[0]
		again := false
		switch {
		case s.EvenHelped != nil:
			again = q.EvenHelped != (Span{})
			q.EvenHelped = s.Span()
		case s.Within != nil:
			again = q.Within != nil
			q.Within = s.Within
		case s.Holding != nil:
			again = q.Holding != nil
			q.Holding = s.Holding
		case s.Where != nil:
			again = q.Where != nil
			q.Where = s.Where
		case s.Among != nil:
			again = q.Among != nil
			q.Among = s.Among
		case s.Full != nil:
			again = q.Among != nil
			q.Among = &braces{Text: curriculum.FullValue, Span: s.Span(), Inner: s.Span()}
		default:
			return q
		}
		if again {
			b.fail("qualifier-again", s.Span(), spelled(s))
		}
		at.span.To = s.Span().To
		*rest = (*rest)[1:]
	}
	return q
}

// parseCriterion reads a criterion that stands by itself, such as one given on a command line.
func parseCriterion(text string, opts ...Option) (*File, criterion, Diagnostics) {
	p := newParser(NewSource("criterion", text), newLimits(opts))
	p.scan("criterion")
	p.file.tokens = p.tokens
	end := p.statementEnd(0)
	span := Span{0, len(text)}
	c, err := language().condition(p.lex)
	if f := p.fault(err, nil, end); f != nil || end == 0 {
		if !p.reportedIn(span) {
			if end == 0 {
				p.report(finding{key: "expected", span: span, args: []string{wantedNames["condition"], "nothing"}})
			} else {
				p.report(p.expected(f, 0, end, span))
			}
		}
		return p.file, nil, p.finish()
	}
	p.condition(c, span)
	return p.file, c.Is, p.finish()
}
