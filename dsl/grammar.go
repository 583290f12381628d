package dsl

import (
	"reflect"
	"regexp"
	"strings"
	"sync"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"
)

// grammar lists every production that a statement can be, for participle to build them all at once. Nothing is ever
// read as a grammar: the loop in parser.go reads one statement at a time.
type grammar struct {
	Version    *versionStmt        `parser:"  @@"`
	Curriculum *curriculumStmt     `parser:"| @@"`
	Course     *courseStmt         `parser:"| @@"`
	Use        *useStmt            `parser:"| @@"`
	Marker     *markerStmt         `parser:"| @@"`
	Food       *foodStmt           `parser:"| @@"`
	Names      *namesStmt          `parser:"| @@"`
	Equipment  *equipmentStmt      `parser:"| @@"`
	Measure    *measureStmt        `parser:"| @@"`
	Sign       *signStmt           `parser:"| @@"`
	Criterion  *criterionStmt      `parser:"| @@"`
	Caution    *cautionStmt        `parser:"| @@"`
	Ladder     *ladderStmt         `parser:"| @@"`
	Behaviour  *behaviourStmt      `parser:"| @@"`
	Session    *sessionStmt        `parser:"| @@"`
	Example    *exampleStmt        `parser:"| @@"`
	Allow      *allowStmt          `parser:"| @@"`
	Word       *wordStmt           `parser:"| @@"`
	Lasts      *lastsStmt          `parser:"| @@"`
	Limit      *limitStmt          `parser:"| @@"`
	Slot       *slotStmt           `parser:"| @@"`
	Extras     *extrasStmt         `parser:"| @@"`
	Keep       *keepStmt           `parser:"| @@"`
	Rest       *restStmt           `parser:"| @@"`
	Warm       *warmStmt           `parser:"| @@"`
	Away       *awayStmt           `parser:"| @@"`
	InExample  *exampleSessionStmt `parser:"| @@"`
	Expect     *expectStmt         `parser:"| @@"`
	Cue        *cueStmt            `parser:"| @@"`
	Mark       *markStmt           `parser:"| @@"`
	Takes      *takesStmt          `parser:"| @@"`
	Needs      *needsStmt          `parser:"| @@"`
	Better     *betterStmt         `parser:"| @@"`
	Never      *neverStmt          `parser:"| @@"`
	Pairs      *pairsStmt          `parser:"| @@"`
	Review     *reviewStmt         `parser:"| @@"`
	Climb      *climbStmt          `parser:"| @@"`
	Change     *changeStmt         `parser:"| @@"`
	Counts     *countsStmt         `parser:"| @@"`
	Caps       *capsStmt           `parser:"| @@"`
	Step       *stepStmt           `parser:"| @@"`
	Chain      *chainStmt          `parser:"| @@"`
	Choice     *choiceStmt         `parser:"| @@"`
	Reward     *rewardStmt         `parser:"| @@"`
	Ramp       *rampStmt           `parser:"| @@"`
	Thin       *thinStmt           `parser:"| @@"`
	Raise      *raiseStmt          `parser:"| @@"`
	Decide     *decideStmt         `parser:"| @@"`
	Rule       *ruleStmt           `parser:"| @@"`
	Tally      *tallyStmt          `parser:"| @@"`
	Dog        *dogStmt            `parser:"| @@"`
	Start      *startStmt          `parser:"| @@"`
	Case       *caseStmt           `parser:"| @@"`
	Seen       *exampleSignStmt    `parser:"| @@"`
}

// production reads one kind of statement. What it returns besides an error is as much as could be read.
type production struct {
	read  func(*lexer.PeekingLexer) (statement, error)
	words []string // the literal words in it
}

// productions are the statements by place and first word; tally is the trial line of an example.
type productions struct {
	at        [inExample + 1]map[string]*production
	tally     *production
	condition func(*lexer.PeekingLexer) (*condition, error)
}

