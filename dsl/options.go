package dsl

import "example.com/rung/curriculum/expression"

// limits are what keeps a hostile or broken text from costing more than it should. Every one has an error code of its
// own and can be changed by an Option.
type limits struct {
	fileBytes       int
	nesting         int
	expressionBytes int
	expressionNodes int
	diagnostics     int
	functions       []expression.Function
}

// Defaults. The reasons: a large house curriculum is some 200 KiB, so 1 MiB leaves room and still reads in a fraction of a
// second; people nest brackets two or three deep, and 100 keeps recursion far from the end of any stack; the longest
// expressions people write are a few hundred bytes; an expression costs its node count at every trial, so 200 bounds
// that; and nobody reads more than 100 findings at once.
const (
	DefaultMaxFileBytes       = 1 << 20
	DefaultMaxNesting         = 100
	DefaultMaxExpressionBytes = 4096
	DefaultMaxNodes           = 200
	DefaultMaxDiagnostics     = 100
)

// Option changes a limit of Parse, Tidy and the reading functions, or makes functions known to them.
type Option func(*limits)

// MaxFileBytes limits the size of one file in bytes (1 MiB unless told otherwise).
func MaxFileBytes(n int) Option { return func(l *limits) { l.fileBytes = n } }

// MaxNesting limits how deep braces and brackets may nest (100 unless told otherwise).
func MaxNesting(n int) Option { return func(l *limits) { l.nesting = n } }

// MaxExpressionBytes limits the length of one `{ expression }` in bytes (4096 unless told otherwise).
func MaxExpressionBytes(n int) Option { return func(l *limits) { l.expressionBytes = n } }

// MaxNodes limits the number of operators, facts and numbers in one `{ expression }` (200 unless told otherwise).
func MaxNodes(n int) Option { return func(l *limits) { l.expressionNodes = n } }

// MaxDiagnostics limits how many findings are handed out (100 unless told otherwise); a last one counts the rest.
func MaxDiagnostics(n int) Option { return func(l *limits) { l.diagnostics = n } }

// Functions makes functions of the host program known between braces, with the types of their arguments; they are not
// called while reading.
func Functions(fns ...expression.Function) Option {
	return func(l *limits) { l.functions = append(l.functions, fns...) }
}

func newLimits(opts []Option) limits {
	l := limits{
		fileBytes: DefaultMaxFileBytes, nesting: DefaultMaxNesting, expressionBytes: DefaultMaxExpressionBytes,
		expressionNodes: DefaultMaxNodes, diagnostics: DefaultMaxDiagnostics,
	}
	for _, o := range opts {
		if o != nil {
			o(&l)
		}
	}
	return l
}
