package dsl

import (
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// expressionKeys are the messages for what package expression finds; its own words are their argument.
var expressionKeys = map[expression.ProblemKind]string{
	expression.Syntax: "expression-form", expression.Empty: "expression-form", expression.NotAllowed: "expression-form",
	expression.UnitWritten: "expression-unit", expression.UnknownName: "expression-name", expression.UnknownMember: "expression-name",
	expression.UnknownFunction: "expression-name", expression.Hyphenated: "expression-hyphen", expression.WrongType: "expression-type",
	expression.NotYesNo: "expression-type", expression.WrongCount: "expression-type", expression.TooLong: "expression-limit",
	expression.TooDeep: "expression-limit", expression.TooManyParts: "expression-limit",
}

// expression checks what stands between braces; dogOnly where no trial is at hand.
func (r *resolver) expression(c *ctx, b *braces, dogOnly bool) (*curriculum.Expression, bool) {
	if b == nil || b.Faulty {
		return nil, false
	}
	env := r.env
	if dogOnly {
		env.Scope = expression.DogOnly
	}
	ok := true
	for _, p := range expression.Check(b.Text, env) {
		if p.Kind == expression.UnknownName && (r.blind || r.lost[p.Name] || r.lost[strings.ReplaceAll(p.Name, "_", "-")]) {
			ok = false
			continue
		}
		r.problem(c, b, p)
		ok = false
	}
	trimmed := strings.TrimSpace(b.Text)
	from := b.Inner.From + strings.Index(b.Text, trimmed)
	e := &curriculum.Expression{Text: trimmed, Pos: c.src.Pos(from)}
	if ok {
		r.literals(c, b, env)
	}
	return e, ok
}

func (r *resolver) problem(c *ctx, b *braces, p expression.Problem) {
	at := c.spot(Span{b.Inner.From + p.From, b.Inner.From + p.To})
	if p.From == p.To { // where it ends too early: the closing brace
		at.span.To = min(at.span.To+1, b.Span.To)
	}
	d := r.fault(at, expressionKeys[p.Kind], p.Message)
	switch {
	case p.Nearest != "":
		d.help("did-you-mean", p.Nearest).replace(p.Nearest)
	case c.params[p.Name] != nil:
		d.help("parameter-braces")
	case p.Help != "":
		d.help("as-said", p.Help)
	}
}

// literals warns of places and handlers in quotes that nobody declared.
func (r *resolver) literals(c *ctx, b *braces, env expression.Env) {
	p, err := expression.Compile(b.Text, env)
	if err != nil {
		return
	}
	for _, l := range p.Literals() {
		k := aPlace
		switch l.Fact {
		case "place":
		case "handler":
			k = aHandler
		default:
			continue
		}
		t := r.names[k]
		if _, known := t.first[l.Value]; known || r.blind || r.lost[l.Value] {
			continue
		}
		at := c.spot(Span{b.Inner.From + l.From, b.Inner.From + l.To})
		d := r.warn(at, "literal-unknown", nameKindWords[k], l.Value)
		if near := curriculum.Nearest(l.Value, t.order); near != "" {
			d.help("did-you-mean", near).replace(`"` + near + `"`)
		}
	}
}
