package plan

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

// explain says why each candidate that is not in was left out, and which limits stand in the way of a rule.
func (b *builder) explain(s *choice) {
	names := map[string]LeftOut{}
	for _, l := range b.plan.LeftOut {
		names[l.Behaviour] = l
	}
	b.plan.LeftOut = b.plan.LeftOut[:0]
	for i, c := range b.cands {
		if s.n[i] == 0 {
			code, reason := b.whyNot(s, i)
			if late, ok := overdue(c.v, b.r.At); ok && c.finished && late >= 0 {
				reason += "; " + dueWords(late)
			}
			names[c.name()] = LeftOut{c.name(), reason, code}
		}
	}
	for _, v := range b.v.Behaviours {
		if l, ok := names[v.Behaviour.Name]; ok {
			b.plan.LeftOut = append(b.plan.LeftOut, l)
		}
	}
	before := len(b.plan.Notes)
	b.explainSlot(s, "Opens", b.s.OpensWith.Behaviour, b.s.OpensWith.Known, s.opens >= 0, names)
	b.explainSlot(s, "Closes", b.s.ClosesWith.Behaviour, b.s.ClosesWith.Known, s.closes >= 0, names)
	b.joinSlots(before)
	b.noteWarmth(s)
	if b.extrasMatter(s) {
		b.plan.Notes = append(b.plan.Notes, b.foods.notes...)
	}
	if b.endsShort(s) {
		b.note("Only %d trials of one behaviour may run on, and there is nothing to put between more: the session is shorter for it.", b.limits.inARow)
	}
	if k := b.plan.Choice; k != nil && !k.Exact {
		b.note("With %d behaviours to choose from not every session was tried: this one brings %s points, and none that keeps the rules brings more than %s.", len(b.cands), number(k.Points), number(k.AtMost))
	}
	if len(b.plan.Items) == 0 {
		b.note("Nothing can be planned: the reasons stand beside what is left out.")
	}
	b.explainClash()
	b.plan.Next = b.nextTime(s)
	if n := b.v.Dog.Notes; n != "" {
		b.note("About %s: %s", b.plan.Dog, n)
	}
}

// nextTime says which review falls due next after today, and what waits for room.
func (b *builder) nextTime(s *choice) *NextTime {
	n := &NextTime{}
	var due time.Time
	for _, v := range b.v.Behaviours {
		on, name := v.ReviewDue, v.Behaviour.Name
		if on.IsZero() || v.State != curriculum.Kept || v.Locked || schedules.DaysBetween(b.r.At, on) < 1 {
			continue
		}
		if due.IsZero() || on.Before(due) {
			due, n.Reviews = on, nil
		}
		if on.Equal(due) {
			n.Reviews = append(n.Reviews, name)
		}
	}
	if len(n.Reviews) > 0 {
		n.ReviewOn = due.Format(time.DateOnly)
	}
	n.Likely = b.waiting(s)
	if len(n.Reviews)+len(n.Likely) == 0 {
		return nil
	}
	return n
}

// mostLikely is how many behaviours a plan names for next time.
const mostLikely = 2

