package dsl

import (
	"example.com/rung/curriculum"
)

// step resolves a draft's lines except its rules, which may name other steps.
func (r *resolver) step(w *behaviourWork, d *stepDraft) {
	s := &curriculum.Step{Name: d.name, Text: d.text, Chain: d.chain, Pos: d.at.pos()}
	d.step = s
	r.doubledLines(d.lines)
	var raise *raiseStmt
	var raiseC *ctx
	for _, l := range d.lines {
		c := l.c
		switch n := l.stmt.(type) {
		case *namesStmt:
			r.stepNamesLine(c, s, n)
		case *rewardStmt:
			s.Reward, _ = r.schedule(c, &n.Schedule)
			s.PaidAt = c.pos(n.Span())
		case *rampStmt:
			r.ramp(c, d, n)
		case *thinStmt:
			r.thin(c, d, n)
			s.PaidAt = c.pos(n.Span())
		case *raiseStmt:
			raise, raiseC = n, c
		case *choiceStmt:
			s.Choice = r.answers(c, n)
		case *decideStmt:
			s.Decide = r.decide(c, n)
		case *capsStmt:
			s.Caps = append(s.Caps, r.caps(c, n)...)
		case *allowStmt:
			if !c.checked {
				r.allow(c, n, w.b.Name, d.name)
			}
		default:
			r.sheetLine(c, &s.Sheet, n)
		}
	}
	r.rewardAndThin(d)
	r.layOut(raiseC, d, raise)
}

func (r *resolver) stepNamesLine(c *ctx, s *curriculum.Step, n *namesStmt) {
	switch n.Word.Value {
	case "prompt":
		s.Prompts = r.nameList(c, "prompt", n.Names)
	case "help":
		s.Help = r.nameList(c, "help", n.Names)
	case "place":
		s.Places = r.declaredList(c, aPlace, n.Names)
	case "equipment":
		s.Sheet.Equipment = r.declaredList(c, anEquipment, n.Names)
	case "caution":
		s.Sheet.Cautions = r.declaredList(c, aCaution, n.Names)
	case "formerly":
		s.Formerly = r.nameList(c, "former name", n.Names)
	}
}

// sheetLine resolves a line that is printed and that no rule depends on.
func (r *resolver) sheetLine(c *ctx, s *curriculum.Sheet, stmt statement) {
	switch n := stmt.(type) {
	case *cueStmt:
		s.Cues = r.cues(c, n.Items)
	case *markStmt:
		if name, at, ok := r.name(c, n.Marker); ok && r.known(aMarker, name, at) {
			s.Mark = name
		}
	case *takesStmt:
		s.Takes, _ = r.positive(c, n.Time, curriculum.Time, "the time a trial takes")
	case *wordStmt:
		r.sheetWord(c, s, n)
	}
}

// cues is the forms of a cue or of a marker.
func (r *resolver) cues(c *ctx, items []cueItem) (out []curriculum.Cue) {
	for _, i := range items {
		kind := curriculum.WordCue
		if i.Kind != nil {
			if k, _, ok := r.name(c, *i.Kind); ok {
				kind = k
			}
		}
		out = append(out, curriculum.Cue{Kind: kind, Text: i.Text.Text, Pos: c.pos(i.Text.Span)})
	}
	return out
}

func (r *resolver) sheetWord(c *ctx, s *curriculum.Sheet, n *wordStmt) {
	said := ""
	switch {
	case n.Text != nil:
		said = n.Text.Text
	case n.Name != nil:
		said, _, _ = r.name(c, *n.Name)
	}
	switch n.Word.Value {
	case "do":
		s.Do = said
	case "success":
		s.Success, s.SuccessAt = said, c.pos(n.Span())
	case "pay":
		s.Pay = said
	case "side":
		s.Side = said
	case "set-up":
		s.SetUp = said
	}
}

// answers are what a dog chooses between: two or more.
func (r *resolver) answers(c *ctx, n *choiceStmt) []string {
	out := r.nameList(c, "answer", n.Answers)
	if len(n.Answers) == 1 {
		r.fault(c.spot(n.Answers[0].Span), "choice-one", n.Answers[0].Text)
	}
	return out
}

