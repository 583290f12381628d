package dsl

import "github.com/alecthomas/participle/v2/lexer"

// The syntax tree is also the grammar: the `parser` tag of a field says what is read into it (EBNF in participle's
// spelling: '...' a word, @ captures, @@ another production). Fields without a tag are filled in by the loop in
// parser.go. Nothing of the tree is public: Resolve turns it into a curriculum.Curriculum.

// Span is a piece of a file: byte offsets From up to, not including, To.
type Span struct{ From, To int }

// File is one curriculum text as it was read: its statements in order, faulty ones left out.
type File struct {
	Source  *Source
	version *versionStmt    // the `rung 1` line, nil where it is missing (which has been reported)
	body    []statement     // top-level statements without the version line
	remarks []remark        // in the order of the text
	tokens  []token         // all but white space and remarks, with end-of-statement tokens, closed by an EOF token
	faulty  bool            // something was reported as an error: what is missing may be due to that
	lost    map[string]bool // the names in statements that could not be read: that they are unknown is no news
}

// remark is a `# ...` up to the end of its line.
type remark struct {
	Span    Span
	Text    string // with its #, without white space at the end
	OwnLine bool   // nothing but white space stands before it on its line
}

// token is one piece of text as participle sees it. Value is what it stands for, which is the text itself except where
// a plausible misspelling was reported and read as what it must mean. Pos.Offset is where it begins, and Pos.Column (not
// needed otherwise) how many bytes it has.
type token = lexer.Token

func spanOf(t token) Span { return Span{t.Pos.Offset, t.Pos.Offset + t.Pos.Column} }

// statement is one statement with, where it has braces, its body.
type statement interface {
	Span() Span // of the statement, for a block of its first line up to and with the {
}

// node is embedded in every production that has a span of its own. A production that matched nothing has a zero span.
type node struct{ Tokens []token }

// Span is from the production's first token to its last.
func (n node) Span() Span {
	if len(n.Tokens) == 0 {
		return Span{}
	}
	return Span{spanOf(n.Tokens[0]).From, spanOf(n.Tokens[len(n.Tokens)-1]).To}
}

// block is embedded in statements that have a body in braces.
type block struct {
	Body  []statement
	Close Span // the }, empty where it was missing (which has been reported)
}

// ---- leaves ----

// name is a name (letters, digits, hyphens, a letter first); never a reserved word.
type name struct {
	Text string
	Span Span
}

// prefix is a word that is put before names: any word, as `first` is none by itself but first-follow is a name.
type prefix struct{ name }

// text is a "..." with its escapes undone; Span includes the quotes.
type text struct {
	Text string
	Span Span
}

// value is a number, a number with its unit, or a name (a level's name, or a ladder's parameter that stands for any of
// these). Exactly one of Number and Name is set. Unit is as written ("min", "days"); "%" for a percentage.
type value struct {
	Number   string // digits with at most one point
	Unit     string
	Name     string
	Span     Span
	UnitSpan Span
}

// amount is a value that is a number, with or without a unit, never a name.
type amount struct{ value }

// braces is an expression `{ ... }`. Text is what stands between the braces, untouched; Inner is its span.
type braces struct {
	Text   string
	Inner  Span
	Span   Span
	Faulty bool // something in it has been reported: it is not to be looked at again
}

// ---- top level ----

// versionStmt is `rung 1`.
type versionStmt struct {
	node
	Version value `parser:"'rung' @@"`
}

// curriculumStmt is `curriculum "..." { }`; its body holds wordStmts (edition, for) and a courseStmt.
type curriculumStmt struct {
	node
	Title text `parser:"'curriculum' @@ '{'"`
	block
}

// courseStmt is `course lasts 6 weeks, 3 sessions a week`; Sessions is nil where only the first half stands.
type courseStmt struct {
	node
	Word     token  `parser:"@'course' 'lasts'"`
	Time     value  `parser:"@@"`
	Sessions *value `parser:"( ',' @@ ( 'sessions' | 'session' )"`
	Per      token  `parser:"  ( 'a' | 'per' ) @( 'day' | 'week' ) )?"`
}

