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
	s := &scanner{src: p.src, text: p.src.Text, limits: p.limits, report: p.report, first: first, tokens: make([]token, 0, len(p.src.Text)/6+8)}
	s.scan()
	p.truncated = s.truncated
	p.file.remarks = s.remarks
	p.phase()
	tokens, put := mend(s.tokens, p.report)
	p.missing, p.extra = max(0, s.opened+put-s.closed), max(0, s.closed-s.opened-put)
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
	if t.Type == tName || t.Type == tKeyword {
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
	if p.goesOn(l, fault, from, start, end, span) {
		return s, false
	}
	if mended, ok := p.meant(prod, fault, from, start, end, span); ok {
		return mended, p.finishStatement(mended, span)
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
