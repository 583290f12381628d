package expression

import "strings"

// ProblemKind is what sort of fault an expression has. The texts are stable.
type ProblemKind string

const (
	Syntax          ProblemKind = "syntax"
	Empty           ProblemKind = "empty"
	UnknownName     ProblemKind = "unknown name"
	UnknownMember   ProblemKind = "unknown member" // of dog
	UnknownFunction ProblemKind = "unknown function"
	Hyphenated      ProblemKind = "hyphenated name" // written as a-b instead of a_b
	UnitWritten     ProblemKind = "unit"
	WrongType       ProblemKind = "wrong type"
	WrongCount      ProblemKind = "wrong count" // of a function's arguments
	NotYesNo        ProblemKind = "not yes or no"
	NotAllowed      ProblemKind = "not allowed" // something the general language has and this part leaves out
	TooLong         ProblemKind = "too long"
	TooDeep         ProblemKind = "too deep"
	TooManyParts    ProblemKind = "too many parts"
)

// Problem is one fault of an expression. From and To are byte offsets in its text.
type Problem struct {
	From, To int
	Kind     ProblemKind
	Name     string // the name that is not known, or the operator that does not fit
	Nearest  string // the known name nearest to it, if one is near
	Message  string // one sentence, without a full stop
	Help     string // the next step, may be empty
}

// Problems is the error of Compile.
type Problems []Problem

func (p Problems) Error() string {
	texts := make([]string, len(p))
	for i, q := range p {
		texts[i] = q.Message
	}
	return strings.Join(texts, "; ")
}
