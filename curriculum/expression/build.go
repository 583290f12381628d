package expression

import (
	"fmt"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"

	"example.com/rung/curriculum"
)

// part is a typed piece of a program: the field that typ names is set. A part of type Invalid was faulty and has been
// reported; what is built from it stays quiet.
type part struct {
	typ    Type
	yes    func(*Facts) bool
	number func(*Facts) float64
	text   func(*Facts) string
	fact   string // the fact it reads, where it is nothing else

	constant bool // a number that is written down
	written  float64
	key      string // the fact as Reads lists it
}

type builder struct {
	src        string
	env        Env
	bare, dog  []fact
	read       map[string]fact
	problems   []Problem
	literals   []Literal
	hyphenated map[string]bool // a-b of declared measures
	cuts       []Cut
	tangled    bool // more than facts compared with constants
	calls      bool // functions of the host program
}

func newBuilder(src string, env Env) *builder {
	b := &builder{src: src, env: env, read: map[string]fact{}, hyphenated: map[string]bool{}}
	b.bare, b.dog = env.facts()
	for _, m := range env.Measures {
		if strings.Contains(m.Name, "-") {
			b.hyphenated[m.Name] = true
		}
	}
	return b
}

func (b *builder) report(p Problem) { b.problems = append(b.problems, p) }

// build checks n and makes a part of it, reporting every fault it meets.
func (b *builder) build(n ast.Node) part {
	switch n := n.(type) {
	case *ast.BoolNode:
		v := n.Value
		return part{typ: Bool, yes: func(*Facts) bool { return v }}
	case *ast.IntegerNode:
		return numberPart(float64(n.Value))
	case *ast.FloatNode:
		return numberPart(n.Value)
	case *ast.StringNode:
		v := n.Value
		return part{typ: Text, text: func(*Facts) string { return v }}
	case *ast.IdentifierNode:
		return b.name(n)
	case *ast.MemberNode:
		return b.member(n)
	case *ast.UnaryNode:
		return b.unary(n)
	case *ast.BinaryNode:
		return b.binary(n)
	case *ast.ConditionalNode:
		return b.conditional(n)
	case *ast.CallNode:
		return b.call(n)
	}
	b.notAllowed(n)
	return part{}
}

func numberPart(v float64) part {
	return part{typ: Number, number: func(*Facts) float64 { return v }, constant: true, written: v}
}

// notAllowed reports a form that the general language has and this part of it has not.
func (b *builder) notAllowed(n ast.Node) {
	from, to := b.span(n)
	name, help := "", "compare facts, add and, or, not, and in [ ]"
	message := "this form is not part of a condition"
	switch n := n.(type) {
	case *ast.BuiltinNode:
		name = n.Name
		message = fmt.Sprintf("there is no function %s here", n.Name)
	case *ast.ArrayNode:
		message = "a list stands only behind in"
	case *ast.NilNode:
		message = "nil is no value here"
		help = "a fact that was not recorded makes the whole condition not hold"
	}
	b.report(Problem{From: from, To: to, Kind: NotAllowed, Name: name, Message: message, Help: help})
}

func (b *builder) name(n *ast.IdentifierNode) part {
	from, to := b.span(n)
	if f, ok := find(b.bare, n.Value); ok {
		key := f.name
		if b.env.Scope == DogOnly {
			key = Member + "." + f.name
		}
		return b.use(key, f)
	}
	if n.Value == Member {
		b.report(Problem{From: from, To: to, Kind: UnknownMember, Name: Member, Message: "dog alone is no fact", Help: "name one of its facts, such as dog.age_months"})
		return part{}
	}
	if whole, f, t, ok := b.hyphens(from); ok {
		b.report(Problem{From: f, To: t, Kind: Hyphenated, Name: whole, Nearest: FactName(whole), Message: fmt.Sprintf("%q is written %s between braces", whole, FactName(whole)), Help: "a hyphen would subtract; write an underscore"})
		return part{}
	}
	p := Problem{From: from, To: to, Kind: UnknownName, Name: n.Value, Message: fmt.Sprintf("%q is no fact of a trial", n.Value)}
	if b.env.Scope == DogOnly {
		p.Message = fmt.Sprintf("%q is no fact of the dog", n.Value)
		if trial, _ := (Env{Measures: b.env.Measures}).facts(); slices.ContainsFunc(trial, func(f fact) bool { return f.name == n.Value }) {
			p.Help = "only the dog's facts can be asked here"
		}
	} else if f, ok := find(dogFacts, n.Value); ok {
		p.Nearest = Member + "." + f.name
	}
	if p.Nearest == "" {
		p.Nearest = Nearest(n.Value, b.env.Names())
	}
	if b.env.Scope == DogOnly {
		p.suggest("age_days, age_weeks, age_months, weight_kg, adult_weight_kg, neutered, name")
	}
	p.suggest("latency, place, success or a declared measure")
	if p.Kind == UnknownName && b.env.Scope == TrialAndDog && p.Nearest == "" && b.comparedText(from, to) {
		p.Help = "a text stands in quotes: \"" + n.Value + "\""
	}
	b.report(p)
	return part{}
}