// useStmt is `use "file"`.
type useStmt struct {
	node
	Path text `parser:"'use' @@"`
}

// markerStmt is `marker NAME ["...", hand "..."] keeps|releases`.
type markerStmt struct {
	node
	Name   name      `parser:"'marker' @@"`
	Forms  []cueItem `parser:"( (?! 'keeps' | 'releases' ) @@ ( ',' @@ )* )?"`
	Effect token     `parser:"@( 'keeps' | 'releases' )"`
}

// foodStmt is `food NAME [1.5 kcal] [, part]...`.
type foodStmt struct {
	node
	Name  name       `parser:"'food' @@"`
	Parts []foodPart `parser:"@@? ( ',' @@ )*"`
}

// foodPart is one of its parts: Amount alone (energy or weight, by its unit), EatenIn, Contains, or Extra.
type foodPart struct {
	node
	Amount   *amount `parser:"  @@"`
	EatenIn  *value  `parser:"| 'eaten' 'in' @@"`
	Contains *name   `parser:"| 'contains' @@"`
	Extra    *token  `parser:"| @'extra'"`
}

// namesStmt is a word and a list of names. Word.Value says which: at top level place and handler; in a behaviour
// caution, equipment, formerly; in a step prompt, help, place, caution, equipment, formerly.
type namesStmt struct {
	node
	Word  token  `parser:"@( 'place' | 'handler' | 'caution' | 'equipment' | 'formerly' | 'prompt' | 'help' )"`
	Names []name `parser:"@@ ( ',' @@ )*"`
}

// equipmentStmt declares equipment at top level.
type equipmentStmt struct {
	node
	Items []equipmentItem `parser:"'equipment' @@ ( ',' @@ )*"`
}

type equipmentItem struct {
	node
	Name name  `parser:"@@"`
	Text *text `parser:"@@?"`
}

// measureStmt is `measure NAME [in UNIT] [, smaller is better]`.
type measureStmt struct {
	node
	Name    name   `parser:"'measure' @@"`
	Unit    *name  `parser:"( 'in' @@ )?"`
	Smaller *token `parser:"( ',' @'smaller' 'is' 'better' )?"`
}

// signStmt is `sign NAME, ... locks everything | locks the behaviour | locks NAME, ... | ends the behaviour|session`.
// Exactly one of Everything, LocksIt, Only and Ends is set.
type signStmt struct {
	node
	Names      []name `parser:"'sign' @@ ( ',' @@ )*"`
	Everything *token `parser:"( 'locks' ( @'everything'"`
	LocksIt    *token `parser:"           | 'the' @'behaviour'"`
	Only       []name `parser:"           | @@ ( ',' @@ )* )"`
	Ends       *token `parser:"| 'ends' 'the' @( 'behaviour' | 'session' ) )"`
}

// criterionStmt is `criterion NAME = C`.
type criterionStmt struct {
	node
	Name name      `parser:"'criterion' @@ '='"`
	Is   condition `parser:"@@"`
}

// cautionStmt declares a caution at top level.
type cautionStmt struct {
	node
	Name name    `parser:"'caution' @@"`
	Text text    `parser:"@@"`
	When *braces `parser:"( 'when' @@ )?"`
}

// ladderStmt is `ladder NAME [(NAME, ...)] { steps }`; its body holds stepStmts and chainStmts.
type ladderStmt struct {
	node
	Name   name   `parser:"'ladder' @@"`
	Params []name `parser:"( '(' @@ ( ',' @@ )* ')' )? '{'"`
	block
}

// behaviourStmt is `behaviour NAME ["..."] { ... }`.
type behaviourStmt struct {
	node
	Name name  `parser:"'behaviour' @@"`
	Text *text `parser:"@@? '{'"`
	block
}

// sessionStmt is `session [NAME] { ... }`.
type sessionStmt struct {
	node
	Name *name `parser:"'session' @@? '{'"`
	block
}

