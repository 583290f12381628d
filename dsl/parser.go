package dsl

import (
	"errors"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"
)

// Parse reads a text. The file is never nil: it holds every statement that could be read. All faults are found in one
// run, one finding for each; names are not looked up here (see Resolve).
func Parse(name string, src []byte, opts ...Option) (*File, Diagnostics) {
	l := newLimits(opts)
	p := newParser(NewSource(name, string(src)), l)
	if len(src) > l.fileBytes {
		p.report(finding{key: "file-long", args: []string{itoa(l.fileBytes)}})
		return p.file, p.finish()
	}
	p.scan("")
	p.file.tokens = p.tokens
	p.block(&level{place: atTop})
	p.version()
	return p.file, p.finish()
}

// parser is the loop over statements. It reads each with participle, and after a fault goes on at the next.
type parser struct {
	*reporter
	src  *Source
	file *File

	lex    *lexer.PeekingLexer
	tokens []token // lex's own, so that a mended token is seen by both

	missing   int  // more { than }: so many } are missing
	extra     int  // more } than {
	truncated bool // the text was not read to its end: what is open stays unreported
	versions  []*versionStmt
}

// level is a block that is being read.
type level struct {
	place  place
	outer  *level
	opener Span // of the block's first line, for reports
	at     int  // offset of its first word
	indent int
	body   *[]statement
	close  *Span
	last   *level // the last block closed in it
}

func newParser(src *Source, l limits) *parser {
	return &parser{reporter: newReporter(src, l), src: src, file: &File{Source: src, lost: map[string]bool{}}}
}

// scan makes tokens of the text; first is the word the text is taken to follow, for texts that are no whole file.
func (p *parser) scan(first string) {
	s := &scanner{src: p.src, text: p.src.Text, limits: p.limits, report: p.report, first: first}
	s.scan()
	p.missing, p.extra = max(0, s.opened-s.closed), max(0, s.closed-s.opened)
	p.truncated = s.truncated
	p.file.remarks = s.remarks
	p.phase()
	tokens := mend(s.tokens, p.report)
	p.phase()
	lex, _ := lexer.Upgrade(&tokenSlice{tokens: tokens}) // tokenSlice never fails
	p.lex, p.tokens = lex, lex.Range(0, lexer.RawCursor(len(tokens)))
}

func (p *parser) peek() token { return *p.lex.Peek() }

func (p *parser) index() int { return int(p.lex.RawCursor()) }

// skipTo goes on to the token of that index, which is ahead.
func (p *parser) skipTo(i int) {
	for p.index() < i && p.lex.Peek().Type != tEOF {
		p.lex.Next()
	}
}

// statementEnd is the index of the token that ends the statement at token i: an end, a }, a { (which is part of the
// statement), or the end of the file.
func (p *parser) statementEnd(i int) int {
	for ; ; i++ {
		t := p.tokens[i]
		if t.Type == tEnd || t.Type == tEOF || t.Type == tPunct && (t.Value == "{" || t.Value == "}") {
			return i
		}
	}
}

func isPunct(t token, v string) bool { return t.Type == tPunct && t.Value == v }

// firstOnLine reports whether nothing stands before the token on its line.
func (p *parser) firstOnLine(t token) bool {
	line := p.src.starts[p.src.lineOf(t.Pos.Offset)]
	return strings.TrimLeft(strings.TrimPrefix(p.src.Text[line:t.Pos.Offset], byteOrderMark), " \t") == ""
}

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

// statement reads one statement and, where it has one, its block.
func (p *parser) statement(l *level) {
	start := p.index()
	t := p.tokens[start]
	end := p.statementEnd(start)
	if start == end { // a { where a statement should begin
		p.report(finding{key: "brace-stray", span: spanOf(t)})
		p.skipBlock()
		return
	}
	span := Span{t.Pos.Offset, spanOf(p.tokens[end-1]).To}
	p.contexts = append(p.contexts, span)
	prod, at, keep := p.production(l, t, span)
	if prod == nil {
		p.lose(start, end)
		p.skipTo(end)
		if isPunct(p.peek(), "{") {
			p.skipBlock()
		}
		return
	}
	s, ok := p.read(prod, l, start, end, span)
	if b, opens := p.opens(s, ok, start, end, at); b != nil {
		inner := &level{place: opens, outer: l, opener: Span{span.From, span.To}, at: span.From, indent: indentOf(p.src, span.From), body: &b.Body, close: &b.Close}
		ok = true // a block counts though its first line is faulty
		p.block(inner)
		l.last = inner
	}
	for o := l; ok && o != nil; o = o.outer { // a misplaced one goes where it may stand, if it is in such a block
		if o == l && keep || o != l && !keep && o.place == at {
			p.add(o, s)
			return
		}
	}
}

