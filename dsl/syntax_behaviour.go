package dsl

// ---- the behaviour block ----

// cueStmt is `cue "word", hand "sweep"`.
type cueStmt struct {
	node
	Items []cueItem `parser:"'cue' @@ ( ',' @@ )*"`
}

// cueItem is a spoken word (Kind nil) or another kind of cue.
type cueItem struct {
	node
	Kind *name `parser:"@@?"`
	Text text  `parser:"@@"`
}

// markStmt is `mark NAME`.
type markStmt struct {
	node
	Marker name `parser:"'mark' @@"`
}

// takesStmt is `takes 20 s`.
type takesStmt struct {
	node
	Time value `parser:"'takes' @@"`
}

// needsStmt is `needs [firmly] NEED, ...` or `needs [firmly] dog { ... }`; Dog is set for the second. Parts are the
// pieces between commas as the grammar reads them; parser.go makes Items of them.
type needsStmt struct {
	node
	Firmly *token     `parser:"'needs' @'firmly'?"`
	Dog    *braces    `parser:"( 'dog' @@"`
	Parts  []needPart `parser:"| @@ ( ',' @@ )* )"`
	Items  []need
}

// need is `NAME`, `NAME at STEP` or `NAME at STEP turn 30 deg, pause 1 s`.
type need struct {
	span      Span
	Behaviour name
	Step      *name
	Level     []levelPart
}

// Span is from the behaviour's name to the last part of the level.
func (n need) Span() Span { return n.span }

// needPart is one piece between commas: a need, or a further part of the level of the need before it.
type needPart struct {
	node
	Thin  *schedule  `parser:"  'thin' @@"`
	Piece *text      `parser:"| 'piece' @@"`
	Name  name       `parser:"| @@"`
	Step  *name      `parser:"  ( 'at' @@"`
	Level *levelPart `parser:"    @@?"`
	Value *value     `parser:"  | @@ )?"`
}

// betterStmt is `better after NAME, ...`.
type betterStmt struct {
	node
	Behaviours []name `parser:"'better' 'after' @@ ( ',' @@ )*"`
}

// neverStmt is `never with NAME until STEP`.
type neverStmt struct {
	node
	Behaviour name `parser:"'never' 'with' @@"`
	Until     name `parser:"'until' @@"`
}

// pairsStmt is `pairs with NAME within N steps`.
type pairsStmt struct {
	node
	Behaviour name  `parser:"'pairs' 'with' @@"`
	Within    value `parser:"'within' @@ ( 'steps' | 'step' )"`
}

// reviewStmt is `review after 1 day, 3 days`.
type reviewStmt struct {
	node
	Gaps []value `parser:"'review' 'after' @@ ( ',' @@ )*"`
}

// climbStmt is `climb LADDER [(args)] [as PREFIX]`.
type climbStmt struct {
	node
	Ladder name    `parser:"'climb' @@"`
	Open   *token  `parser:"( @'('"`
	Args   []value `parser:"  @@ ( ',' @@ )* ')' )?"`
	As     *prefix `parser:"( 'as' @@ )?"`
}

// changeStmt is `change step NAME { step body }`.
type changeStmt struct {
	node
	Step name `parser:"'change' 'step' @@ '{'"`
	block
}

// countsStmt is `counts as care, calm`.
type countsStmt struct {
	node
	Kinds []name `parser:"'counts' 'as' @@ ( ',' @@ )*"`
}

// capsStmt is `at most 6 trials a session, 12 trials a day`: in a behaviour or a step.
type capsStmt struct {
	node
	Caps []capPart `parser:"'at' 'most' @@ ( ',' @@ )*"`
}

type capPart struct {
	node
	N   value `parser:"@@"`
	Of  token `parser:"@( 'trials' | 'trial' | 'sessions' | 'session' )"`
	Per token `parser:"( 'a' | 'per' ) @( 'session' | 'day' | 'week' )"`
}

// ---- steps ----

// stepStmt is `step NAME ["..."] { step body }`.
type stepStmt struct {
	node
	Name name  `parser:"'step' @@"`
	Text *text `parser:"@@? '{'"`
	block
}

// chainStmt is `chain backward|forward of NAME, ... [{ step body }]`; Open is nil without a body.
type chainStmt struct {
	node
	Way    token  `parser:"'chain' @( 'backward' | 'forward' ) 'of'"`
	Pieces []name `parser:"@@ ( ',' @@ )*"`
	Open   *token `parser:"@'{'?"`
	block
}