// waiting is the behaviours that are out only because others filled the session, the most urgent first.
func (b *builder) waiting(s *choice) (names []string) {
	var out []*candidate
	for i, c := range b.cands {
		if s.n[i] > 0 {
			continue
		}
		switch code, _ := b.whyNot(s, i); code {
		case NewLimit, LimitReached, Minutes:
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(x, y *candidate) int { return cmp.Compare(y.points, x.points) })
	for _, c := range out[:min(mostLikely, len(out))] {
		names = append(names, c.name())
	}
	return names
}

// endsShort reports whether more trials would fit, were there something to put between them.
func (b *builder) endsShort(s *choice) bool {
	if b.limits.inARow <= 0 || s.behaviours == 0 {
		return false
	}
	for i, c := range b.cands {
		if n := s.n[i]; n > 0 && n < c.most && b.runs(n+1) > s.blocks[i] && b.fits(s, i, n+1) == "" {
			blocks := append([]int(nil), s.blocks...)
			blocks[i]++
			return !inARow(blocks, s.opens, s.closes)
		}
	}
	return false
}

// extrasMatter reports whether extras are fed, or would be if there were room.
func (b *builder) extrasMatter(s *choice) bool {
	for i, c := range b.cands {
		if s.n[i] > 0 && (c.hard || s.food[i].extra) {
			return true
		}
	}
	return b.foods.none != ""
}

// whyNot is the reason for one candidate, given what is in.
func (b *builder) whyNot(s *choice, i int) (Code, string) {
	c := b.cands[i]
	if b.foods.none != "" {
		return b.foods.none, b.foods.reason
	}
	if j := b.barred(s, i); j >= 0 {
		until, _ := apart(c.v, b.cands[j].v)
		return NeverWith, fmt.Sprintf("not in one session with %s until both have reached %s", b.cands[j].name(), until)
	}
	if c.placeOnly() {
		late, ok := overdue(c.v, b.r.At)
		if !ok {
			return NotDue, "finished; no review is laid down"
		}
		return NotDue, "finished; next review in " + plural(-late, "day", "days")
	}
	if j, behind := b.unbalanced(s, i); behind {
		return Unbalanced, fmt.Sprintf("%s has had fewer trials in seven days and comes first", b.cands[j].name())
	}
	l, least := &b.limits, c.least
	if !slices.ContainsFunc(c.partners, func(j int) bool { return s.n[j] > 0 }) {
		least = c.leastAlone()
	}
	switch b.fits(s, i, least) {
	case limitNew:
		return NewLimit, plural(l.fresh, "new behaviour", "new behaviours") + " a session is the most"
	case limitBehaviours:
		return LimitReached, plural(l.behaviours, "behaviour", "behaviours") + " a session is the most"
	case limitImpact:
		return CapReached, b.impactFull()
	case limitTrials:
		return LimitReached, fmt.Sprintf("the %d trials of the session are used by what is more urgent", l.trials)
	case limitMinutes:
		return Minutes, fmt.Sprintf("no time left: %s of it take about %d s", plural(least, "trial", "trials"), (b.cost(c, s.food[i]).time[least]+9)/10)
	case limitPieces:
		return NoFood, plural(l.pieces, "piece", "pieces") + " at hand is too few"
	case limitKcal:
		return NoFood, fmt.Sprintf("the %g kcal at hand are used", milli(l.energy))
	case limitExtras:
		return NoFood, fmt.Sprintf("today has room for %.0f kcal of extras only", milli(l.extras))
	case limitSuccess:
		return TooHard, fmt.Sprintf("about %.0f%% of its trials succeed, and the session is to succeed at %s or better", 100*c.chance, b.s.Success)
	}
	if b.behindLively(s, i, least) {
		return NoOrder, "care is never straight after lively work, and there is nothing to put between"
	}
	return LimitReached, "other work is more urgent today"
}

// behindLively reports whether n trials of a candidate cannot be put into a row with what is in, and could but for what
// must not follow lively work.
func (b *builder) behindLively(s *choice, i, n int) bool {
	blocks := slices.Clone(s.blocks)
	blocks[i] = b.shorten(i, n, b.runs(n))
	return inARow(blocks, s.opens, s.closes) && !b.newModel(false).hasRow(blocks, s.opens, s.closes)
}

// unbalanced is the partner of a candidate that must catch up in trials before the candidate can come in.
func (b *builder) unbalanced(s *choice, i int) (partner int, yes bool) {
	c := b.cands[i]
	for _, j := range c.partners {
		o := b.cands[j]
		before := c.v.Trials7Days - o.v.Trials7Days
		if slices.Contains(c.apart, j) {
			if before > 0 {
				return j, true
			}
			continue
		}
		least := c.least
		if s.n[j] == 0 {
			least = c.leastAlone()
		}
		if after := before + least - s.n[j]; after > max(mostApart, abs(before)) {
			return j, true
		}
	}
	return 0, false
}

// explainSlot says why a place that the session rules want filled is open, or who stands in.
func (b *builder) explainSlot(s *choice, word, name string, known, filled bool, left map[string]LeftOut) {
	switch {
	case name == "" && !known:
	case name != "" && !filled:
		reason := "it does not fit beside what else the session must hold"
		if l, ok := left[name]; ok {
			reason = l.Reason
		}
		b.note("%s with %s: not today. %s.", word, name, sentence(reason))
	case known && !filled:
		var barred []string
		for _, v := range b.v.Behaviours {
			if l, ok := left[v.Behaviour.Name]; ok && v.State == curriculum.Kept {
				if l.Code == NotDue { // not needed for its own sake, and it would do here
					b.note("%s with something known: not today. There is no room for it.", word)
					return
				}
				barred = append(barred, fmt.Sprintf("%s (%s)", v.Behaviour.Name, l.Reason))
			}
		}
		if len(barred) > 0 {
			b.note("%s with something known: not today. %s.", word, sentence(list(barred)))
			return
		}
		b.note("%s with something known: %s knows nothing well enough yet. Keep it easy.", word, b.plan.Dog)
	case known:
		i := s.opens
		if word == "Closes" {
			i = s.closes
		}
		if c := b.cands[i]; !c.finished {
			b.note("%s with %s, which goes well: nothing that is finished can be planned.", word, c.name())
		}
	}
}

// joinSlots says once what holds of both places; the notes on them are those from before on.
func (b *builder) joinSlots(before int) {
	notes := b.plan.Notes
	if len(notes) != before+2 {
		return
	}
	opens, reason, _ := strings.Cut(notes[before], " with ")
	closes, same, _ := strings.Cut(notes[before+1], " with ")
	if opens == "Opens" && closes == "Closes" && reason == same {
		b.plan.Notes = append(notes[:before], "Opens and closes with "+reason)
	}
}

// sentence is a text with a capital first letter.
func sentence(s string) string {
	if s == "" {
		return s
	}
	if c := s[0]; c >= 'a' && c <= 'z' {
		return string(c-'a'+'A') + s[1:]
	}
	return s
}