// language is the grammar, built on first use.
var language = sync.OnceValue(func() *productions {
	g := participle.MustBuild[grammar](participle.Lexer(tokenSymbols{}), participle.UseLookahead(0))
	p := &productions{tally: read[tallyStmt](g)}
	conditions := mustProduction[condition](g)
	p.condition = func(lex *lexer.PeekingLexer) (*condition, error) {
		return conditions.ParseFromLexer(lex, participle.AllowTrailing(true))
	}
	names, word, rule, allow := read[namesStmt](g), read[wordStmt](g), read[ruleStmt](g), read[allowStmt](g)
	step, chain, cue, mark, takes, caps := read[stepStmt](g), read[chainStmt](g), read[cueStmt](g), read[markStmt](g), read[takesStmt](g), read[capsStmt](g)
	p.at[atTop] = map[string]*production{"rung": read[versionStmt](g), "curriculum": read[curriculumStmt](g), "use": read[useStmt](g),
		"marker": read[markerStmt](g), "food": read[foodStmt](g), "place": names, "handler": names, "equipment": read[equipmentStmt](g),
		"measure": read[measureStmt](g), "sign": read[signStmt](g), "criterion": read[criterionStmt](g), "caution": read[cautionStmt](g),
		"ladder": read[ladderStmt](g), "behaviour": read[behaviourStmt](g), "session": read[sessionStmt](g),
		"example": read[exampleStmt](g), "allow": allow}
	p.at[inCurriculum] = map[string]*production{"edition": word, "for": word, "course": read[courseStmt](g)}
	p.at[inLadder] = map[string]*production{"step": step, "chain": chain}
	p.at[inBehaviour] = map[string]*production{"cue": cue, "do": word, "success": word, "pay": word, "side": word, "set-up": word,
		"mark": mark, "equipment": names, "caution": names, "takes": takes, "needs": read[needsStmt](g), "better": read[betterStmt](g),
		"never": read[neverStmt](g), "pairs": read[pairsStmt](g), "formerly": names, "review": read[reviewStmt](g), "lapse": rule,
		"climb": read[climbStmt](g), "change": read[changeStmt](g), "step": step, "chain": chain, "counts": read[countsStmt](g),
		"at": caps, "allow": allow}
	p.at[inStep] = map[string]*production{"prompt": names, "help": names, "reward": read[rewardStmt](g), "ramp": read[rampStmt](g),
		"thin": read[thinStmt](g), "raise": read[raiseStmt](g), "advance": rule, "ease": rule, "split": rule, "stop": rule,
		"flag": rule, "skip": rule, "decide": read[decideStmt](g), "do": word, "success": word, "mark": mark, "pay": word,
		"side": word, "set-up": word, "cue": cue, "equipment": names, "caution": names, "takes": takes, "formerly": names,
		"allow": allow, "at": caps, "place": names, "choice": read[choiceStmt](g)}
	p.at[inSession] = map[string]*production{"lasts": read[lastsStmt](g), "at": read[limitStmt](g), "opens": read[slotStmt](g),
		"closes": read[slotStmt](g), "extras": read[extrasStmt](g), "keep": read[keepStmt](g), "rest": read[restStmt](g), "nothing": read[warmStmt](g), "after": read[awayStmt](g)}
	seen := read[exampleSignStmt](g)
	p.at[inExample] = map[string]*production{"session": read[exampleSessionStmt](g), "expect": read[expectStmt](g),
		"dog": read[dogStmt](g), "start": read[startStmt](g), "case": read[caseStmt](g), "sign": seen, "clear": seen}
	return p
})

func mustProduction[P any](g *participle.Parser[grammar]) *participle.Parser[P] {
	p, err := participle.ParserForProduction[P](g)
	if err != nil {
		panic(err) // a type that package dsl forgot to list: every test would show it
	}
	return p
}

