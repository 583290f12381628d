// Package dsl reads curricula written as text, and writes them tidily.
//
// ReadFile and ReadFS turn a text, with the files it uses, into a curriculum.Curriculum. Parse reads one text into its
// syntax tree; Resolve makes the curriculum of one or several. Both find every fault in one run and report each once, as
// Diagnostics with a code, the exact place, help and, where the repair is certain, edits. Explain has a page for every
// code. Tidy lays a text out.
//
// How a text becomes a tree: the lexer (lexer.go, lexer_*.go) makes tokens and ends statements with their lines; the
// mender (mend.go) reports what people plausibly write instead of the language's words and puts those in; the loop in
// parser.go and parser_blocks.go cuts the tokens into statements and blocks and hands each statement to participle, whose
// grammar is the tree itself (syntax.go, syntax_behaviour.go, syntax_criterion.go). A new statement is a type there and
// an entry in grammar.go and words.go; a new message is an entry in a table of codes.
//
// The language is described in LANGUAGE.md. All functions are safe for concurrent use, and the same text always gives
// the same result.
package dsl