// comparedText reports whether the name in src[from:to] stands right behind == or !=, where a text without its
// quotes would.
func (b *builder) comparedText(from, _ int) bool {
	before := strings.TrimRight(b.src[:from], " \t")
	return strings.HasSuffix(before, "==") || strings.HasSuffix(before, "!=")
}

func (p *Problem) suggest(otherwise string) {
	switch {
	case p.Help != "":
	case p.Nearest != "":
		p.Help = "did you mean " + p.Nearest + "?"
	default:
		p.Help = "there is " + otherwise
	}
}

// hyphens finds the declared hyphenated measure that is written around byte from.
func (b *builder) hyphens(from int) (name string, f, t int, ok bool) {
	isWord := func(c byte) bool {
		return c == '-' || c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
	}
	f, t = from, from
	for f > 0 && isWord(b.src[f-1]) {
		f--
	}
	for t < len(b.src) && isWord(b.src[t]) {
		t++
	}
	name = b.src[f:t]
	return name, f, t, b.hyphenated[name]
}

func (b *builder) member(n *ast.MemberNode) part {
	property, isText := n.Property.(*ast.StringNode)
	owner, isName := n.Node.(*ast.IdentifierNode)
	if !isText || !isName || owner.Value != Member || n.Optional {
		from, to := b.span(n)
		b.report(Problem{From: from, To: to, Kind: NotAllowed, Message: "only dog has facts behind a point", Help: "such as dog.age_months"})
		return part{}
	}
	if f, ok := find(b.dog, property.Value); ok {
		return b.use(Member+"."+f.name, f)
	}
	from, to := b.span(property)
	var names []string
	for _, f := range b.dog {
		names = append(names, f.name)
	}
	p := Problem{From: from, To: to, Kind: UnknownMember, Name: property.Value, Nearest: Nearest(property.Value, names), Message: fmt.Sprintf("a dog's profile has no %q", property.Value)}
	p.suggest(strings.Join(names, ", "))
	b.report(p)
	return part{}
}

func find(facts []fact, name string) (fact, bool) {
	i := slices.IndexFunc(facts, func(f fact) bool { return f.name == name })
	if i < 0 {
		return fact{}, false
	}
	return facts[i], true
}

func (b *builder) use(key string, f fact) part {
	b.read[key] = f
	return part{typ: f.typ, yes: f.yes, number: f.number, text: f.text, fact: f.name, key: key}
}

// want reports n where its part is of another type than it must be, and whether it is usable.
func (b *builder) want(n ast.Node, p part, t Type, by string) bool {
	if p.typ == Invalid {
		return false
	}
	if p.typ == t {
		return true
	}
	from, to := b.span(n)
	q := Problem{From: from, To: to, Kind: WrongType, Name: by, Message: fmt.Sprintf("%s needs %s, this is %s", by, t, p.typ)}
	if by == "not" {
		q.Help = "put the comparison behind not in brackets: not (" + strings.TrimSpace(b.src[from:to]) + " ...)"
	}
	b.report(q)
	return false
}

func (b *builder) unary(n *ast.UnaryNode) part {
	p := b.build(n.Node)
	switch n.Operator {
	case "not", "!":
		if b.want(n.Node, p, Bool, "not") {
			yes := p.yes
			return part{typ: Bool, yes: func(f *Facts) bool { return !yes(f) }}
		}
	case "-":
		if b.want(n.Node, p, Number, "a minus sign") {
			if p.constant {
				return numberPart(-p.written)
			}
			number := p.number
			return part{typ: Number, number: func(f *Facts) float64 { return -number(f) }}
		}
	case "+":
		if b.want(n.Node, p, Number, "a plus sign") {
			return part{typ: Number, number: p.number}
		}
	default:
		b.operator(n, n.Operator, "")
	}
	return part{}
}

// operator reports an operator that is not part of a condition.
func (b *builder) operator(n ast.Node, op, help string) {
	from, to := b.token(n)
	if help == "" {
		help = "there are == != < <= > >=, + - *, and, or, not, in [ ]"
	}
	b.report(Problem{From: from, To: to, Kind: NotAllowed, Name: op, Message: fmt.Sprintf("%q is no operator of a condition", op), Help: help})
}