// add puts a statement into the tree.
func (p *parser) add(l *level, s statement) {
	if v, ok := s.(*versionStmt); ok {
		p.versions = append(p.versions, v)
		return
	}
	if l.place == atTop {
		p.file.body = append(p.file.body, s)
		return
	}
	*l.body = append(*l.body, s)
}

// production finds what the statement at t is, and reports it where that is nothing that may stand here. keep says
// whether it goes into the tree.
func (p *parser) production(l *level, t token, span Span) (prod *production, at place, keep bool) {
	lang := language()
	if l.place == inExample && p.isTally() {
		return lang.tally, l.place, true
	}
	if prod := lang.at[l.place][t.Value]; prod != nil && t.Type != tString {
		return prod, l.place, true
	}
	quiet := p.reportedIn(span)
	// a statement of another place
	if t.Type == tName || t.Type == tKeyword {
		for at := atTop; at <= inExample; at++ {
			if prod := lang.at[at][t.Value]; prod != nil && t.Value != "at" && t.Value != "after" {
				if !quiet {
					p.report(finding{key: "misplaced", span: spanOf(t), context: span, args: []string{t.Value, placesOf(t.Value), placeNames[l.place]}})
				}
				return prod, at, false
			}
		}
	}
	words := statementWords[l.place]
	if t.Type == tName {
		opens := isPunct(p.tokens[p.statementEnd(p.index())], "{")
		words := slices.DeleteFunc(slices.Clone(words), func(w string) bool { _, block := blockWords[w]; return block != opens })
		if near := curriculum.Nearest(t.Value, words); near != "" {
			if !quiet {
				p.report(finding{key: "word-unknown", span: spanOf(t), context: span, args: []string{t.Value, placeNames[l.place], near},
					help: "did-you-mean", helpArgs: []string{near}, edits: []Edit{{spanOf(t), near}}})
			}
			p.tokens[p.index()].Value, p.tokens[p.index()].Type = near, wordType(near)
			return lang.at[l.place][near], l.place, true
		}
	}
	if t.Type == tNumber && l.place == atTop && len(p.file.body) == 0 && len(p.versions) == 0 {
		return nil, l.place, false // the version without its word: reported as missing
	}
	if !quiet {
		f := finding{key: "word-unknown", span: spanOf(t), context: span, args: []string{found(t), placeNames[l.place]},
			help: "statements", helpArgs: []string{placeNames[l.place], listOf(words)}}
		if l.place == inExample {
			f.help = "statements-example"
		}
		p.report(f)
	}
	return nil, l.place, false
}

// placesOf says where a statement may stand.
func placesOf(word string) string {
	var in []string
	for at := atTop; at <= inExample; at++ {
		if allowed(at, word) {
			in = append(in, placeNames[at])
		}
	}
	return strings.Join(in, " or ")
}

// read reads the statement in tokens start to end. ok is false where it was faulty; s is then what could be read.
func (p *parser) read(prod *production, l *level, start, end int, span Span) (s statement, ok bool) {
	from := p.lex.MakeCheckpoint()
	s, err := prod.read(p.lex)
	if err != nil && (p.full() || p.reportedIn(span)) { // wording it would be wasted
		p.lose(start, end)
		p.skipTo(end)
		return s, false
	}
	fault := p.fault(err, s, end)
	if fault == nil {
		return s, p.finishStatement(s, span)
	}
	if mended, ok := p.meant(prod, fault, from, end, span); ok {
		return mended, p.finishStatement(mended, span)
	}
	if p.goesOn(l, fault, from, start, end, span) {
		return s, false
	}
	if !p.reportedIn(span) {
		p.report(p.expected(fault, start, end, span))
	}
	p.lose(start, end)
	if p.index() < end {
		p.skipTo(end)
	}
	return s, false
}

// fault is where a statement went wrong: the index of the token and what should stand there, in participle's words.
type fault struct {
	index int
	want  string // "" where the statement should have ended
}

// fault looks at what came of reading a statement.
func (p *parser) fault(err error, s statement, end int) *fault {
	if err == nil {
		if t := p.peek(); p.index() >= end && !isPunct(t, "{") || isBlock(s) {
			return nil
		}
		return &fault{index: p.index()}
	}
	f := &fault{index: p.index()}
	var perr participle.Error
	if errors.As(err, &perr) {
		f.want = "?"
		if _, want, ok := strings.Cut(perr.Message(), "(expected "); ok {
			f.want = strings.TrimSuffix(want, ")")
		}
		var unexpected *participle.UnexpectedTokenError
		if errors.As(err, &unexpected) {
			for i := max(0, f.index-3); i < len(p.tokens); i++ {
				if p.tokens[i].Pos == unexpected.Unexpected.Pos && p.tokens[i].Type == unexpected.Unexpected.Type {
					f.index = i
					break
				}
			}
		}
	}
	f.index = min(f.index, end)
	return f
}

