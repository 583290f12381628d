package dsl

import (
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"github.com/alecthomas/participle/v2/lexer"
)

// Where a statement does not fit its grammar, the slips that people make are tried one after another: the statement is
// read again with the slip undone, and the first that makes it fit is reported and read on as if it had been written
// right.

// slip is one kind of mistake.
type slip struct {
	// undo gives the statement's tokens without the slip at s.at, and its report; nil where it is none of this kind.
	undo func(s *slipped) ([]token, finding)
	// sure: reported also where another mistake follows in the statement.
	sure bool
}

// slips in the order in which they are tried.
var slips = []slip{
	{undo: otherWord}, {undo: otherWordBefore, sure: true}, {undo: filler}, {undo: fillerBefore}, {undo: unknownUnit, sure: true}, {undo: nearWord}, {undo: nearWordBefore}, {undo: strayPunct},
	{undo: bareText}, {undo: quotedName, sure: true}, {undo: missingWord}, {undo: spacedName}, {undo: missingComma, sure: true},
}

const (
	maxSlipTokens = 2000 // of a statement in which slips are tried: each try reads it anew
	maxSlipsAlike = 16   // of one kind in a statement, such as the commas of a list
)

// slipped is a statement that does not fit at a token.
type slipped struct {
	src    *Source
	prod   *production
	tokens []token // up to the statement's end, and that
	at     int
	want   string // see fault
}

// wants reports whether one of those productions or leaves could stand there.
func (s *slipped) wants(leaves ...string) bool {
	return slices.ContainsFunc(firstOf(s.want), func(w string) bool { return slices.Contains(leaves, strings.ToLower(w)) })
}

func (s *slipped) token() token  { return s.tokens[s.at] }
func (s *slipped) end() int      { return len(s.tokens) - 1 }
func (s *slipped) first() string { return s.tokens[0].Value }

// before is the token before the one that does not fit.
func (s *slipped) before() token {
	if s.at == 0 {
		return token{}
	}
	return s.tokens[s.at-1]
}

// raw is the text of the tokens from i to j, j excluded.
func (s *slipped) raw(i, j int) string {
	return s.src.Text[s.tokens[i].Pos.Offset:spanOf(s.tokens[j-1]).To]
}

// with has other tokens in the place of those from i to j.
func (s *slipped) with(i, j int, other ...token) []token {
	return slices.Concat(s.tokens[:i], other, s.tokens[j:])
}

// as is a token of another kind for the text of the tokens from i to j.
func (s *slipped) as(i, j int, kind lexer.TokenType, value string) token {
	span := s.span(i, j)
	return token{Type: kind, Value: value, Pos: lexer.Position{Offset: span.From, Column: span.To - span.From}}
}

func (s *slipped) span(i, j int) Span {
	return Span{s.tokens[i].Pos.Offset, spanOf(s.tokens[j-1]).To}
}

// meant finds the slip that makes the statement fit, or at least the piece of it up to the next mistake.
func (p *parser) meant(prod *production, f *fault, from lexer.Checkpoint, start, end int, span Span) (statement, bool) {
	if end-start > maxSlipTokens || f.index <= start || p.spoilt[p.src.lineOf(span.From)] {
		return nil, false
	}
	tokens := append(slices.Clip(p.tokens[start:end]), p.tokens[end])
	for _, kind := range slips {
		s := &slipped{src: p.src, prod: prod, tokens: tokens, at: f.index - start, want: f.want}
		found, read, fits := p.undoAll(kind, s)
		if found == nil || !fits && !kind.sure {
			continue
		}
		if !p.reportedIn(span) {
			found.context = span
			p.report(*found)
		}
		if !fits {
			return nil, false
		}
		p.lex.LoadCheckpoint(from)
		if isBlock(read) && isPunct(p.tokens[end], "{") {
			end++
		}
		p.skipTo(end)
		return read, true
	}
	return nil, false
}

