package curriculum

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// Fingerprint is a short mark (32 hexadecimal digits) of everything in the curriculum that decides where a dog stands:
// behaviours, steps, levels, prompts, rules, reviews, doors, measures, signs, the ease after days away, and former names. Two
// texts that mean the same have the same one: it is blind to places in files, remarks, printed words, the names of
// criteria and ladders, units (60 s is 1 min), spellings of a criterion (3 in a row is 3 of last 3, 80% of last 5 is
// 4 of last 5) and to the order of declarations and of rules of different words. What only the planner or the printed
// sheet uses (caps, pairs, rewards, session limits, cautions) is left out.
func (c *Curriculum) Fingerprint() string {
	if c == nil {
		return ""
	}
	return fingerprintOf(meaner{c: c}.meaning())
}

// Origin is Fingerprint, but blind to renaming too: a behaviour or step goes by the first name in its `formerly` line,
// where it has one. Before and after such a renaming the origin is the same. Where `formerly` names nothing it is the
// fingerprint.
func (c *Curriculum) Origin() string {
	if c == nil {
		return ""
	}
	return fingerprintOf(meaner{c: c, first: true}.meaning())
}

func fingerprintOf(meaning string) string {
	sum := sha256.Sum256([]byte("rung meaning 1\n" + meaning))
	return hex.EncodeToString(sum[:16])
}

// meaning is the canonical text that Fingerprint marks. Every name is quoted, every list has brackets, so that two
// meanings never share a text.
func (m meaner) meaning() string {
	c := m.c
	var parts []string
	for _, x := range c.Measures {
		parts = append(parts, list("measure", quote(x.Name), quote(string(x.Unit)), flag(x.SmallerIsBetter)))
	}
	for _, x := range c.Signs {
		only := make([]string, len(x.Only))
		for i, o := range x.Only {
			only[i] = quote(m.behaviour(o))
		}
		parts = append(parts, list("sign", quote(x.Name), fmt.Sprint(x.Locks), sorted(only)))
	}
	for _, s := range c.Sessions {
		for _, a := range s.Away {
			parts = append(parts, list("away", fmt.Sprint(a.Days), fmt.Sprint(a.Levels)))
		}
	}
	for _, b := range c.Behaviours {
		parts = append(parts, m.behaviourMeaning(b))
	}
	return sorted(parts)
}

type meaner struct {
	c     *Curriculum
	first bool // names are the first ones, former names no part of the meaning
}

// name is what a behaviour or step goes by, and former what is said of its former names.
func (m meaner) name(name string, formerly []string) string {
	if m.first && len(formerly) > 0 {
		return formerly[0]
	}
	return name
}

func (m meaner) former(formerly []string) string {
	if m.first {
		return quotes(nil)
	}
	return quotes(formerly)
}

// behaviour is the present name of a behaviour that may be called by a former one.
func (m meaner) behaviour(name string) string {
	if b := m.c.Behaviour(name); b != nil {
		return m.name(b.Name, b.Formerly)
	}
	return name
}

func (m meaner) step(b *Behaviour, name string) string {
	if b != nil {
		if i := b.Step(name); i >= 0 {
			return m.name(b.Steps[i].Name, b.Steps[i].Formerly)
		}
	}
	return name
}

func (m meaner) behaviourMeaning(b *Behaviour) string {
	var needs []string
	for _, n := range b.Needs {
		needs = append(needs, m.need(n))
	}
	steps := make([]string, len(b.Steps))
	for i, s := range b.Steps {
		steps[i] = m.stepMeaning(b, s)
	}
	parts := []string{"behaviour", quote(m.name(b.Name, b.Formerly)), m.former(b.Formerly), sorted(needs), list(steps...), m.rules(b, b.Lapse)}
	if len(b.Review) > 0 {
		parts = append(parts, reviewMeaning(b.Review))
	}
	return list(parts...)
}

func reviewMeaning(gaps []Quantity) string {
	parts := []string{"review"}
	for _, q := range gaps {
		parts = append(parts, quantityMeaning(q))
	}
	return list(parts...)
}

func (m meaner) need(n Need) string {
	if n.Other == "" {
		return list("dog", flag(n.Firmly), expressionMeaning(n.Dog))
	}
	b := m.c.Behaviour(n.Other)
	level := "kept"
	if n.Step != "" {
		level = list("at", quote(m.step(b, n.Step)), m.levelIndex(b, n.Step, n.Level))
	}
	return list("need", flag(n.Firmly), quote(m.behaviour(n.Other)), level)
}

