package dsl

import "strings"

// finishStatement fills in what the grammar leaves open and checks what it cannot say. false: a fault was reported, and
// the statement does not count.
func (p *parser) finishStatement(s statement, span Span) bool {
	switch s := s.(type) {
	case *wordStmt:
		if s.Name != nil && s.Word.Value != "side" {
			right := `"` + s.Name.Text + `"`
			return p.fail(finding{key: "quotes-missing", span: s.Name.Span, context: span, args: []string{right}, edits: []Edit{{s.Name.Span, right}}}, span)
		}
	case *needsStmt:
		return p.finishNeeds(s, span)
	case *rampStmt:
		s.Values, s.More = append(s.Values, s.More...), nil
	case *climbStmt:
	case *expectStmt:
		if s.Has != nil || s.Leaves != nil {
			if s.Behaviour.Text != "plan" {
				return p.fail(finding{key: "expect-plan", span: s.Behaviour.Span, context: span, args: []string{s.Behaviour.Text}}, span)
			}
		}
	case *criterionStmt:
		return p.condition(&s.Is, span)
	case *ruleStmt:
		return p.finishRule(s, span)
	case *tallyStmt:
		return true
	}
	return true
}

// fail reports a fault in a statement unless one has been reported in it; it returns false.
func (p *parser) fail(f finding, span Span) bool {
	if !p.reportedIn(span) {
		p.report(f)
	}
	for _, t := range p.tokens[max(0, p.index()-64):p.index()] {
		if t.Pos.Offset >= span.From {
			p.file.loseToken(t)
		}
	}
	return false
}

func (p *parser) finishNeeds(s *needsStmt, span Span) bool {
	for _, part := range s.Parts {
		switch n := len(s.Items); {
		case part.Thin == nil && part.Piece == nil && part.Value == nil:
			item := need{span: part.Span(), Behaviour: part.Name, Step: part.Step}
			if part.Level != nil {
				item.Level = []levelPart{*part.Level}
			}
			s.Items = append(s.Items, item)
		case n == 0 && part.Value != nil && part.Value.Name != "": // needs sit one: surely a step
			at := part.Value.Span
			return p.fail(finding{key: "word-missing", span: at, context: span, args: []string{"at", part.Value.Name}, edits: []Edit{{Span{at.From, at.From}, "at "}}}, span)
		case n == 0 || len(s.Items[n-1].Level) == 0:
			return p.fail(finding{key: "need-level", span: part.Span(), context: span}, span)
		default:
			more := levelPart{node: part.node, Thin: part.Thin, Piece: part.Piece}
			if part.Value != nil {
				more.Of, more.Value = &part.Name, *part.Value
			}
			last := &s.Items[n-1]
			last.Level = append(last.Level, more)
			last.span.To = part.Span().To
		}
	}
	return true
}

func (p *parser) finishRule(s *ruleStmt, span Span) bool {
	word := s.Word.Value
	switch {
	case s.Today != nil && word != "stop":
		return p.fail(finding{key: "expected", span: spanOf(*s.Today), context: span, args: []string{quoted("when"), quoted("today")}}, span)
	case s.To != nil && word != "ease" && word != "lapse":
		return p.fail(finding{key: "rule-to", span: s.To.Span, context: span, args: []string{word}}, span)
	case len(s.Into) > 0 && word != "split":
		return p.fail(finding{key: "rule-into", span: s.Into[0].Span, context: span, args: []string{word}}, span)
	}
	return p.condition(&s.When, span)
}

// ---- how faults are worded ----

// expected words a statement that participle could not read.
func (p *parser) expected(f *fault, start, end int, span Span) finding {
	t := p.tokens[f.index]
	at := spanOf(t)
	if f.index >= end && !isPunct(t, "{") { // something is missing at the end: the caret stands right behind the last word
		last := spanOf(p.tokens[end-1])
		at = Span{last.To, last.To}
	}
	what := "the end of the line"
	if f.want != "" {
		what = wanted(f.want, p.tokens[start:f.index])
	}
	out := finding{key: "expected", span: at, context: span, args: []string{what, found(t)}}
	if f.want == "" {
		out.key, out.args = "surplus-end", []string{found(t)}
		switch w := p.tokens[start].Value; {
		case w == "climb":
			out.help = "surplus-end.climb"
		case w == "ramp" && t.Value == "grain":
			out.help = "surplus-end.varied"
			return out
		case (w == "prompt" || w == "help") && t.Type == tString:
			out.help = "surplus-end.prompt"
		case !ruleWords[w] && w != "criterion":
		case t.Type == tCompare:
			out.help = "surplus-end.compare"
			return out
		case t.Value == "with" && p.tokens[f.index+1].Type == tNumber:
			out.help = "surplus-end.with"
			return out
		default:
			out.help = "surplus-end.rule"
		}
	} else if t.Type == tKeyword && f.index > start && (f.index == start+1 || isPunct(p.tokens[f.index-1], ",")) && strings.EqualFold(strings.Join(firstOf(f.want), " "), "name") && declaringWords[p.tokens[start].Value] {
		return finding{key: "name-reserved", span: at, context: span, args: []string{t.Value}}
	}
	if h := hintFor(p.tokens[start:end], f.index-start); h != "" {
		out.help = h
	}
	return out
}

// found is what stands there, in words.
func found(t token) string {
	switch t.Type {
	case tEOF, tEnd:
		return "the end of the line"
	case tString:
		return "a text in quotes"
	case tBraces, tBadBraces:
		return "an expression in braces"
	case tNumber:
		return "the number " + t.Value
	case tUnit:
		return "the unit " + t.Value
	case tPercent:
		return quoted("%")
	case tMark:
		return "the mark " + t.Value
	}
	return quoted(t.Value)
}

// quoted puts a piece of text in quotes for a message; a long one is cut.
func quoted(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:37]) + "..."
	}
	return `"` + s + `"`
}

func listOf(words []string) string { return strings.Join(words, ", ") }
