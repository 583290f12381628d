package expression

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
)

// parse reads text into a tree of the parser's own, or says where it cannot be read. The text's length and the depth
// of its brackets are looked at first: the parser itself goes as deep as it is led.
func parse(text string, env Env) (ast.Node, *Problem) {
	if len(text) > env.maxBytes() {
		return nil, &Problem{To: len(text), Kind: TooLong, Message: fmt.Sprintf("a condition may have at most %d bytes, this has %d", env.maxBytes(), len(text))}
	}
	if strings.TrimSpace(text) == "" {
		return nil, &Problem{To: len(text), Kind: Empty, Message: "a condition is missing between the braces", Help: "such as latency <= 2"}
	}
	if at, deep := tooDeep(text, env.maxDepth()); deep {
		return nil, &Problem{From: at, To: at + 1, Kind: TooDeep, Message: fmt.Sprintf("brackets stand at most %d deep", env.maxDepth())}
	}
	cfg := conf.CreateNew()
	cfg.MaxNodes = uint(env.maxParts())
	for _, f := range builtin.Builtins { // so that their names are free for measures and functions
		cfg.Disabled[f.Name] = true
	}
	for _, f := range env.Functions {
		cfg.Functions[f.Name] = &builtin.Function{Name: f.Name}
	}
	tree, err := guardedParse(text, cfg)
	if err != nil {
		p := syntaxProblem(text, err, env)
		return nil, &p
	}
	return tree.Node, nil
}

// guardedParse keeps a fault of the parser from ending the host program.
func guardedParse(text string, cfg *conf.Config) (tree *parser.Tree, err error) {
	defer func() {
		if recover() != nil {
			tree, err = nil, errors.New("cannot be read")
		}
	}()
	return parser.ParseWithConfig(text, cfg)
}

// tooDeep finds the first bracket, outside texts in quotes, that stands deeper than limit.
func tooDeep(text string, limit int) (at int, deep bool) {
	depth := 0
	var quote byte
	for i := 0; i < len(text); i++ {
		c := text[i]
		switch {
		case quote != 0 && c == '\\' && quote != '`':
			i++
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'' || c == '`':
			quote = c
		case c == '(' || c == '[' || c == '{':
			if depth++; depth > limit {
				return i, true
			}
		case c == ')' || c == ']' || c == '}':
			depth--
		}
	}
	return 0, false
}

// syntaxProblem puts the parser's report in a trainer's words.
func syntaxProblem(text string, err error, env Env) Problem {
	var e *file.Error
	if !errors.As(err, &e) {
		return Problem{To: len(text), Kind: Syntax, Message: "this condition cannot be read", Help: syntaxHelp}
	}
	if strings.Contains(e.Message, "maximum allowed nodes") {
		return Problem{To: len(text), Kind: TooManyParts, Message: fmt.Sprintf("a condition may have at most %d parts", env.maxParts())}
	}
	from := byteAt(text, e.From)
	to := max(byteAt(text, e.To), from)
	if strings.Contains(e.Message, "token EOF") || from >= len(strings.TrimRight(text, " \t\r\n")) {
		end := len(strings.TrimRight(text, " \t\r\n"))
		return Problem{From: end, To: end, Kind: Syntax, Message: "the condition ends too early", Help: unclosed(text)}
	}
	if to == from {
		_, n := utf8.DecodeRuneInString(text[from:])
		to = from + n
	}
	word := text[from:to]
	p := Problem{From: from, To: to, Kind: Syntax, Message: fmt.Sprintf("%s does not fit here", quoted(word)), Help: syntaxHelp}
	before := strings.TrimRight(text[:from], " \t")
	switch {
	case strings.Contains(e.Message, "bad number syntax") || isUnit(word) && endsInDigit(before):
		if strings.Contains(e.Message, "bad number") {
			p.From, p.To = aroundNumber(text, from)
		}
		p.Kind = UnitWritten
		p.Message = "numbers between braces are written without a unit"
		p.Help = "latency and duration count in seconds, distance in metres, a measure in its declared unit"
	case strings.Contains(e.Message, "literal not terminated"):
		p.Message, p.Help = "the closing quote is missing", "close the text with the quote it begins with"
	case word == "=":
		p.Message, p.Help = "= does not compare", "write == to compare"
	case word == "is":
		p.Message, p.Help = `"is" does not compare here`, "write == to compare"
	case strings.ContainsAny(word, "“”„‘’"):
		p.Message, p.Help = "a curly quote does not begin a text", `write straight quotes, such as "lane"`
	case strings.ContainsAny(word, "≤≥≠"):
		p.Message, p.Help = fmt.Sprintf("%s is not read here", quoted(word)), "write <=, >= or !="
	}
	return p
}

const syntaxHelp = `a condition compares facts, such as latency <= 2 and place == "lane"`

func unclosed(text string) string {
	if strings.Count(text, "(") > strings.Count(text, ")") {
		return "a bracket ( has no closing )"
	}
	if strings.Count(text, "[") > strings.Count(text, "]") {
		return "a bracket [ has no closing ]"
	}
	return syntaxHelp
}

func isUnit(word string) bool {
	switch word {
	case "s", "min", "h", "m", "cm", "deg", "kg", "g", "kcal", "day", "days", "week", "weeks", "sec", "seconds", "months":
		return true
	}
	return false
}

// aroundNumber is the word of digits and letters around byte i.
func aroundNumber(text string, i int) (from, to int) {
	isWord := func(c byte) bool {
		return c == '.' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= utf8.RuneSelf
	}
	for from = i; from > 0 && isWord(text[from-1]); from-- {
	}
	for to = i; to < len(text) && isWord(text[to]); to++ {
	}
	return from, to
}

func endsInDigit(s string) bool {
	return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9'
}

func quoted(word string) string { return "\"" + strings.Trim(word, "\"") + "\"" }

// byteAt is the byte offset of the n-th character.
func byteAt(text string, n int) int {
	for i := range text {
		if n == 0 {
			return i
		}
		n--
	}
	return len(text)
}