// levelIndex is the place of the first level that ref means in a step: a part of a level and the whole of it are one.
func (m meaner) levelIndex(b *Behaviour, step string, ref LevelRef) string {
	if b != nil {
		if i := b.Step(step); i >= 0 {
			for j, l := range levelsOf(b.Steps[i]) {
				if l.Meets(ref) {
					return fmt.Sprint(j)
				}
			}
		}
	}
	return levelMeaning(ref)
}

func levelsOf(s *Step) []Level {
	if len(s.Levels) == 0 {
		return LayOut(s.Ramps, s.Raise)
	}
	return s.Levels
}

func (m meaner) stepMeaning(b *Behaviour, s *Step) string {
	levels := make([]string, 0, len(s.Levels))
	for _, l := range levelsOf(s) {
		levels = append(levels, levelMeaning(LevelRef(l.Values)))
	}
	ramps := make([]string, len(s.Ramps))
	for i, r := range s.Ramps {
		ramps[i] = list(quote(r.Of), quantityMeaning(r.Grain), flag(r.Varied), flag(r.Measured), flag(r.Falling))
	}
	decide := list("decide", fmt.Sprint(max(1, s.Decide.EveryTrials)), flag(s.Decide.EachSession))
	return list("step", quote(m.name(s.Name, s.Formerly)), m.former(s.Formerly), quotes(s.Prompts), sorted(ramps), list(levels...), decide, m.rules(b, s.Rules))
}

// rules keeps the order of rules of one word, where the first that holds is taken, and no other order.
func (m meaner) rules(b *Behaviour, rules []Rule) string {
	var out []string
	for _, word := range []RuleWord{Advance, Ease, Split, StopToday, Flag, Skip, Lapse} {
		for _, r := range rules {
			if r.Word == word {
				out = append(out, m.rule(b, r))
			}
		}
	}
	return list(out...)
}

func (m meaner) rule(b *Behaviour, r Rule) string {
	into := make([]string, len(r.Into))
	for i, p := range r.Into {
		into[i] = quote(p)
	}
	to, first := r.To, r.ToFirst
	if to == "" && r.Word == Lapse && len(b.Steps) > 0 {
		to = b.Steps[len(b.Steps)-1].Name
	}
	if i := b.Step(to); to != "" && i >= 0 && len(levelsOf(b.Steps[i])) == 1 {
		first = false
	}
	return list("rule", quote(string(r.Word)), quote(m.step(b, to)), flag(first), list(into...), criterionMeaning(r.When))
}

func levelMeaning(ref LevelRef) string {
	parts := make([]string, len(ref))
	for i, v := range ref {
		parts[i] = list(quote(v.Of), valueMeaning(v.LevelValue))
	}
	return sorted(parts)
}

func valueMeaning(v LevelValue) string {
	switch {
	case v.Thin != nil:
		s := v.Thin
		parts := []string{"thin", quote(string(s.Kind)), quantityMeaning(s.Value), shareMeaning(s.Share), fmt.Sprint(s.Window), quote(s.Measure)}
		if s.MostUnpaid > 0 {
			parts = append(parts, list("unpaid", fmt.Sprint(s.MostUnpaid)))
		}
		if !s.From.IsZero() || !s.To.IsZero() {
			parts = append(parts, list("between", quantityMeaning(s.From), quantityMeaning(s.To)))
		}
		return list(parts...)
	case v.Name != "":
		return list("name", quote(v.Name))
	}
	return quantityMeaning(v.Quantity)
}

func quantityMeaning(q Quantity) string {
	if q.IsZero() {
		return "()"
	}
	return list(string(q.Unit.Dimension()), q.Base().RatString())
}

func shareMeaning(s Share) string { return s.Rat().RatString() }

