package expression

import (
	"slices"

	"github.com/expr-lang/expr/ast"
)

func (b *builder) binary(n *ast.BinaryNode) part {
	switch n.Operator {
	case "in":
		return b.in(n)
	case "and", "&&", "or", "||":
		return b.join(n)
	case "==", "!=", "<", "<=", ">", ">=":
		return b.compare(n)
	case "+", "-", "*":
		return b.arithmetic(n)
	}
	b.build(n.Left)
	b.build(n.Right)
	help := ""
	switch n.Operator {
	case "/", "%", "**", "^":
		help = "multiply by a fraction instead, such as 0.5 * dog.adult_weight_kg"
	case "..":
		help = "write two comparisons, such as latency >= 1 and latency <= 2"
	}
	b.operator(n, n.Operator, help)
	return part{}
}

func (b *builder) join(n *ast.BinaryNode) part {
	x, y := b.build(n.Left), b.build(n.Right)
	word := "and"
	if n.Operator == "or" || n.Operator == "||" {
		word = "or"
	}
	ok := b.want(n.Left, x, Bool, word)
	if ok = b.want(n.Right, y, Bool, word) && ok; !ok {
		return part{}
	}
	if word == "and" {
		return part{typ: Bool, yes: func(f *Facts) bool { return x.yes(f) && y.yes(f) }}
	}
	return part{typ: Bool, yes: func(f *Facts) bool { return x.yes(f) || y.yes(f) }}
}

func (b *builder) arithmetic(n *ast.BinaryNode) part {
	x, y := b.build(n.Left), b.build(n.Right)
	ok := b.want(n.Left, x, Number, n.Operator)
	if ok = b.want(n.Right, y, Number, n.Operator) && ok; !ok {
		return part{}
	}
	out := part{typ: Number}
	switch n.Operator {
	case "+":
		out.number = func(f *Facts) float64 { return x.number(f) + y.number(f) }
	case "-":
		out.number = func(f *Facts) float64 { return x.number(f) - y.number(f) }
	case "*":
		// the conversion keeps the product apart from a sum around it: the same bits on every machine
		out.number = func(f *Facts) float64 { return float64(x.number(f) * y.number(f)) }
	}
	return out
}

func (b *builder) compare(n *ast.BinaryNode) part {
	x, y := b.build(n.Left), b.build(n.Right)
	b.literal(x, n.Right)
	b.literal(y, n.Left)
	if x.typ == Invalid || y.typ == Invalid {
		return part{}
	}
	ordered := n.Operator != "==" && n.Operator != "!="
	if ordered {
		ok := b.want(n.Left, x, Number, n.Operator)
		if ok = b.want(n.Right, y, Number, n.Operator) && ok; !ok {
			return part{}
		}
	} else if !b.want(n.Right, y, x.typ, n.Operator+" with "+x.typ.String()+" before it") {
		return part{}
	}
	b.cut(x, y)
	return part{typ: Bool, yes: comparison(n.Operator, x, y)}
}

func comparison(op string, x, y part) func(*Facts) bool {
	switch op {
	case "<":
		return func(f *Facts) bool { return x.number(f) < y.number(f) }
	case "<=":
		return func(f *Facts) bool { return x.number(f) <= y.number(f) }
	case ">":
		return func(f *Facts) bool { return x.number(f) > y.number(f) }
	case ">=":
		return func(f *Facts) bool { return x.number(f) >= y.number(f) }
	}
	same := equality(x, y)
	if op == "==" {
		return same
	}
	return func(f *Facts) bool { return !same(f) }
}

func equality(x, y part) func(*Facts) bool {
	switch x.typ {
	case Bool:
		return func(f *Facts) bool { return x.yes(f) == y.yes(f) }
	case Number:
		return func(f *Facts) bool { return x.number(f) == y.number(f) }
	}
	return func(f *Facts) bool { return x.text(f) == y.text(f) }
}

// cut notes that two parts are compared: a fact with a number that is written down, or something else.
func (b *builder) cut(x, y part) {
	switch {
	case x.typ == Number && x.fact != "" && y.constant:
		b.cuts = append(b.cuts, Cut{x.key, y.written})
	case x.typ == Number && y.fact != "" && x.constant:
		b.cuts = append(b.cuts, Cut{y.key, x.written})
	case x.typ == Number && !(x.constant && y.constant), x.typ == Text && x.fact != "" && y.fact != "":
		b.tangled = true
	}
}

// literal notes a text in quotes that is compared with a fact.
func (b *builder) literal(p part, n ast.Node) {
	s, ok := n.(*ast.StringNode)
	if !ok || p.fact == "" || p.typ != Text {
		return
	}
	from, to := b.span(s)
	b.literals = append(b.literals, Literal{Fact: p.fact, Value: s.Value, From: from, To: to})
}

// in is `x in [a, b]`: equal to one of the list.
func (b *builder) in(n *ast.BinaryNode) part {
	x := b.build(n.Left)
	list, ok := n.Right.(*ast.ArrayNode)
	if !ok {
		from, to := b.span(n.Right)
		b.report(Problem{From: from, To: to, Kind: NotAllowed, Name: "in", Message: "in needs a list in square brackets", Help: `such as place in ["yard", "lane"]`})
		return part{}
	}
	usable := x.typ != Invalid
	var same []func(*Facts) bool
	for _, e := range list.Nodes {
		y := b.build(e)
		b.literal(x, e)
		if x.typ == Invalid || !b.want(e, y, x.typ, "in with "+x.typ.String()+" before it") {
			usable = false
			continue
		}
		b.cut(x, y)
		same = append(same, equality(x, y))
	}
	if !usable {
		return part{}
	}
	return part{typ: Bool, yes: func(f *Facts) bool {
		return slices.ContainsFunc(same, func(is func(*Facts) bool) bool { return is(f) })
	}}
}

// token is the place of the operator or name that n was made at.
func (b *builder) token(n ast.Node) (from, to int) {
	l := n.Location()
	return byteAt(b.src, l.From), byteAt(b.src, l.To)
}

// span is the place of n with all its parts, without brackets around them, but with those that close inside it.
func (b *builder) span(n ast.Node) (from, to int) {
	from, to = len(b.src), 0
	ast.Walk(&n, spanner(func(m ast.Node) {
		if _, conditional := m.(*ast.ConditionalNode); conditional {
			return // its own place is the token behind it
		}
		f, t := b.token(m)
		from, to = min(from, f), max(to, t)
	}))
	if from > to {
		return 0, len(b.src)
	}
	return from, closeBrackets(b.src, from, to)
}

// closeBrackets moves to behind the brackets that are opened in src[from:to] and closed right behind it.
func closeBrackets(src string, from, to int) int {
	open := 0
	for _, r := range src[from:to] {
		switch r {
		case '(', '[', '{':
			open++
		case ')', ']', '}':
			open--
		}
	}
	for i := to; i < len(src) && open > 0; i++ {
		switch src[i] {
		case ')', ']', '}':
			open--
			to = i + 1
		case ' ', '\t':
		default:
			return to
		}
	}
	return to
}

type spanner func(ast.Node)

func (s spanner) Visit(n *ast.Node) { s(*n) }
