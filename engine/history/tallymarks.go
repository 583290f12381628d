package history

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// marks reads "behaviour [at STEP] [LEVEL]: marks".
func (b *tallyBook) marks(c *cursor) *slip {
	var base curriculum.Trial
	var bad *slip
	if base.Behaviour, _, bad = b.nameWord(c, "a behaviour"); bad != nil {
		return bad
	}
	if c.space(); strings.HasPrefix(c.s[c.i:], "at ") {
		c.i += len("at ")
		if base.Step, _, bad = b.nameWord(c, "a step's name"); bad != nil {
			return bad
		}
	}
	c.space()
	colon := c.i + colonIn(c.s[c.i:])
	if colon < c.i {
		if _, open := outsideQuotes(c.s); open >= 0 {
			return slipf(open, codeQuote, "the quotation mark opened here is never closed")
		}
		return slipf(c.i, codeTallyLine, "a colon is expected between behaviour and marks, as in settle: + + -")
	}
	if text := strings.TrimRight(strings.TrimLeft(c.s[c.i:colon], ","), " \t"); strings.TrimSpace(text) != "" {
		if bad := addLevelText(&b.names, &base, text, colon-len(c.s[c.i:colon])+strings.Index(c.s[c.i:colon], text)); bad != nil {
			return bad
		}
	}
	c.i = colon + 1
	if c.end() {
		return slipf(colon, codeMark, "marks are missing behind the colon, such as + + -")
	}
	for !c.end() {
		t := base
		t.Level = append(curriculum.LevelRef(nil), base.Level...)
		if bad := b.mark(c, &t); bad != nil {
			return bad
		}
		b.queue = append(b.queue, curriculum.Entry{Trial: t})
	}
	return nil
}

// mark reads one mark and its brackets.
func (b *tallyBook) mark(c *cursor, t *curriculum.Trial) *slip {
	at := c.i
	r, n := utf8.DecodeRuneInString(c.s[c.i:])
	c.i += n
	unnamed := false
	switch {
	case r == '+':
		t.Outcome = curriculum.Success
	case r == 'h', r == 'e':
		t.Outcome, t.Early, unnamed = curriculum.Success, r == 'e', true
	case isDash(r):
		t.Outcome = curriculum.Wrong
	case r == 'o' && c.has("!"):
		t.Outcome = curriculum.OptOut
	case r == '0', r == 'O':
		t.Outcome = curriculum.Silent
	case r == 'x':
		t.Outcome = curriculum.Void
	case r == '?':
	default:
		return badMark(r, at)
	}
	if c.bracket() {
		if bad := b.bracket(c, t, at); bad != nil {
			return bad
		}
	}
	if unnamed && len(t.Help) == 0 {
		t.Help = []string{curriculum.UnnamedHelp}
	}
	if t.Outcome == curriculum.NoOutcome && len(t.Measures) == 0 {
		return slipf(at, codeMark, "? stands for a trial that a measure decides: write the measure behind it, ?(turn 45 deg)")
	}
	return nil
}

// isDash knows the long dashes that telephones and text programs make of a hyphen.
func isDash(r rune) bool {
	return r == '-' || r == '\u2212' || r >= '\u2010' && r <= '\u2015'
}

func badMark(r rune, at int) *slip {
	hint := ""
	switch r {
	case 'o':
		hint = "; silent is 0 or O, an opt-out is o!"
	case 'X', 'H', 'E':
		hint = "; write a small " + string(unicode.ToLower(r))
	case '✓', '✔', '1', 'y', 'Y', '*', '+':
		hint = "; a success is +"
	case '✗', '✘', 'n', 'N', '_':
		hint = "; wrong is -, void is x"
	case ',', ';', '.', '/', '|':
		hint = "; marks need nothing between them"
	case '(':
		hint = "; brackets stand behind their mark"
	case 's', 'S':
		hint = "; silent is 0"
	}
	return slipf(at, codeMark, "%q is no mark%s", string(r), hint)
}