// criterionMeaning is c with named criteria spelled out and spellings of one meaning made one.
func criterionMeaning(c Criterion) string {
	switch c := c.(type) {
	case Named:
		return criterionMeaning(c.Is)
	case Window:
		return list("window", fmt.Sprint(c.K), fmt.Sprint(c.N), fmt.Sprint(c.Count), flag(c.Each), flag(c.Twice), flag(c.AtMost), qualifierMeaning(c.Qualify))
	case InSessionCount:
		return list("count in session", fmt.Sprint(c.N), fmt.Sprint(c.Count), expressionMeaning(c.Where))
	case Done:
		return list("done", fmt.Sprint(c.N))
	case InSession:
		return list("in session", criterionMeaning(c.Is))
	case Repeated:
		return list("repeated", criterionMeaning(c.Is), fmt.Sprint(c.N), c.Over.String(), flag(c.InARow))
	case SessionShare:
		return list("session share", shareMeaning(c.Share), fmt.Sprint(c.MinTrials), fmt.Sprint(max(1, c.N)), flag(c.InARow && c.N > 1), qualifierMeaning(c.Qualify))
	case FirstTrial:
		return list("first trial", fmt.Sprint(c.N), flag(c.InARow))
	case Confidence:
		return list("confidence", shareMeaning(c.Share), shareMeaning(c.Confidence), fmt.Sprint(c.N))
	case Sequential:
		return list("sequential", shareMeaning(c.Low), shareMeaning(c.High), shareMeaning(c.WronglyUp), shareMeaning(c.WronglyDown))
	case Statistic:
		return list("statistic", quote(string(c.Stat)), quote(c.Measure), fmt.Sprint(c.N), quote(c.Op), quantityMeaning(c.Value))
	case After:
		return list("after", fmt.Sprint(c.N), fmt.Sprint(c.Unit), flag(c.AtStep))
	case Eased:
		return list("eased", fmt.Sprint(c.N))
	case Holds:
		return list("holds", expressionMeaning(c.Expr))
	case Not:
		return list("not", criterionMeaning(c.Is))
	case And:
		return list(append([]string{"and"}, flatten(c.All, false)...)...)
	case Or:
		return list(append([]string{"or"}, flatten(c.Any, true)...)...)
	}
	return "()"
}

// flatten is the parts of an "and" (or an "or"), those of one directly inside another among them.
func flatten(parts []Criterion, or bool) []string {
	var out []string
	for _, p := range parts {
		for {
			n, named := p.(Named)
			if !named {
				break
			}
			p = n.Is
		}
		switch p := p.(type) {
		case And:
			if !or {
				out = append(out, flatten(p.All, false)...)
				continue
			}
		case Or:
			if or {
				out = append(out, flatten(p.Any, true)...)
				continue
			}
		}
		out = append(out, criterionMeaning(p))
	}
	return out
}

func qualifierMeaning(q Qualifiers) string {
	opt := func(p *Quantity) string {
		if p == nil {
			return "()"
		}
		return quantityMeaning(*p)
	}
	return list(flag(q.EvenHelped), opt(q.Within), opt(q.Holding), expressionMeaning(q.Where), expressionMeaning(q.Among))
}

// expressionMeaning is the expression's text with one space between its words and signs.
func expressionMeaning(e *Expression) string {
	if e == nil {
		return "()"
	}
	return quote(strings.Join(expressionWords(e.Text), " "))
}

// expressionWords cuts an expression into words, numbers, texts in quotes and signs.
func expressionWords(s string) []string {
	isWord := func(c byte) bool {
		return c == '_' || c == '.' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= 0x80
	}
	var out []string
	for i := 0; i < len(s); {
		j := i + 1
		switch c := s[i]; {
		case c == ' ' || c == '\t' || c == '\n' || c == '\r':
			i = j
			continue
		case c == '"' || c == '\'' || c == '`':
			for j < len(s) && s[j] != c {
				if s[j] == '\\' && c != '`' {
					j++
				}
				j++
			}
			j = min(j+1, len(s))
		case isWord(c):
			for j < len(s) && isWord(s[j]) {
				j++
			}
		default:
			if j < len(s) && slices.Contains([]string{"==", "!=", "<=", ">=", "&&", "||"}, s[i:j+1]) {
				j++
			}
		}
		out = append(out, s[i:j])
		i = j
	}
	return out
}

func quote(s string) string { return fmt.Sprintf("%q", s) }

// quotes is a list of names in which order has no meaning.
func quotes(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = quote(n)
	}
	return sorted(out)
}

func flag(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func list(parts ...string) string { return "(" + strings.Join(parts, " ") + ")" }

func sorted(parts []string) string {
	parts = slices.Clone(parts)
	slices.Sort(parts)
	return list(parts...)
}