// meant tries the nearest word of the statement's grammar in the place of a word that does not fit, or of the name just
// before it, which may have been taken for a parameter.
func (p *parser) meant(prod *production, f *fault, from lexer.Checkpoint, end int, span Span) (statement, bool) {
	after := p.lex.MakeCheckpoint()
	for i := f.index; i >= f.index-1 && i >= int(from.RawCursor()); i-- {
		t := p.tokens[i]
		if t.Type != tName || i == end {
			continue
		}
		near := ""
		if i == f.index {
			near = curriculum.Nearest(t.Value, wantedWords(f.want))
		}
		if near == "" {
			near = curriculum.Nearest(t.Value, prod.words)
		}
		if near == "" {
			continue
		}
		p.lex.LoadCheckpoint(from)
		p.tokens[i].Value, p.tokens[i].Type = near, wordType(near)
		s, err := prod.read(p.lex)
		if p.fault(err, s, end) != nil {
			p.tokens[i] = t
			p.lex.LoadCheckpoint(after)
			continue
		}
		if !p.reportedIn(span) {
			p.report(finding{key: "word-spelled", span: spanOf(t), context: span, args: []string{near, t.Value}, edits: []Edit{{spanOf(t), near}}})
		}
		return s, true
	}
	return nil, false
}

// goesOn handles a list that ends in a comma before a line that begins another statement: the comma is the fault, and
// the next line is read for itself.
func (p *parser) goesOn(l *level, f *fault, from lexer.Checkpoint, start, end int, span Span) bool {
	for i := min(f.index, end); i > start+1; i-- {
		t, before := p.tokens[i], p.tokens[i-1]
		if !isPunct(before, ",") || !p.firstOnLine(t) || i >= end && !isPunct(t, "{") {
			continue
		}
		fits := false
		for o := l; o != nil; o = o.outer {
			fits = fits || allowed(o.place, t.Value)
		}
		if !fits {
			continue
		}
		if !p.reportedIn(span) {
			p.report(finding{key: "comma-last", span: spanOf(before), context: Span{span.From, spanOf(before).To}, edits: []Edit{{spanOf(before), ""}}})
		}
		p.lose(start, i)
		p.lex.LoadCheckpoint(from)
		p.skipTo(i)
		return true
	}
	return false
}

// isBlock reports whether the statement's own grammar ends with its {.
func isBlock(s statement) bool {
	return blockOf(s) != nil && !isChain(s) || isChain(s) && s.(*chainStmt).Open != nil
}

func isChain(s statement) bool { _, ok := s.(*chainStmt); return ok }

func blockOf(s statement) *block {
	switch s := s.(type) {
	case *curriculumStmt:
		return &s.block
	case *ladderStmt:
		return &s.block
	case *behaviourStmt:
		return &s.block
	case *sessionStmt:
		return &s.block
	case *exampleStmt:
		return &s.block
	case *stepStmt:
		return &s.block
	case *changeStmt:
		return &s.block
	case *chainStmt:
		return &s.block
	}
	return nil
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

// lose remembers the names in a statement that could not be read.
func (p *parser) lose(start, end int) {
	for _, t := range p.tokens[start:end] {
		p.file.loseToken(t)
	}
}

func (f *File) loseToken(t token) {
	if t.Type == tName {
		f.lost[t.Value] = true
	}
}

// version checks that the file says, first of all, which language it is in.
func (p *parser) version() {
	first := Span{}
	if i := slices.IndexFunc(p.tokens, func(t token) bool { return t.Type != tEnd && t.Type != tEOF }); i >= 0 {
		first = spanOf(p.tokens[i])
	}
	for i, v := range p.versions {
		switch {
		case i > 0:
			p.report(finding{key: "version-again", span: v.Span(), related: []Related{{p.src, p.versions[0].Span(), Message{Key: "version-again.related"}}}})
		case v.Version.Number != "1" || v.Version.Unit != "":
			p.report(finding{key: "version-unknown", span: v.Version.Span, args: []string{p.src.Text[v.Version.Span.From:v.Version.Span.To]}})
		case v.Span().From != first.From:
			p.report(finding{key: "version-late", span: v.Span()})
		}
	}
	if len(p.versions) > 0 {
		p.file.version = p.versions[0]
	} else if !p.truncated && !(p.file.lost["rung"]) {
		at := min(first.From, len(p.src.Text))
		p.report(finding{key: "version-missing", span: first, edits: []Edit{{Span{at, at}, "rung 1\n"}}})
	}
}
