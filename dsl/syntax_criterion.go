package dsl

import "example.com/rung/curriculum"

// condition is a criterion where one stands. Is is what Resolve reads, nil where the criterion was faulty (which has
// been reported); Chain is the same as participle read it.
type condition struct {
	node
	Chain *chain `parser:"@@"`
	Is    criterion
}

// criterion is one of the types below. What can only be known with names resolved and numbers worked out (k > n, a
// qualifier that does not fit, `in 1 session` ...) is not checked here.
type criterion interface {
	Span() Span
}

// spanned carries the span of a criterion.
type spanned struct{ span Span }

func (s spanned) Span() Span { return s.span }

// qualifiers as written; a zero span or nil means absent. Each stands at most once.
type qualifiers struct {
	EvenHelped Span // of the two words
	Within     *value
	Holding    *value
	Where      *braces
	Among      *braces
}

// windowKind is how a window moves.
type windowKind uint8

const (
	lastWindow   windowKind = iota // of last N, also written `of N`
	eachWindow                     // of each N
	inARowWindow                   // K in a row: N is the zero value
)

type (
	// windowCriterion is "4 of last 5", "80% of each 20", "at most 1 wrong of last 4", "3 misses of last 5", "3 in a
	// row" and their kin. K is a count, or a share where its Unit is "%", or a parameter's name.
	windowCriterion struct {
		spanned
		K         value
		AtMost    bool
		Count     curriculum.Counted
		CountSpan Span // of the word (misses ...), zero for successes left out
		Kind      windowKind
		N         value
		Twice     Span // of `twice in a row`, zero where absent
		Qualify   qualifiers
	}
	// inSessionCountCriterion is "2 misses in this session": a count without a window.
	inSessionCountCriterion struct {
		spanned
		N         value
		AtMost    bool
		Count     curriculum.Counted
		CountSpan Span
		Qualify   qualifiers
	}
	// sessionShareCriterion is "80% of a session of at least 10 trials [in 2 sessions [in a row]]". N is nil without `in`.
	sessionShareCriterion struct {
		spanned
		Share     value
		MinTrials value
		Qualify   qualifiers
		N         *value
		InARow    bool
	}
	// firstTrialCriterion is "first trial in 3 sessions [in a row]".
	firstTrialCriterion struct {
		spanned
		N      value
		InARow bool
	}
	// confidenceCriterion is "at least 80% with 95% confidence of last 30".
	confidenceCriterion struct {
		spanned
		Share, Confidence, N value
	}
	// sequentialCriterion is "sequential 60% against 90% wrongly up 5% wrongly down 10%".
	sequentialCriterion struct {
		spanned
		Low, High, WronglyUp, WronglyDown value
	}
	// statisticCriterion is "median latency of last 5 successes <= 2 s".
	statisticCriterion struct {
		spanned
		Stat    curriculum.Stat
		Measure name
		N       value
		Op      string // <= < >= > ==
		OpSpan  Span
		Value   value
	}
	// doneCriterion is "done 8 times".
	doneCriterion struct {
		spanned
		N value
	}
	// afterCriterion is "after 20 trials [at this step]", "after 3 sessions", "after 7 days" (N's Unit is then "day" or
	// "days").
	afterCriterion struct {
		spanned
		N      value
		Unit   curriculum.AfterUnit
		AtStep bool
	}
	// easedCriterion is "eased twice", "eased 3 times".
	easedCriterion struct {
		spanned
		N value
	}
	// holdsCriterion is "{ expr }".
	holdsCriterion struct {
		spanned
		Expr *braces
	}
	// namedCriterion is a criterion's name, or a ladder's parameter.
	namedCriterion struct {
		spanned
		Name name
	}
	// inSessionCriterion is "C in this session"; In is the span of the three words.
	inSessionCriterion struct {
		spanned
		Is criterion
		In Span
	}
	// repeatedCriterion is "C in 3 places", "C in 2 sessions in a row"; In is the span from `in` on. With days, N's Unit is
	// "day" or "days".
	repeatedCriterion struct {
		spanned
		Is     criterion
		N      value
		Over   curriculum.Over
		InARow bool
		In     Span
	}
	notCriterion struct {
		spanned
		Is criterion
	}
	// andCriterion and orCriterion have two parts or more.
	andCriterion struct {
		spanned
		All []criterion
	}
	orCriterion struct {
		spanned
		Any []criterion
	}
)