// exampleStmt is `example "..." { ... }`; its body holds the statements of syntax_example.go.
type exampleStmt struct {
	node
	Name text `parser:"'example' @@ '{'"`
	block
}

// allowStmt is `allow CODE because "..."`: at top level, in a behaviour, in a step.
type allowStmt struct {
	node
	Code    name `parser:"'allow' @@"`
	Because text `parser:"'because' @@"`
}

// wordStmt is a word and a sentence. Word.Value says which: edition, for (in curriculum), do, success, pay, side,
// set-up. Only side may have a Name instead of Text; exactly one of the two is set.
type wordStmt struct {
	node
	Word token `parser:"@( 'edition' | 'for' | 'do' | 'success' | 'pay' | 'side' | 'set-up' )"`
	Text *text `parser:"( @@"`
	Name *name `parser:"| @@ )"`
}

// ---- the session block ----

// lastsStmt is `lasts 5 min`.
type lastsStmt struct {
	node
	Time value `parser:"'lasts' @@"`
}

// limitStmt is `at most 30 trials, 1 new behaviour, 5 in a row of one behaviour, 20 impact trials a day`.
type limitStmt struct {
	node
	Limits []limit `parser:"'at' 'most' @@ ( ',' @@ )*"`
}

// limit is one of them: Of set in words by exactly one of the fields behind N; PerOne goes with Trials, Per with Impact.
type limit struct {
	node
	N          value  `parser:"@@"`
	New        *token `parser:"( @'new' ( 'behaviours' | 'behaviour' )"`
	InARow     *token `parser:"| @'in' 'a' 'row' 'of' 'one' 'behaviour'"`
	Behaviours *token `parser:"| @( 'behaviours' | 'behaviour' )"`
	Impact     *token `parser:"| @'impact' ( 'trials' | 'trial' )"`
	Per        *token `parser:"  ( 'a' | 'per' ) @( 'session' | 'day' | 'week' )"`
	Trials     *token `parser:"| @( 'trials' | 'trial' )"`
	PerOne     *token `parser:"  ( @'of' 'one' 'behaviour' )? )"`
}

// slotStmt is `opens|closes with something known | NAME`; exactly one of Known and Behaviour is set.
type slotStmt struct {
	node
	Word      token  `parser:"@( 'opens' | 'closes' ) 'with'"`
	Known     *token `parser:"( @'something' 'known'"`
	Behaviour *name  `parser:"| @@ )"`
}

// extrasStmt is `extras at most 10% of daily energy`.
type extrasStmt struct {
	node
	Share value `parser:"'extras' 'at' 'most' @@ 'of' 'daily' 'energy'"`
}

// keepStmt is `keep success at 70% or better`.
type keepStmt struct {
	node
	Share value `parser:"'keep' 'success' 'at' @@ 'or' 'better'"`
}

// restStmt is `rest 1 min every 3 min`.
type restStmt struct {
	node
	Rest  value `parser:"'rest' @@"`
	Every value `parser:"'every' @@"`
}

// warmStmt is `nothing lively above 20 celsius`.
type warmStmt struct {
	node
	Most value `parser:"'nothing' 'lively' 'above' @@ 'celsius'"`
}

// awayStmt is `after 21 days away ease one level`.
type awayStmt struct {
	node
	After value  `parser:"'after' @@ 'away' 'ease'"`
	By    levels `parser:"@@"`
}

// levels is `one level` (N nil) or `3 levels`.
type levels struct {
	node
	One *token `parser:"( @'one'"`
	N   *value `parser:"| @@ ) ( 'levels' | 'level' )"`
}

// levelPart is one part of a LEVEL: `thin SCHEDULE`, `piece "..."`, or a ramp's name and a value. Exactly one of Thin,
// Piece and Of is set.
type levelPart struct {
	node
	Thin  *schedule `parser:"  'thin' @@"`
	Piece *text     `parser:"| 'piece' @@"`
	Of    *name     `parser:"| @@"`
	Value value     `parser:"  @@"`
}