func (r *resolver) decide(c *ctx, n *decideStmt) curriculum.Decide {
	d := curriculum.Decide{EachSession: n.Session != nil, Pos: c.pos(n.Span())}
	if n.Every != nil {
		d.EveryTrials, _ = r.count(c, *n.Every, 1)
	}
	return d
}

func (r *resolver) caps(c *ctx, n *capsStmt) []curriculum.Cap {
	var out []curriculum.Cap
	for _, p := range n.Caps {
		k, ok := r.count(c, p.N, 1)
		limit := curriculum.Cap{N: k, Per: perOf(p.Per.Value), Pos: c.pos(p.Span())}
		switch p.Of.Value {
		case "session", "sessions":
			limit.Of = curriculum.CapSessions
		}
		if limit.Of == curriculum.CapSessions && limit.Per == curriculum.PerSession {
			r.fault(c.spot(spanOf(p.Per)), "cap-session")
			continue
		}
		for _, o := range out {
			if o.Of == limit.Of && o.Per == limit.Per {
				r.fault(c.spot(p.Span()), "limit-doubled")
				ok = false
			}
		}
		if ok {
			out = append(out, limit)
		}
	}
	return out
}

// perOf is the span of a cap that ends in this word.
func perOf(word string) curriculum.CapPer {
	switch word {
	case "day":
		return curriculum.PerDay
	case "week":
		return curriculum.PerWeek
	}
	return curriculum.PerSession
}

func (r *resolver) allow(c *ctx, n *allowStmt, behaviour, step string) {
	r.out.Allowed = append(r.out.Allowed, curriculum.Allowance{Code: n.Code.Text, Because: n.Because.Text, Behaviour: behaviour, Step: step, Pos: c.pos(n.Span())})
}

// rules resolves a draft's rules, once all steps of its behaviour are known.
func (r *resolver) rules(w *behaviourWork, d *stepDraft) {
	index := w.stepIndex(d.name)
	for _, l := range d.lines {
		n, ok := l.stmt.(*ruleStmt)
		if !ok {
			continue
		}
		if rule, ok := r.rule(w, d, index, l.c, n); ok {
			d.step.Rules = append(d.step.Rules, rule)
		}
	}
}

func (r *resolver) rule(w *behaviourWork, d *stepDraft, index int, c *ctx, n *ruleStmt) (curriculum.Rule, bool) {
	rule := curriculum.Rule{Word: curriculum.RuleWord(n.Word.Value), ToFirst: n.First != nil, Pos: c.pos(n.Span())}
	ok := true
	if rule.Word == curriculum.Skip && index == 0 && !c.checked && !w.incomplete && !r.lostStep {
		r.fault(c.spot(spanOf(n.Word)), "skip-first", d.name)
		ok = false
	}
	if n.To != nil {
		rule.To, ok = r.ruleTo(w, d, index, c, n)
	}
	first := map[string]Span{}
	for _, p := range n.Into {
		if before, twice := first[p.Text]; twice {
			r.doubled("piece", p.Text, c.spot(p.Span), c.spot(before))
			ok = false
		}
		first[p.Text] = p.Span
		rule.Into = append(rule.Into, p.Text)
	}
	is, good := r.criterion(c, n.When.Is)
	rule.When = is
	good = good && r.notTooLarge(r.size(is), c.spot(n.When.Span()))
	if good {
		u := use{word: rule.Word}
		switch rule.Word {
		case curriculum.Advance, curriculum.Ease, curriculum.Split:
			u.decide = &d.step.Decide
		}
		r.fits(c, n.When.Is, u)
	}
	return rule, ok && good
}

// ruleTo resolves the step that an ease goes back to: an earlier one.
func (r *resolver) ruleTo(w *behaviourWork, d *stepDraft, index int, c *ctx, n *ruleStmt) (string, bool) {
	name, at, ok := r.name(c, *n.To)
	if !ok {
		return "", false
	}
	name = c.stepName(name)
	to := w.stepIndex(name)
	if to < 0 {
		if !c.checked {
			r.knownStep(w, name, at)
		}
		return name, false
	}
	if to >= index {
		dd := r.fault(at, "ease-earlier", name, d.name).relate(w.drafts[to].at, "declared-here", name)
		if to == index {
			dd.help("ease-same")
		}
		return name, false
	}
	return name, true
}