// ---- the grammar of criteria; parser_criterion.go makes the types above of it ----

type chain struct {
	node
	First *term    `parser:"@@"`
	Rest  []joined `parser:"@@*"`
}

type joined struct {
	node
	Word token `parser:"@( 'and' | 'or' )"`
	Term *term `parser:"@@"`
}

type term struct {
	node
	Nots     []notWord `parser:"@@*"`
	Primary  *primary  `parser:"@@"`
	Suffixes []suffix  `parser:"@@*"`
}

type notWord struct {
	node
	Word token `parser:"@'not'"`
}

type primary struct {
	node
	Bracket    *chain      `parser:"  '(' @@ ')'"`
	Holds      *braces     `parser:"| @@"`
	Bound      *bound      `parser:"| 'at' @@"`
	Done       *times      `parser:"| 'done' @@"`
	Eased      *times      `parser:"| 'eased' @@"`
	First      *token      `parser:"| @'first' 'trial'"`
	Sequential *sequential `parser:"| 'sequential' @@"`
	Stat       *statistic  `parser:"| @@"`
	After      *after      `parser:"| 'after' @@"`
	Head       *head       `parser:"| @@"`
}

type bound struct {
	node
	Most       *head  `parser:"  'most' @@"`
	Least      *value `parser:"| 'least' @@"`
	Confidence value  `parser:"  'with' @@ 'confidence'"`
	N          value  `parser:"  'of' 'last' @@"`
}

type times struct {
	node
	Twice *token `parser:"  @'twice'"`
	N     *value `parser:"| @@ ( 'times' | 'time' )"`
}

type sequential struct {
	node
	Low  value `parser:"@@"`
	High value `parser:"'against' @@"`
	Up   value `parser:"'wrongly' 'up' @@"`
	Down value `parser:"'wrongly' 'down' @@"`
}

type statistic struct {
	node
	Stat    token `parser:"@( 'median' | 'mean' | 'best' | 'worst' )"`
	Measure name  `parser:"@@"`
	N       value `parser:"'of' 'last' @@ ( 'successes' | 'success' )"`
	Op      token `parser:"@Compare"`
	Value   value `parser:"@@"`
}

type after struct {
	node
	N        value  `parser:"@@"`
	Trials   *token `parser:"( @( 'trials' | 'trial' )"`
	AtStep   *token `parser:"  ( 'at' 'this' @'step' )?"`
	Sessions *token `parser:"| @( 'sessions' | 'session' ) )?"` // neither: N is in days
}

// head is a criterion that begins with a number, a share or a name.
type head struct {
	node
	K     value   `parser:"@@"`
	Count *token  `parser:"@( 'misses' | 'miss' | 'wrong' | 'silent' | 'helped' | 'opt-outs' | 'opt-out' )?"`
	Of    *window `parser:"( 'of' @@ )?"`
}

type window struct {
	node
	MinTrials *value `parser:"  'a' 'session' 'of' 'at' 'least' @@ ( 'trials' | 'trial' )"`
	Kind      *token `parser:"| @( 'last' | 'each' )?"`
	N         *value `parser:"  @@ ( 'successes' | 'success' )?"`
}

// suffix is what may go on a criterion, in any order; which may go on which is checked afterwards.
type suffix struct {
	node
	Twice      *token   `parser:"  @'twice' 'in' 'a' 'row'"`
	EvenHelped *token   `parser:"| @'even' 'helped'"`
	Within     *value   `parser:"| 'within' @@"`
	Holding    *value   `parser:"| 'holding' @@"`
	Where      *braces  `parser:"| 'where' @@"`
	Among      *braces  `parser:"| 'among' @@"`
	Full       *token   `parser:"| 'at' @'full' 'value'"` // short for among { full_value }
	In         *inWords `parser:"| 'in' @@"`
}

type inWords struct {
	node
	Row     *token `parser:"  'a' @'row'"`
	Session *token `parser:"| 'this' @'session'"`
	N       *value `parser:"| @@"`
	Over    *token `parser:"  @( 'sessions' | 'session' | 'places' | 'place' | 'handlers' | 'handler' )?"` // nil: N is in days
}
