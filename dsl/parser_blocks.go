package dsl

import "strings"

// block reads statements up to the block's closing brace, or the end of the file.
func (p *parser) block(l *level) {
	for {
		t := p.peek()
		switch {
		case t.Type == tEnd:
			p.lex.Next()
			continue
		case t.Type == tEOF:
			if l.place != atTop {
				p.unclosed(l, Span{t.Pos.Offset, t.Pos.Offset})
			}
			return
		case isPunct(t, "}"):
			if p.closing(l, t) {
				return
			}
			continue
		case l.place != atTop && p.belongsOutside(l, t):
			p.unclosed(l, spanOf(t))
			return
		case p.reopens(l, t):
			p.block(l.last)
			continue
		case p.extra > 0:
			if at, ok := p.headless(l, t); ok {
				p.extra--
				p.report(finding{key: "header-missing", span: spanOf(t), args: []string{t.Value, placeNames[at]}})
				inner := &level{place: at, outer: l, opener: spanOf(t), at: t.Pos.Offset, indent: max(0, indentOf(p.src, t.Pos.Offset)-indentStep),
					body: &[]statement{}, close: &Span{}}
				p.block(inner)
				continue
			}
		}
		before := p.index()
		p.statement(l)
		if p.index() == before {
			p.lex.Next() // never stand still
		}
	}
}

// closing takes a }; true means that it ends the block.
func (p *parser) closing(l *level, t token) bool {
	indented := p.firstOnLine(t) && p.src.lineOf(t.Pos.Offset) != p.src.lineOf(l.at)
	indent := indentOf(p.src, t.Pos.Offset)
	switch {
	case l.place == atTop, p.extra > 0 && indented && indent > l.indent:
		p.report(finding{key: "close-extra", span: spanOf(t), edits: []Edit{{spanOf(t), ""}}})
		p.extra = max(0, p.extra-1)
		p.lex.Next()
		return false
	case p.missing > 0 && indented && indent < l.indent:
		p.unclosed(l, spanOf(t))
		return true
	}
	*l.close = spanOf(t)
	p.lex.Next()
	return true
}

// belongsOutside reports whether the statement at t shows that the block before it lacks its }.
func (p *parser) belongsOutside(l *level, t token) bool {
	if p.missing == 0 {
		return false
	}
	inside, outside := p.fits(l.place, t), false
	for o := l.outer; o != nil; o = o.outer {
		outside = outside || p.fits(o.place, t)
	}
	return outside && (!inside || p.firstOnLine(t) && indentOf(p.src, t.Pos.Offset) <= l.indent)
}

// fits reports whether a statement that begins with t may stand at a place.
func (p *parser) fits(at place, t token) bool {
	if at == inExample && p.isTally() {
		return true
	}
	if t.Value == "sign" && (at == atTop || at == inExample) { // declared at the top level, seen in an example
		declares := false
		for _, u := range p.tokens[p.index():p.statementEnd(p.index())] {
			declares = declares || u.Value == "locks" || u.Value == "ends"
		}
		return declares == (at == atTop)
	}
	if t.Value == "session" && (at == atTop || at == inExample) { // a block at the top level, a line in an example
		next := p.tokens[min(p.index()+1, len(p.tokens)-1)]
		if at == atTop {
			return next.Value != "in" && next.Value != "after" && next.Value != "with"
		}
		return !isPunct(p.tokens[p.statementEnd(p.index())], "{")
	}
	return allowed(at, t.Value)
}

// isTally reports whether the statement ahead is a trial line: a name, then : or at.
func (p *parser) isTally() bool {
	i := p.index()
	t := p.tokens[i]
	if t.Type != tName || i+1 >= len(p.tokens) {
		return false
	}
	next := p.tokens[i+1]
	return isPunct(next, ":") || next.Type == tKeyword && next.Value == "at"
}

// reopens reports whether the statement at t belongs to the block closed just before, whose } came too early.
func (p *parser) reopens(l *level, t token) bool {
	if l.last == nil || p.extra == 0 || !p.fits(l.last.place, t) || p.fits(l.place, t) && indentOf(p.src, t.Pos.Offset) <= l.last.indent {
		return false
	}
	p.extra--
	p.report(finding{key: "close-early", span: *l.last.close, edits: []Edit{{*l.last.close, ""}},
		related: []Related{{p.src, spanOf(t), Message{Key: "close-early.related"}}}})
	return true
}

