package dsl

// The statements of an example block.

// dogStmt is `dog 14 months old, 20 kg, avoids chicken`.
type dogStmt struct {
	node
	Parts []dogPart `parser:"'dog' @@ ( ',' @@ )*"`
}

// dogPart is one thing about the dog: an age, a weight, what it avoids or senses, or the name of a profile.
type dogPart struct {
	node
	Amount   *amount `parser:"( @@"`
	Months   *token  `parser:"  ( @( 'months' | 'month' ) 'old'"`
	Old      *token  `parser:"  | @'old'"`
	Grown    *token  `parser:"  | @'grown' )?"`
	Avoids   *name   `parser:"| 'avoids' @@"`
	Senses   *name   `parser:"| 'senses' @@"`
	Neutered *token  `parser:"| @'neutered'"`
	Intact   *token  `parser:"| @'not' 'neutered'"`
	Profile  *name   `parser:"| @@ )"`
}

// startStmt is `start NAME at STEP [LEVEL]` or `start NAME kept`; exactly one of Step and Kept is set.
type startStmt struct {
	node
	Behaviour name        `parser:"'start' @@"`
	Step      *name       `parser:"( 'at' @@"`
	Level     []levelPart `parser:"  ( @@ ( ',' @@ )* )?"`
	Kept      *token      `parser:"| @'kept' )"`
}

// tallyStmt is `NAME [at STEP [LEVEL]]: + - h`.
type tallyStmt struct {
	node
	Behaviour name        `parser:"@@"`
	Step      *name       `parser:"( 'at' @@"`
	Level     []levelPart `parser:"  ( @@ ( ',' @@ )* )? )? ':'"`
	Marks     []mark      `parser:"@@+"`
}

// caseStmt is `case NAME [at STEP [LEVEL]]: + - h then at STEP and is STATE`.
type caseStmt struct {
	node
	Behaviour name        `parser:"'case' @@"`
	Step      *name       `parser:"( 'at' @@"`
	Level     []levelPart `parser:"  ( @@ ( ',' @@ )* )? )? ':'"`
	Marks     []mark      `parser:"@@+"`
	Then      []thenPart  `parser:"'then' @@ ( 'and' @@ )*"`
}

// thenPart is `at STEP [LEVEL]`, `is STATE` or `notes [no] stop|flag`; exactly one of Step, State and Notes is set.
type thenPart struct {
	node
	Step  *name       `parser:"( 'at' @@"`
	Level []levelPart `parser:"  ( @@ ( ',' @@ )* )?"`
	State *name       `parser:"| 'is' @@"`
	No    *token      `parser:"| 'notes' @'no'?"`
	Notes *token      `parser:"  @( 'stop' | 'flag' ) )"`
}

// mark is one tally mark, Sign.Value one of + h e - 0 o! x | ||, with what was recorded beside it. A long dash has been read as -, O as 0.
type mark struct {
	node
	Sign     token      `parser:"@Mark"`
	Measured []measured `parser:"( '(' @@ ( ',' @@ )* ')' )?"`
}

// measured is a measure with its value, or whether the trial was paid.
type measured struct {
	node
	Paid  *token `parser:"( @( 'rewarded' | 'unrewarded' )"`
	Name  name   `parser:"| @@"`
	Value value  `parser:"  @@ )"`
}

// exampleSessionStmt is `session [after 2 days] [in PLACE] [with HANDLER]`.
type exampleSessionStmt struct {
	node
	Word    token  `parser:"@'session'"`
	After   *value `parser:"( 'after' @@ )?"`
	Place   *name  `parser:"( 'in' @@ )?"`
	Handler *name  `parser:"( 'with' @@ )?"`
}

// exampleSignStmt is `sign NAME [in BEHAVIOUR] [by PERSON]` or `clear NAME [in BEHAVIOUR] by PERSON`.
type exampleSignStmt struct {
	node
	Word      token `parser:"@( 'sign' | 'clear' )"`
	Name      name  `parser:"@@"`
	Behaviour *name `parser:"( 'in' @@ )?"`
	ByText    *text `parser:"( 'by' ( @@"`
	ByName    *name `parser:"| @@ ) )?"`
}

// expectStmt is `expect NAME at STEP [LEVEL]`, `expect NAME is STATE`, `expect NAME notes [no] stop|flag`,
// `expect plan has NAME` or `expect plan leaves out NAME [because NAME]`. Exactly one of Step, State, Notes, Has and
// Leaves is set; with Has and Leaves, Behaviour.Text is "plan".
type expectStmt struct {
	node
	Behaviour name        `parser:"'expect' @@"`
	Step      *name       `parser:"( 'at' @@"`
	Level     []levelPart `parser:"  ( @@ ( ',' @@ )* )?"`
	State     *name       `parser:"| 'is' @@"`
	No        *token      `parser:"| 'notes' @'no'?"`
	Notes     *token      `parser:"  @( 'stop' | 'flag' )"`
	Has       *name       `parser:"| 'has' @@"`
	Leaves    *name       `parser:"| 'leaves' 'out' @@"`
	Because   *name       `parser:"  ( 'because' @@ )? )"`
}