// bracket reads what stands in brackets behind a mark.
func (b *tallyBook) bracket(c *cursor, t *curriculum.Trial, mark int) *slip {
	for {
		if bad := b.bracketItem(c, t); bad != nil {
			return bad
		}
		c.space()
		switch {
		case c.has(","):
		case c.has(")"):
			return nil
		case c.i >= len(c.s):
			return slipf(mark+1, codeBracket, "the bracket opened here is never closed")
		default:
			return slipf(c.i, codeBracket, "a comma or ) is expected here")
		}
	}
}

func (b *tallyBook) bracketItem(c *cursor, t *curriculum.Trial) *slip {
	w, quoted, at, bad := c.word(",)")
	if bad != nil {
		return bad
	}
	if w == "" {
		return slipf(at, codeBracket, "brackets hold measures and help, as in +(latency 1.4 s)")
	}
	switch {
	case quoted:
	case w == "early":
		t.Early = true
		return nil
	case w == "rewarded", w == "unrewarded":
		t.Rewarded = yesNo(w == "rewarded")
		return nil
	case w == "failed":
		t.Failed, _, bad = b.nameWord(c, "the piece that failed")
		return bad
	case w == "note":
		note, _, at, bad := c.word(",)")
		if bad == nil && note == "" {
			bad = slipf(at, codeBracket, `a note's words stand in quotation marks: note "..."`)
		}
		t.Note = note
		return bad
	}
	if r, _ := utf8.DecodeRuneInString(w); !quoted && !unicode.IsLetter(r) {
		return slipf(at, codeBracket, "%s is neither a measure nor a help word; a measure's name stands before its number, and a decimal has a point, as in latency 1.4 s", quoteShort(w))
	}
	name, problem := b.names.name([]byte(w))
	if problem != "" {
		return slipf(at, codeName, "a name %s", problem)
	}
	if c.space(); c.i >= len(c.s) || c.s[c.i] == ',' || c.s[c.i] == ')' {
		if _, measure := b.opts.measureUnit(name); measure && !quoted {
			return slipf(at, codeBracket, "%s is a measure and has no number, as in %s 1.4", name, name)
		}
		t.Help = append(t.Help, name)
		return nil
	}
	return b.measure(c, t, name, at)
}

// measure reads a number, with or without a unit, as the measure's own unit has it.
func (b *tallyBook) measure(c *cursor, t *curriculum.Trial, name string, at int) *slip {
	from := c.i
	for c.i < len(c.s) && c.s[c.i] != ',' && c.s[c.i] != ')' {
		c.i++
	}
	text := strings.TrimSpace(c.s[from:c.i])
	if v, ok := plainNumber(text); ok {
		return addMeasure(t, name, v, at)
	}
	q, ok := curriculum.ParseQuantity(text)
	if !ok {
		return slipf(from, codeNumber, "%s wants a number with or without a unit, such as 1.4 s, not %s", name, quoteShort(text))
	}
	unit, known := b.opts.measureUnit(name)
	if !known {
		unit = q.Unit
	}
	if unit.Dimension() != q.Unit.Dimension() {
		return slipf(from, codeNumber, "%s is not measured in %s", name, quoteShort(string(q.Unit)))
	}
	return addMeasure(t, name, q.In(unit), at)
}

// event reads a line of another kind than marks; word, which is taken already, says which.
func (b *tallyBook) event(c *cursor, word string) *slip {
	var d draft
	var t curriculum.Trial
	var bad *slip
	d.kind = curriculum.EventKind(word)
	switch d.kind {
	case curriculum.NoteTaken:
		return b.note(c)
	case curriculum.HandMove:
		bad = b.move(c, &d, &t)
	default:
		if d.sign, _, bad = b.nameWord(c, "a welfare sign"); bad == nil {
			bad = b.inBehaviour(c, &t)
		}
	}
	if bad == nil {
		bad = b.byAndNote(c, &d, &t)
	}
	if bad != nil {
		return bad
	}
	return b.queueEvent(&d, &t)
}