// headless reports whether the statement at t must be the first of a block whose first line is missing: it may not stand
// here nor further out, and there is a } too many for the text.
func (p *parser) headless(l *level, t token) (at place, ok bool) {
	if p.fits(l.place, t) || t.Type != tName && t.Type != tKeyword {
		return 0, false
	}
	for o := l.outer; o != nil; o = o.outer {
		if p.fits(o.place, t) {
			return 0, false
		}
	}
	for at := inCurriculum; at <= inExample; at++ {
		if p.fits(at, t) {
			return at, true
		}
	}
	return 0, false
}

// unclosed reports a block without its }, found out at a place.
func (p *parser) unclosed(l *level, at Span) {
	p.missing = max(0, p.missing-1)
	*l.close = Span{at.From, at.From}
	if p.truncated {
		return
	}
	line, _ := p.src.Position(at.From)
	f := finding{key: "brace-missing", span: l.opener, args: []string{firstWord(p.src.Text[l.opener.From:l.opener.To]), itoa(line)}}
	if at.From == at.To {
		f.key = "brace-missing-end"
	} else {
		f.related = []Related{{p.src, at, Message{Key: "brace-missing.related"}}}
	}
	p.report(f)
}

func firstWord(s string) string {
	w, _, _ := strings.Cut(s, " ")
	return w
}

// isBlock reports whether the statement's own grammar ends with its {.
func isBlock(s statement) bool {
	return blockOf(s) != nil && !isChain(s) || isChain(s) && s.(*chainStmt).Open != nil
}

func isChain(s statement) bool { _, ok := s.(*chainStmt); return ok }

// blockOf is the block of a statement that has one.
func blockOf(s statement) *block {
	_, b := blockParts(s)
	return b
}

func blockParts(s statement) (*node, *block) {
	switch s := s.(type) {
	case *curriculumStmt:
		return &s.node, &s.block
	case *ladderStmt:
		return &s.node, &s.block
	case *behaviourStmt:
		return &s.node, &s.block
	case *sessionStmt:
		return &s.node, &s.block
	case *exampleStmt:
		return &s.node, &s.block
	case *stepStmt:
		return &s.node, &s.block
	case *changeStmt:
		return &s.node, &s.block
	case *chainStmt:
		return &s.node, &s.block
	}
	return nil, nil
}

// opens decides whether a block follows the statement, and goes past its {.
func (p *parser) opens(s statement, ok bool, start, end int, at place) (*block, place) {
	b := blockOf(s)
	if b == nil {
		if isPunct(p.peek(), "{") { // a block behind a statement that has none: reported, and left out
			p.skipBlock()
		}
		return nil, at
	}
	inside := blockWords[p.tokens[start].Value]
	if at == inExample {
		return nil, at
	}
	if ok {
		if isChain(s) && s.(*chainStmt).Open == nil {
			return p.chainBody(b, end)
		}
		return b, inside
	}
	if n, _ := blockParts(s); len(n.Tokens) == 0 { // participle gives up before it notes them
		n.Tokens = p.tokens[start:end]
	}
	t := p.peek()
	if isPunct(t, "{") {
		p.lex.Next()
		return b, inside
	}
	// no { on the line: is there a block all the same?
	if t.Type == tEnd && p.extra > 0 {
		p.extra--
		return b, inside
	}
	return nil, at
}

// chainBody finds out whether a chain without { has a body all the same: then its { is missing.
func (p *parser) chainBody(b *block, end int) (*block, place) {
	for next := end; p.extra > 0 && next < len(p.tokens); next++ {
		t := p.tokens[next]
		if t.Type == tEnd {
			continue
		}
		if !allowed(inStep, t.Value) || allowed(inBehaviour, t.Value) && allowed(inLadder, t.Value) {
			break
		}
		p.extra--
		at := spanOf(p.tokens[end-1]).To
		p.report(finding{key: "expected", span: Span{at, at}, args: []string{quoted("{"), "the end of the line"}})
		return b, inStep
	}
	return nil, atTop
}

// skipBlock goes past a { and its }.
func (p *parser) skipBlock() {
	depth := 0
	for {
		t := p.peek()
		switch {
		case t.Type == tEOF:
			return
		case isPunct(t, "{"):
			depth++
		case isPunct(t, "}"):
			depth--
		}
		p.file.loseToken(t)
		p.lex.Next()
		if depth <= 0 {
			return
		}
	}
}