// undoAll undoes slips of one kind. found is the first, with the repairs of all; fits says that the statement fits now.
func (p *parser) undoAll(kind slip, s *slipped) (found *finding, read statement, fits bool) {
	for range maxSlipsAlike {
		other, fd := kind.undo(s)
		if other == nil {
			return found, nil, false
		}
		next := s.at + 1 + len(other) - len(s.tokens) // where what follows the slip stands now
		lex, _ := lexer.Upgrade(&tokenSlice{tokens: append(other, token{Type: tEOF})})
		q := &parser{reporter: p.reporter, src: p.src, lex: lex, tokens: lex.Range(0, lexer.RawCursor(len(other)+1))}
		stmt, err := s.prod.read(lex)
		f := q.fault(err, stmt, len(other)-1)
		if f != nil && f.index < next {
			return found, nil, false
		}
		if found == nil {
			found = &fd
		} else {
			found.edits = append(found.edits, fd.edits...)
		}
		if f == nil {
			return found, stmt, true
		}
		s.tokens, s.at, s.want = other, f.index, f.want
	}
	return found, nil, false
}

// ---- the kinds ----

// slipWords are words that people write where the grammar has another.
var slipWords = map[string]string{"on": "at", "if": "when", "is": "=", "average": "mean", "typical": "median", "lower": "lowering", "off": "away",
	"in": "within", "of": "in", "lock": "locks", "end": "ends", "per": "a", "every": "each", "times": "trials", "goes": "is", "became": "is",
	"into": "to", "through": "to", "till": "until", "holds": "holding", "under": "within", "seen": "success"}

func otherWord(s *slipped) ([]token, finding) {
	t := s.token()
	right := slipWords[t.Value]
	if t.Value == "for" && s.at+2 < len(s.tokens) && s.tokens[s.at+1].Type == tNumber {
		right = "in" // for 3 days, for 2 sessions
		if u := s.tokens[s.at+2].Value; u == "s" || u == "min" {
			right = "holding"
		}
	}
	if right == "" || t.Type != tName && t.Type != tKeyword {
		return nil, finding{}
	}
	return s.spelled(s.at, right)
}

// otherWordBefore is for one that was taken for a name: the next one does not fit then.
func otherWordBefore(s *slipped) ([]token, finding) {
	right := slipWords[s.before().Value]
	if right == "" || s.at < 2 || s.before().Type != tName {
		return nil, finding{}
	}
	return s.spelled(s.at-1, right)
}

// fillers are words that change nothing of what is said.
var fillers = wordSet("different", "separate", "distinct", "the", "exactly", "about", "around", "roughly", "any", "from")

func filler(s *slipped) ([]token, finding) {
	t := s.token()
	if !fillers[t.Value] || t.Type != tName || s.at+1 == s.end() {
		return nil, finding{}
	}
	at := spanOf(t)
	return s.with(s.at, s.at+1), finding{key: "surplus", span: at, args: []string{t.Value}, edits: []Edit{{Span{at.From, s.tokens[s.at+1].Pos.Offset}, ""}}}
}

// spelled puts another word in the place of token i.
func (s *slipped) spelled(i int, right string) ([]token, finding) {
	at := spanOf(s.tokens[i])
	return s.with(i, i+1, s.as(i, i+1, wordType(right), right)),
		finding{key: "word-spelled", span: at, args: []string{right, s.tokens[i].Value}, edits: []Edit{{at, right}}}
}

func nearWord(s *slipped) ([]token, finding) { return s.near(s.at, wantedWords(s.want)) }

// nearWordBefore is for a misspelt word that was taken for a name: the next one does not fit then.
func nearWordBefore(s *slipped) ([]token, finding) {
	if s.at < 2 {
		return nil, finding{}
	}
	return s.near(s.at-1, nil)
}

func (s *slipped) near(i int, first []string) ([]token, finding) {
	t := s.tokens[i]
	if t.Type != tName || i == s.end() {
		return nil, finding{}
	}
	near := curriculum.Nearest(t.Value, first)
	if near == "" {
		near = curriculum.Nearest(t.Value, s.prod.words)
	}
	if near == "" {
		return nil, finding{}
	}
	return s.spelled(i, near)
}