func (b *builder) conditional(n *ast.ConditionalNode) part {
	if !n.Ternary {
		b.notAllowed(n)
		return part{}
	}
	c, x, y := b.build(n.Cond), b.build(n.Exp1), b.build(n.Exp2)
	ok := b.want(n.Cond, c, Bool, "the part before ?")
	if !ok || x.typ == Invalid || !b.want(n.Exp2, y, x.typ, "the part behind :") {
		return part{}
	}
	out := part{typ: x.typ}
	switch x.typ {
	case Bool:
		out.yes = func(f *Facts) bool { return pick(c.yes(f), x.yes, y.yes)(f) }
	case Number:
		out.number = func(f *Facts) float64 { return pick(c.yes(f), x.number, y.number)(f) }
	case Text:
		out.text = func(f *Facts) string { return pick(c.yes(f), x.text, y.text)(f) }
	}
	return out
}

func pick[T any](first bool, x, y T) T {
	if first {
		return x
	}
	return y
}

func (b *builder) call(n *ast.CallNode) part {
	callee, ok := n.Callee.(*ast.IdentifierNode)
	if !ok {
		b.notAllowed(n)
		return part{}
	}
	args := make([]part, len(n.Arguments))
	for i, a := range n.Arguments {
		args[i] = b.build(a)
	}
	i := slices.IndexFunc(b.env.Functions, func(f Function) bool { return f.Name == callee.Value })
	if i < 0 {
		b.unknownFunction(callee)
		return part{}
	}
	fn := b.env.Functions[i]
	if types := append(slices.Clone(fn.Params), fn.Returns); slices.ContainsFunc(types, func(t Type) bool { return t < Bool || t > Text }) {
		from, to := b.span(callee)
		b.report(Problem{From: from, To: to, Kind: WrongType, Name: fn.Name, Message: fmt.Sprintf("the function %s was registered without the types of all that it takes and gives", fn.Name), Help: "give Function.Params and Function.Returns each a type: Bool, Number or Text"})
		return part{}
	}
	if len(args) != len(fn.Params) {
		from, to := b.span(callee)
		b.report(Problem{From: from, To: to, Kind: WrongCount, Name: fn.Name, Message: fmt.Sprintf("%s takes %d arguments, here are %d", fn.Name, len(fn.Params), len(args))})
		return part{}
	}
	usable := true
	for i, a := range args {
		usable = b.want(n.Arguments[i], a, fn.Params[i], fmt.Sprintf("argument %d of %s", i+1, fn.Name)) && usable
	}
	if !usable {
		return part{}
	}
	if fn.Call == nil { // checked only: read as a fact that is never recorded
		b.read["function "+fn.Name] = fact{name: fn.Name, recorded: func(*Facts) bool { return false }}
	}
	b.tangled, b.calls = true, true
	run := func(f *Facts) Value {
		values := make([]Value, len(args))
		for i, a := range args {
			values[i] = a.value(f)
		}
		return fn.call(values, f)
	}
	out := part{typ: fn.Returns}
	switch fn.Returns {
	case Bool:
		out.yes = func(f *Facts) bool { return run(f).Bool }
	case Number:
		out.number = func(f *Facts) float64 { return run(f).Number }
	case Text:
		out.text = func(f *Facts) string { return run(f).Text }
	}
	return out
}

// call calls the function; if it panics, f.Fault says so.
func (fn *Function) call(values []Value, f *Facts) (v Value) {
	defer func() {
		if r := recover(); r != nil {
			f.Fault = &FunctionError{fn.Name, r}
		}
	}()
	return fn.Call(values)
}

func (p part) value(f *Facts) Value {
	v := Value{Type: p.typ}
	switch p.typ {
	case Bool:
		v.Bool = p.yes(f)
	case Number:
		v.Number = p.number(f)
	case Text:
		v.Text = p.text(f)
	}
	return v
}

func (b *builder) unknownFunction(n *ast.IdentifierNode) {
	from, to := b.span(n)
	var names []string
	for _, f := range b.env.Functions {
		names = append(names, f.Name)
	}
	p := Problem{From: from, To: to, Kind: UnknownFunction, Name: n.Value, Nearest: Nearest(n.Value, names), Message: fmt.Sprintf("there is no function %s here", n.Value)}
	if len(names) == 0 {
		p.Help = "functions are registered by the program that reads the curriculum"
	}
	p.suggest(strings.Join(names, ", "))
	b.report(p)
}

// Nearest is the name nearest to word, or "" where none is near.
func Nearest(word string, names []string) string { return curriculum.Nearest(word, names) }