func (b *tallyBook) queueEvent(d *draft, t *curriculum.Trial) *slip {
	d.given.add(fEvent)
	d.given.add(fAt) // the heading's
	t.Dog = b.head.dog
	e := curriculum.Entry{Trial: *t}
	if bad := d.finish(b.sink, b.in.line, &e); bad != nil {
		return bad
	}
	b.queue = append(b.queue, e)
	return nil
}

// note reads "note [in BEHAVIOUR] words", with or without a colon and quotation marks.
func (b *tallyBook) note(c *cursor) *slip {
	d := draft{kind: curriculum.NoteTaken}
	var t curriculum.Trial
	c.space()
	colon := c.has(":")
	if c.space(); !colon {
		// "in settle" is a behaviour only before quotation marks: "note in the rain" is a sentence
		at := c.i
		if err := b.inBehaviour(c, &t); err != nil || t.Behaviour != "" && (c.end() || c.s[c.i] != '"' && !strings.HasPrefix(c.s[c.i:], "“")) {
			c.i, t.Behaviour = at, ""
		}
	}
	at := c.i
	is, text, bad := c.quotation()
	if bad != nil {
		return bad
	}
	if !is || !c.end() {
		text = strings.TrimSpace(c.s[at:])
	}
	t.Note = text
	return b.queueEvent(&d, &t)
}

// inBehaviour reads "in BEHAVIOUR" where it is next.
func (b *tallyBook) inBehaviour(c *cursor, t *curriculum.Trial) (bad *slip) {
	if c.space(); strings.HasPrefix(c.s[c.i:], "in ") {
		c.i += len("in ")
		t.Behaviour, _, bad = b.nameWord(c, "a behaviour")
	}
	return bad
}

// move reads "BEHAVIOUR to STEP [LEVEL]" or "BEHAVIOUR to kept".
func (b *tallyBook) move(c *cursor, d *draft, t *curriculum.Trial) (bad *slip) {
	if t.Behaviour, _, bad = b.nameWord(c, "a behaviour"); bad != nil {
		return bad
	}
	if c.space(); !c.has("to ") {
		return slipf(c.i, codeTallyLine, "a move says where to: move settle to word-first, or to kept")
	}
	c.space()
	if c.s[c.i:] == "kept" || strings.HasPrefix(c.s[c.i:], "kept ") {
		c.i += len("kept")
		d.kept = true
		return nil
	}
	if t.Step, _, bad = b.nameWord(c, "a step's name"); bad != nil {
		return bad
	}
	c.space()
	from := c.i
	end := len(c.s)
	plain, _ := outsideQuotes(" " + c.s[from:])
	for _, w := range []string{" by ", " note "} {
		if i := strings.Index(plain, w); i >= 0 {
			end = min(end, from+i)
		}
	}
	text := strings.TrimLeft(strings.TrimRight(c.s[from:end], " \t"), ", ")
	c.i = end
	if text == "" {
		return nil
	}
	return addLevelText(&b.names, t, text, from+strings.Index(c.s[from:end], text))
}

// byAndNote reads "[by NAME] [note "..."]"; a name of several words needs no quotation marks.
func (b *tallyBook) byAndNote(c *cursor, d *draft, t *curriculum.Trial) *slip {
	if c.space(); c.has("by ") {
		if c.space(); c.i < len(c.s) {
			is, name, bad := c.quotation()
			if bad != nil {
				return bad
			}
			if !is {
				from, end := c.i, len(c.s)
				if i := strings.Index(c.s[from:], " note "); i >= 0 {
					end = from + i
				}
				name, c.i = strings.TrimSpace(c.s[from:end]), end
			}
			var problem string
			if d.by, problem = b.names.name([]byte(name)); problem != "" {
				return slipf(c.i, codeName, "a person's name %s", problem)
			}
		}
	}
	if c.space(); c.has("note ") {
		c.space()
		at := c.i
		is, text, bad := c.quotation()
		if bad != nil {
			return bad
		}
		if !is || !c.end() {
			text = strings.TrimSpace(c.s[at:])
			c.i = len(c.s)
		}
		t.Note = text
	}
	if !c.end() {
		return slipf(c.i, codeTallyLine, `by NAME or note "..." is expected here`)
	}
	return nil
}