// fillerBefore is for one that was taken for a name: the next one does not fit then.
func fillerBefore(s *slipped) ([]token, finding) {
	t := s.before()
	if s.at < 2 || s.at == s.end() || !fillers[t.Value] || t.Type != tName {
		return nil, finding{}
	}
	at := spanOf(t)
	return s.with(s.at-1, s.at), finding{key: "surplus", span: at, args: []string{t.Value}, edits: []Edit{{Span{at.From, s.token().Pos.Offset}, ""}}}
}

// foreignUnits are units that people know and the language does not have.
var foreignUnits = map[string]bool{"month": true, "months": true, "year": true, "years": true, "mm": true, "km": true, "ms": true, "ft": true,
	"feet": true, "foot": true, "inch": true, "inches": true, "yards": true, "lb": true, "lbs": true, "oz": true, "kJ": true, "kj": true,
	"mg": true, "rad": true}

func unknownUnit(s *slipped) ([]token, finding) {
	t := s.token()
	if t.Type != tName || s.before().Type != tNumber {
		return nil, finding{}
	}
	at := spanOf(t)
	f := finding{key: "unit-unknown", span: at, args: []string{t.Value}, help: "units-are", helpArgs: []string{listOf(unitNames)}}
	near := ""
	if !foreignUnits[t.Value] {
		if near = curriculum.Nearest(t.Value, unitNames); near == "" {
			return nil, finding{}
		}
		f.help, f.helpArgs, f.edits = "did-you-mean", []string{near}, []Edit{{at, near}}
	}
	if near == "" {
		near = "s" // any: what is wrong with it stays unsaid, as the report says enough
	}
	return s.with(s.at, s.at+1, s.as(s.at, s.at+1, tUnit, near)), f
}

// strayPunct is a comma, a colon or an equals sign where nothing of the kind stands.
func strayPunct(s *slipped) ([]token, finding) {
	t := s.token()
	if t.Type != tPunct || s.at == s.end() || t.Value != "," && t.Value != ":" && t.Value != "=" {
		return nil, finding{}
	}
	at := spanOf(t)
	return s.with(s.at, s.at+1), finding{key: "stray", span: at, args: []string{t.Value}, edits: []Edit{{at, ""}}}
}

// bareText is a text without its quotes.
func bareText(s *slipped) ([]token, finding) {
	i := s.at
	switch {
	case s.wants("text"):
	case s.want == "" && i == 2 && textWords[s.first()]: // taken for a name, as side may have
		i = 1
	default:
		return nil, finding{}
	}
	j := s.end()
	if s.first() == "cue" { // up to the next way of saying it; and what is taken for the kind of cue is mostly its first word
		if n := slices.IndexFunc(s.tokens[min(i, j):j], func(t token) bool { return isPunct(t, ",") }); n > 0 {
			j = i + n
		}
		if kind := s.before(); i > 1 && kind.Type == tName && !kindsOfCue[kind.Value] {
			i--
		}
	}
	if i >= j || s.tokens[i].Type == tBraces || slices.ContainsFunc(s.tokens[i:j], func(t token) bool { return t.Type == tString }) {
		return nil, finding{}
	}
	right := `"` + s.raw(i, j) + `"`
	at := s.span(i, j)
	return s.with(i, j, s.as(i, j, tString, right)), finding{key: "quotes-missing", span: at, args: []string{right}, edits: []Edit{{at, right}}}
}

// kindsOfCue are what a cue can be beside a word, as far as people mostly name them.
var kindsOfCue = wordSet("word", "hand", "tap", "touch", "sound", "whistle", "clap", "light", "torch", "body", "look", "gesture", "signal",
	"sign", "visual", "verbal", "voice", "scent", "foot", "arm", "finger", "knock", "stamp", "vibration", "object")

