package curriculum

import (
	"fmt"
	"strings"
)

// String is the value in the language's own spelling.
func (v LevelValue) String() string {
	switch {
	case v.Thin != nil:
		return v.Thin.String()
	case v.Name != "":
		return v.Name
	}
	return v.Quantity.String()
}

// String is the level in the language's own spelling, "duration 5 s, distance 1 m"; "" for a level without values.
func (l Level) String() string { return LevelRef(l.Values).String() }

// String is the reference in the language's own spelling.
func (l LevelRef) String() string {
	parts := make([]string, len(l))
	for i, v := range l {
		parts[i] = v.Of + " " + v.LevelValue.String()
		if v.Of == PieceRamp {
			parts[i] = fmt.Sprintf("%s %q", v.Of, v.Name)
		}
	}
	return strings.Join(parts, ", ")
}

// Texts is the level as an object of texts, as logs and answers carry it; never nil.
func (l Level) Texts() map[string]string {
	m := make(map[string]string, len(l.Values))
	for _, v := range l.Values {
		m[v.Of] = v.LevelValue.String()
	}
	return m
}

// ParseLevelValue reads a value of a ramp of that name as a log or profile spells it: a schedule for "thin", a quantity
// where it reads as one, a name otherwise.
func ParseLevelValue(of, text string) (LevelValue, bool) {
	text = strings.TrimSpace(text)
	switch {
	case text == "":
		return LevelValue{}, false
	case of == ThinRamp:
		s, ok := ParseSchedule(text)
		return LevelValue{Thin: &s}, ok
	case of == PieceRamp:
		return LevelValue{Name: text}, true
	}
	if q, ok := ParseQuantity(text); ok {
		return LevelValue{Quantity: q}, true
	}
	return LevelValue{Name: text}, true
}

// String is the schedule in the language's own spelling.
func (s Schedule) String() string {
	switch s.Kind {
	case EverySuccess:
		return string(s.Kind)
	case Percentile:
		text := fmt.Sprintf("best %s of last %d for %s", s.Share, s.Window, s.Measure)
		if !s.From.IsZero() {
			text += " from " + s.From.String()
		}
		if !s.To.IsZero() {
			text += " to " + s.To.String()
		}
		return text
	}
	text := string(s.Kind) + " " + s.Value.String()
	if s.MostUnpaid > 0 {
		text += fmt.Sprintf(" with at most %d unpaid", s.MostUnpaid)
	}
	return text
}

// ParseSchedule reads a schedule as String writes it.
func ParseSchedule(text string) (Schedule, bool) {
	text = strings.Join(strings.Fields(text), " ")
	if text == string(EverySuccess) {
		return Schedule{Kind: EverySuccess}, true
	}
	for _, k := range []ScheduleKind{FixedRatio, VariableRatio, RandomRatio, FixedInterval, VariableInterval, FixedDuration, VariableDuration} {
		rest, ok := strings.CutPrefix(text, string(k)+" ")
		if !ok {
			continue
		}
		rest, most, capped := strings.Cut(rest, " with at most ")
		q, ok := ParseQuantity(rest)
		ratio := strings.HasSuffix(string(k), "ratio")
		s := Schedule{Kind: k, Value: q}
		if capped {
			if c, _ := fmt.Sscanf(most, "%d unpaid", &s.MostUnpaid); c != 1 || s.MostUnpaid < 1 || !ratio {
				return Schedule{}, false
			}
		}
		return s, ok && q.Num > 0 && (q.Unit.Dimension() == Number) == ratio && (ratio || q.Unit.Dimension() == Time)
	}
	return parseBest(text)
}

// parseBest reads a percentile schedule.
func parseBest(text string) (Schedule, bool) {
	text, to, hasTo := strings.Cut(text, " to ")
	text, from, hasFrom := strings.Cut(text, " from ")
	s := Schedule{Kind: Percentile}
	var share string
	if c, _ := fmt.Sscanf(text, "best %s of last %d for %s", &share, &s.Window, &s.Measure); c != 3 {
		return Schedule{}, false
	}
	var ok bool
	if s.Share, ok = ParseShare(share); !ok {
		return Schedule{}, false
	}
	if s.From, ok = ParseQuantity(from); hasFrom && !ok {
		return Schedule{}, false
	}
	if s.To, ok = ParseQuantity(to); hasTo && !ok {
		return Schedule{}, false
	}
	return s, true
}

// CriterionText is c in the language's own spelling; named criteria are spelled out.
func CriterionText(c Criterion) string { return criterionText(c, 0, false) }

// CriterionNames is c in the language's own spelling; named criteria keep their names.
func CriterionNames(c Criterion) string { return criterionText(c, 0, true) }

// binding strengths: a part that binds less tightly than its place gets brackets
const (
	bindOr = iota
	bindAnd
	bindNot
	bindIn
)