func read[P any, S interface {
	*P
	statement
}](g *participle.Parser[grammar]) *production {
	p := mustProduction[P](g)
	return &production{
		read: func(lex *lexer.PeekingLexer) (statement, error) {
			v, err := p.ParseFromLexer(lex, participle.AllowTrailing(true))
			return S(v), err
		},
		words: literalWords(reflect.TypeFor[P](), map[reflect.Type]bool{}),
	}
}

var literalWord = regexp.MustCompile(`'([a-z][a-z-]*)'`)

// literalWords are the words in a production and in those it is made of.
func literalWords(t reflect.Type, seen map[reflect.Type]bool) (words []string) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct || seen[t] {
		return nil
	}
	seen[t] = true
	for i := range t.NumField() {
		f := t.Field(i)
		if tag := f.Tag.Get("parser"); tag != "" {
			for _, m := range literalWord.FindAllStringSubmatch(tag, -1) {
				words = append(words, m[1])
			}
			if strings.Contains(tag, "@@") {
				words = append(words, literalWords(f.Type, seen)...)
			}
		}
	}
	return words
}

// grammarWords are all words of the language.
var grammarWords = sync.OnceValue(func() map[string]bool {
	return wordSet(literalWords(reflect.TypeFor[grammar](), map[reflect.Type]bool{})...)
})

// ---- leaves read themselves ----

// Parse reads a name.
func (n *name) Parse(lex *lexer.PeekingLexer) error {
	t := lex.Peek()
	if t.Type != tName {
		return participle.NextMatch
	}
	lex.Next()
	*n = name{Text: t.Value, Span: spanOf(*t)}
	return nil
}

// Parse reads a word.
func (p *prefix) Parse(lex *lexer.PeekingLexer) error {
	t := lex.Peek()
	if t.Type != tName && t.Type != tKeyword {
		return participle.NextMatch
	}
	lex.Next()
	p.name = name{Text: t.Value, Span: spanOf(*t)}
	return nil
}

// Parse reads a text in quotes.
func (x *text) Parse(lex *lexer.PeekingLexer) error {
	t := lex.Peek()
	if t.Type != tString {
		return participle.NextMatch
	}
	lex.Next()
	*x = text{Text: unquote(t.Value), Span: spanOf(*t)}
	return nil
}

// unquote takes off the quotes and undoes \" and \\; any other backslash stands for itself.
func unquote(raw string) string {
	raw = strings.TrimSuffix(strings.TrimPrefix(raw, `"`), `"`)
	if !strings.Contains(raw, `\`) {
		return raw
	}
	return strings.NewReplacer(`\"`, `"`, `\\`, `\`).Replace(raw)
}

// Parse reads a number, a number and a unit, or a name.
func (v *value) Parse(lex *lexer.PeekingLexer) error {
	t := *lex.Peek()
	switch t.Type {
	case tName:
		lex.Next()
		*v = value{Name: t.Value, Span: spanOf(t)}
		return nil
	case tNumber:
		lex.Next()
		*v = value{Number: t.Value, Span: spanOf(t)}
		if u := *lex.Peek(); u.Type == tUnit || u.Type == tPercent {
			lex.Next()
			v.Unit, v.UnitSpan = u.Value, spanOf(u)
			v.Span.To = v.UnitSpan.To
		}
		return nil
	}
	return participle.NextMatch
}

// Parse reads a number, with or without a unit.
func (a *amount) Parse(lex *lexer.PeekingLexer) error {
	if lex.Peek().Type != tNumber {
		return participle.NextMatch
	}
	return a.value.Parse(lex)
}

// Parse reads an expression in braces.
func (b *braces) Parse(lex *lexer.PeekingLexer) error {
	t := lex.Peek()
	if t.Type != tBraces && t.Type != tBadBraces {
		return participle.NextMatch
	}
	lex.Next()
	s := spanOf(*t)
	*b = braces{Span: s, Faulty: t.Type == tBadBraces}
	if !b.Faulty {
		b.Text, b.Inner = t.Value[1:len(t.Value)-1], Span{s.From + 1, s.To - 1}
	}
	return nil
}