// quotedName is a name in quotes.
func quotedName(s *slipped) ([]token, finding) {
	t := s.token()
	if t.Type != tString || !s.wants("name", "prefix") {
		return nil, finding{}
	}
	right := nameFrom(unquote(t.Value))
	if right == "" || reservedWords[right] {
		return nil, finding{}
	}
	at := spanOf(t)
	return s.with(s.at, s.at+1, s.as(s.at, s.at+1, tName, right)), finding{key: "quotes-surplus", span: at, args: []string{right}, edits: []Edit{{at, right}}}
}

// nameFrom is a text as a name would have it, "" where nothing is left.
func nameFrom(text string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r == ' ' || r == '_':
			return '-'
		case r < 128 && isNameByte(byte(r)):
			return r
		}
		return -1
	}, text)
	return strings.TrimLeft(name, "-0123456789")
}

// littleWords are those that are left out easily, and where nothing else can be meant.
var littleWords = wordSet("at", "is", "to", "when", "today", "until", "in", "a", "of", "with", "by", "after", "trials", "as", "for", "most", "because", "successes")

// stateWords are what a behaviour is expected to be.
var stateWords = wordSet("open", "waiting", "working", "kept", "lapsed", "paused")

func missingWord(s *slipped) ([]token, finding) {
	if s.at == s.end() {
		return nil, finding{}
	}
	for _, word := range wantedWords(s.want) {
		if !littleWords[word] || stateWords[s.token().Value] && word != "is" {
			continue
		}
		at := spanOf(s.token())
		little := token{Type: wordType(word), Value: word, Pos: lexer.Position{Offset: at.From}}
		tokens := s.with(s.at, s.at, little)
		lex, _ := lexer.Upgrade(&tokenSlice{tokens: append(slices.Clone(tokens), token{Type: tEOF})})
		if _, err := s.prod.read(lex); err != nil {
			continue
		}
		return tokens, finding{key: "word-missing", span: at, args: []string{word, s.raw(s.at, s.at+1)}, edits: []Edit{{Span{at.From, at.From}, word + " "}}}
	}
	return nil, finding{}
}

// spacedWords begin statements in which one name is declared: two words there are a name with a space in it.
var spacedWords = wordSet("behaviour", "ladder", "step", "session", "criterion", "marker", "food", "measure", "caution", "change")

func spacedName(s *slipped) ([]token, finding) {
	if !spacedWords[s.first()] || s.at != 2 && s.first() != "change" || s.before().Type != tName || s.token().Type != tName && s.token().Type != tKeyword {
		return nil, finding{}
	}
	if s.token().Value == "step" { // the block's own first step, on the same line: a brace is missing, not a hyphen
		return nil, finding{}
	}
	right := s.before().Value + "-" + s.token().Value
	i, j := s.at-1, s.at+1
	at := s.span(i, j)
	return s.with(i, j, s.as(i, j, tName, right)), finding{key: "name-space", span: at, args: []string{right}, edits: []Edit{{at, right}}}
}

func missingComma(s *slipped) ([]token, finding) {
	t := s.token()
	if s.at < 2 || s.at == s.end() || t.Type != tName && t.Type != tNumber && t.Type != tString || isPunct(s.before(), ",") {
		return nil, finding{}
	}
	at := spanOf(t)
	i := s.at - 1
	if kind := s.tokens[i].Type; (kind == tUnit || kind == tPercent) && i > 0 {
		i--
	}
	j := s.at + 1
	if t.Type == tNumber && (s.tokens[j].Type == tUnit || s.tokens[j].Type == tPercent) {
		j++
	}
	end := spanOf(s.before()).To
	comma := token{Type: tPunct, Value: ",", Pos: lexer.Position{Offset: end}}
	return s.with(s.at, s.at, comma), finding{key: "comma-missing", span: at, args: []string{s.raw(i, s.at), s.raw(s.at, j)},
		edits: []Edit{{Span{end, end}, ","}}}
}