func criterionText(c Criterion, place int, names bool) string {
	text, binds := "", bindIn
	in := func(c Criterion) string { return criterionText(c, bindIn, names) }
	join := func(cs []Criterion, word string, at int) string {
		parts := make([]string, len(cs))
		for i, p := range cs {
			parts[i] = criterionText(p, at+1, names)
		}
		return strings.Join(parts, word)
	}
	switch c := c.(type) {
	case Window:
		text = windowText(c)
	case InSessionCount:
		text = countWord(c.N, c.Count) + " in this session" + exprText(" where", c.Where)
	case Done:
		text = fmt.Sprintf("done %d %s", c.N, plural(c.N, "time", "times"))
	case InSession:
		text = in(c.Is) + " in this session"
	case Repeated:
		text = in(c.Is) + fmt.Sprintf(" in %d %s", c.N, c.Over) + inARow(c.InARow)
	case SessionShare:
		text = fmt.Sprintf("%s of a session of at least %d %s", c.Share, c.MinTrials, plural(c.MinTrials, "trial", "trials")) + qualifierText(c.Qualify)
		if c.N > 1 {
			text += fmt.Sprintf(" in %d sessions", c.N) + inARow(c.InARow)
		}
	case FirstTrial:
		text = fmt.Sprintf("first trial in %d sessions", c.N) + inARow(c.InARow)
	case Confidence:
		text = fmt.Sprintf("at least %s with %s confidence of last %d", c.Share, c.Confidence, c.N)
	case Sequential:
		text = fmt.Sprintf("sequential %s against %s wrongly up %s wrongly down %s", c.Low, c.High, c.WronglyUp, c.WronglyDown)
	case Statistic:
		text = fmt.Sprintf("%s %s of last %d %s %s %s", c.Stat, c.Measure, c.N, plural(c.N, "success", "successes"), c.Op, c.Value)
	case After:
		text = "after " + afterText(c)
	case Eased:
		text = fmt.Sprintf("eased %d %s", c.N, plural(c.N, "time", "times"))
		if c.N == 2 {
			text = "eased twice"
		}
	case Holds:
		text = exprText("", c.Expr)
	case Named:
		if !names {
			return criterionText(c.Is, place, names)
		}
		text = c.Name
	case Not:
		text, binds = "not "+criterionText(c.Is, bindNot, names), bindNot
	case And:
		text, binds = join(c.All, " and ", bindAnd), bindAnd
	case Or:
		text, binds = join(c.Any, " or ", bindOr), bindOr
	}
	// "and" beside "or" needs brackets though it binds more tightly
	if binds < place || place == bindOr+1 && binds == bindAnd {
		return "(" + text + ")"
	}
	return text
}

func windowText(w Window) string {
	var t string
	switch {
	case w.InARow && w.Count == Successes:
		t = fmt.Sprintf("%d in a row", w.N)
	case w.InARow:
		t = countWord(w.N, w.Count) + " in a row"
	default:
		k := countWord(w.K, w.Count)
		if !w.Share.IsZero() {
			k = w.Share.String()
		}
		if w.AtMost {
			k = "at most " + k
		}
		kind := "last"
		if w.Each {
			kind = "each"
		}
		t = fmt.Sprintf("%s of %s %d", k, kind, w.N)
		if w.Twice {
			t += " twice in a row"
		}
	}
	return t + qualifierText(w.Qualify)
}

// String is what is asked of a window's trials, in the language's own spelling: "within 2 s where { place == ... }".
func (q Qualifiers) String() string { return strings.TrimSpace(qualifierText(q)) }

func qualifierText(q Qualifiers) string {
	var t string
	if q.EvenHelped {
		t += " even helped"
	}
	if q.Within != nil {
		t += " within " + q.Within.String()
	}
	if q.Holding != nil {
		t += " holding " + q.Holding.String()
	}
	t += exprText(" where", q.Where)
	if q.atFullValue() {
		return t + " at full value"
	}
	return t + exprText(" among", q.Among)
}

func exprText(word string, e *Expression) string {
	if e == nil {
		return ""
	}
	if word != "" {
		word += " "
	}
	return word + "{ " + strings.TrimSpace(e.Text) + " }"
}

func countWord(n int, c Counted) string {
	one, many := "", ""
	switch c {
	case Successes:
		return fmt.Sprint(n)
	case Misses:
		one, many = "miss", "misses"
	case OptOuts:
		one, many = "opt-out", "opt-outs"
	default:
		one = [...]string{WrongOnes: "wrong", Silents: "silent", HelpedOnes: "helped"}[c]
		many = one
	}
	return fmt.Sprintf("%d %s", n, plural(n, one, many))
}

// String is "sessions", "places", "handlers" or "days".
func (o Over) String() string { return [...]string{"sessions", "places", "handlers", "days"}[o] }

func afterText(a After) string {
	switch a.Unit {
	case AfterSessions:
		return fmt.Sprintf("%d %s", a.N, plural(a.N, "session", "sessions"))
	case AfterDays:
		return fmt.Sprintf("%d %s", a.N, plural(a.N, "day", "days"))
	}
	t := fmt.Sprintf("%d %s", a.N, plural(a.N, "trial", "trials"))
	if a.AtStep {
		t += " at this step"
	}
	return t
}

func inARow(yes bool) string {
	if yes {
		return " in a row"
	}
	return ""
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}