// choiceStmt is `choice of left, right`: the answers a dog chooses between.
type choiceStmt struct {
	node
	Answers []name `parser:"'choice' 'of' @@ ( ',' @@ )*"`
}

// rewardStmt is `reward SCHEDULE`.
type rewardStmt struct {
	node
	Schedule schedule `parser:"'reward' @@"`
}

// schedule is `every success`, `variable ratio 3 [with at most 4 unpaid]`, `best 60% of last 10 for turn [from 30 deg]
// [to 90 deg]`. Exactly one of Every, Kind and Best is set; Kind goes with Unit (ratio, interval or duration), Value and
// Unpaid, Best with Last, Measure, Low and High.
type schedule struct {
	node
	Every   *token `parser:"(  @'every' 'success'"`
	Kind    *token `parser:"| @( 'fixed' | 'variable' | 'random' )"`
	Unit    token  `parser:"  @( 'ratio' | 'interval' | 'duration' )"`
	Value   value  `parser:"  @@"`
	Unpaid  *value `parser:"  ( 'with' 'at' 'most' @@ 'unpaid' )?"`
	Best    *value `parser:"| 'best' @@"`
	Last    value  `parser:"  'of' 'last' @@"`
	Measure name   `parser:"  'for' @@"`
	Low     *value `parser:"  ( 'from' @@ )?"`
	High    *value `parser:"  ( 'to' @@ )? )"`
}

// rampStmt is `ramp NAME v, v, v` or `ramp NAME v to v by v`, then `[grain Q] [varied]`. To is nil for the first form;
// with To, Values has one value, where the ramp begins.
type rampStmt struct {
	node
	Of     name    `parser:"'ramp' @@"`
	Values []value `parser:"@@"`
	To     *value  `parser:"( 'to' @@"`
	By     *value  `parser:"  'by' @@"`
	More   []value `parser:"| ( ',' @@ )+ )?"` // moved behind Values by parser.go: always nil in the tree
	Grain  *value  `parser:"( 'grain' @@ )?"`
	Varied *token  `parser:"@'varied'?"`
}

// thinStmt is `thin variable ratio 1.5, 2, 3` or `thin best 80%, 60% of last 10 for turn`, with the further words of a
// schedule. Exactly one of Kind and Best is set.
type thinStmt struct {
	node
	Kind    *token  `parser:"'thin' ( @( 'fixed' | 'variable' | 'random' )"`
	Unit    token   `parser:"  @( 'ratio' | 'interval' | 'duration' )"`
	Values  []value `parser:"  @@ ( ',' @@ )*"`
	Unpaid  *value  `parser:"  ( 'with' 'at' 'most' @@ 'unpaid' )?"`
	Best    []value `parser:"| 'best' @@ ( ',' @@ )*"`
	Last    value   `parser:"  'of' 'last' @@"`
	Measure name    `parser:"  'for' @@"`
	Low     *value  `parser:"  ( 'from' @@ )?"`
	High    *value  `parser:"  ( 'to' @@ )? )"`
}

// raiseStmt is `raise one at a time [lowering others by one level | by N levels]`.
type raiseStmt struct {
	node
	Word  token   `parser:"@'raise' 'one' 'at' 'a' 'time'"`
	Lower *levels `parser:"( 'lowering' 'others' 'by' @@ )?"`
}

// decideStmt is `decide every N trials` or `decide each session`; exactly one of Every and Session is set.
type decideStmt struct {
	node
	Every   *value `parser:"'decide' ( 'every' @@ ( 'trials' | 'trial' )"`
	Session *token `parser:"| 'each' @'session' )"`
}

// ruleStmt is a rule: Word.Value is advance, ease, split, stop, flag, skip or (in a behaviour) lapse. To and First only
// stand with ease and lapse, Into only with split, Today always and only with stop.
type ruleStmt struct {
	node
	Word  token     `parser:"@( 'advance' | 'ease' | 'split' | 'stop' | 'flag' | 'skip' | 'lapse' )"`
	Today *token    `parser:"@'today'?"`
	To    *name     `parser:"( 'to' @@"`
	First *token    `parser:"  ( @'first' 'level' )? )?"`
	Into  []text    `parser:"( 'into' @@ ( ',' @@ )* )?"`
	When  condition `parser:"'when' @@"`
}
