package plan

import (
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// emit writes the items, the food, the kit and the limits.
func (b *builder) emit(s *choice, blocks []block) {
	p := b.plan
	part := make([]int, len(b.cands))
	parts := make([]int, len(b.cands))
	for _, k := range blocks {
		parts[k.cand]++
	}
	used := map[*food]int{}
	time, energy, extras, longest := 0, 0, 0, 0
	rest, _, _ := b.restLength()
	restsBefore, rests, _ := b.restsBefore(s, blocks)
	for at, k := range blocks {
		c, f := b.cands[k.cand], s.food[k.cand]
		part[k.cand]++
		it := b.item(c, f, k)
		it.Part, it.Parts = part[k.cand], parts[k.cand]
		switch {
		case at == 0 && k.cand == s.opens:
			it.Slot = "opens"
		case at == len(blocks)-1 && k.cand == s.closes:
			it.Slot = "closes"
		}
		it.Reason = b.reason(c, it.Slot)
		if restsBefore[at] {
			it.RestBefore = float64(rest) / 10
		}
		p.Items = append(p.Items, it)
		cost := b.cost(c, f)
		time += cost.time[k.from+k.n] - cost.time[k.from]
		p.Trials += k.n
		p.Pieces += it.Pieces
		used[f] += it.Pieces
		energy += it.Pieces * f.energy
		if f.extra {
			extras += it.Pieces * f.energy
		}
		longest = max(longest, k.n)
		for _, e := range c.sheet.Equipment {
			if !slices.Contains(p.Kit, e) {
				p.Kit = append(p.Kit, e)
			}
		}
	}
	if len(blocks) > 1 {
		time += (len(blocks) - 1) * Changeover
	}
	time += rests * rest
	p.Seconds = float64(time) / 10
	p.Minutes = min(math.Ceil(float64(time)/6)/100, float64(max(b.limits.time, time))/600)
	p.Kcal, p.Extras, p.Ration = milli(energy), milli(extras), milli(energy-extras)
	for _, f := range []*food{b.foods.usual, b.foods.better} {
		if f != nil && f.name != "" && used[f] > 0 {
			p.Food = append(p.Food, Food{f.name, used[f], milli(used[f] * f.energy), milli(used[f] * f.weight), f.extra})
		}
	}
	b.reckon(s, time, energy, extras, longest)
}

func milli(n int) float64 { return float64(n) / 1000 }

// reckon writes each limit beside what the plan uses of it.
func (b *builder) reckon(s *choice, time, energy, extras, longest int) {
	l := &b.limits
	each := 0
	for _, n := range s.n {
		each = max(each, n)
	}
	for _, x := range []struct {
		name       string
		used, most int
		unit       float64
	}{
		{limitMinutes, time, l.time, 600}, {limitTrials, s.trials, l.trials, 1}, {limitBehaviours, s.behaviours, l.behaviours, 1},
		{limitNew, s.fresh, l.fresh, 1}, {limitImpact, s.impact, l.impact, 1}, {limitInARow, longest, l.inARow, 1}, {limitEach, each, l.each, 1},
		{limitPieces, b.plan.Pieces, l.pieces, 1}, {limitKcal, energy, l.energy, 1000}, {limitExtras, extras, l.extras, 1000},
	} {
		if x.most >= 0 {
			b.plan.Limits = append(b.plan.Limits, Limit{x.name, float64(x.used) / x.unit, float64(x.most) / x.unit, b.limits.from[x.name]})
		}
	}
}

// cueLater reports whether the cue only comes into use at a later step: that step counts it among its prompts and this
// one, which has prompts, does not. A cue said too early is learnt as noise.
func cueLater(b *curriculum.Behaviour, at int) bool {
	if len(b.Steps[at].Prompts) == 0 || promptsCue(b, at) {
		return false
	}
	for i := at + 1; i < len(b.Steps); i++ {
		if promptsCue(b, i) {
			return true
		}
	}
	return false
}

func promptsCue(b *curriculum.Behaviour, at int) bool {
	return slices.ContainsFunc(b.Steps[at].Prompts, func(p string) bool {
		return p == "cue" || slices.ContainsFunc(b.SheetOf(at).Cues, func(q curriculum.Cue) bool { return q.Kind == p })
	})
}

func (b *builder) item(c *candidate, f *food, k block) Item {
	cost := b.cost(c, f)
	to := k.from + k.n
	it := Item{
		Behaviour: c.name(), Title: c.b.Text, Step: c.step.Name, StepTitle: c.step.Text,
		Level: c.level.Texts(), LevelText: c.level.String(), Trials: k.n,
		Rewarded: slices.Clone(cost.rewarded[k.from:to]), Schedule: cost.schedule.String(), PayWords: cost.words,
		Pieces: cost.pieces[to] - cost.pieces[k.from], Food: f.name, Extra: f.extra,
		Marker: c.sheet.Mark, Do: c.sheet.Do, Success: c.sheet.Success, Cues: c.cues, CueLater: cueLater(c.b, c.v.Step),
		Prompts: b.canSense(c, c.step.Prompts), Help: b.canSense(c, c.step.Help),
		Pay: c.sheet.Pay, Side: c.sheet.Side, SetUp: c.sheet.SetUp, Equipment: append([]string{}, c.sheet.Equipment...),
		Cautions: b.itemCautions(c), Card: b.card(c), Role: string(c.role),
		Seconds: float64(cost.time[to]-cost.time[k.from]) / 10,
	}
	if cost.note != "" && k.from == 0 {
		b.plan.Notes = append(b.plan.Notes, cost.note)
	}
	it.PayBar, it.Measure = cost.bar, cost.schedule.Measure
	if cost.asked != nil {
		it.Asked = b.asked(c, cost.asked[k.from:to])
	}
	it.Kcal = milli(it.Pieces * f.energy)
	if cost.intervals != nil {
		due := cost.intervals[count(cost.rewarded[:k.from]):]
		it.PayAfter = slices.Clone(due[:min(count(it.Rewarded)+1, k.n)])
	}
	if cost.at != nil {
		it.PayAt = slices.Clone(cost.at[k.from:to])
		if tenths(c.level, "duration") > 0 && it.Pieces == k.n {
			it.PayWords = payHoldEnd
		}
	}
	if it.PayWords == "" {
		it.PayWords = payWords(it.Rewarded)
	}
	if it.Marker == "" && len(b.c.Markers) > 0 {
		it.Marker = b.c.Markers[0].Name
	}
	for _, m := range b.c.Markers {
		if m.Name == it.Marker {
			it.MarkerText, it.MarkerSign = b.markerForms(m)
			it.Releases = m.Releases
		}
	}
	return it
}

// canSense is the names of help without those kinds of cue that the dog cannot sense: where a step says word, a deaf dog
// gets the cue that it can.
func (b *builder) canSense(c *candidate, names []string) []string {
	out, kinds := []string{}, b.v.Dog.Cues
	for _, n := range names {
		isCue := n == curriculum.WordCue || slices.ContainsFunc(c.sheet.Cues, func(q curriculum.Cue) bool { return q.Kind == n })
		if isCue && len(kinds) > 0 && !slices.Contains(kinds, n) {
			n = "cue"
		}
		if !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

// markerForms is how a marker is said and how it is shown to this dog: a form of a kind that it cannot sense is left out.
func (b *builder) markerForms(m curriculum.Marker) (said, shown string) {
	kinds := b.v.Dog.Cues
	if len(kinds) == 0 || slices.Contains(kinds, curriculum.WordCue) {
		said = m.Text
		if said == "" {
			said = m.Name
		}
	}
	var signs []string
	for _, q := range m.Signals {
		if len(kinds) == 0 || slices.Contains(kinds, q.Kind) {
			signs = append(signs, q.Text)
		}
	}
	return said, strings.Join(signs, ", or ")
}

func count(yes []bool) (n int) {
	for _, y := range yes {
		if y {
			n++
		}
	}
	return n
}

// payWords says which successes are paid.
func payWords(rewarded []bool) string {
	var which []string
	for i, y := range rewarded {
		if y {
			which = append(which, ordinal(i+1))
		}
	}
	switch {
	case len(which) == len(rewarded):
		return "feed every success"
	case len(which) == 0:
		return "praise only in this block; the next piece falls due in a later one"
	case len(which) == 1:
		return "feed the " + which[0] + " success; count successes only"
	}
	return "feed the " + list(which) + " success; count successes only"
}

// reason says why an item is in.
func (b *builder) reason(c *candidate, slot string) string {
	why := c.why
	switch {
	case slot == "opens" && (c.finished || c.steady):
		why = "opens with something known: " + why
	case slot == "closes" && (c.finished || c.steady):
		why = "closes with something known: " + why
	case slot != "":
		why = slot + " the session, as the session rules say: " + why
	}
	if c.held {
		why += "; kept at this level by " + b.plan.Dog + "'s profile"
	}
	return why
}

// card is a candidate's rules in words.
func (b *builder) card(c *candidate) Card {
	k := c.v.Card
	if c.held {
		return Card{OwnerEase: ownerRules(k.Ease), OwnerStop: ownerRules(k.Stop), Advance: "stay at this level: " + b.plan.Dog + "'s profile allows no more", Ease: lines(k.Ease), Stop: tallies(k.Stop), Flag: tallies(k.Flag)}
	}
	return Card{Advance: lines(k.Advance), Ease: lines(k.Ease), Split: lines(k.Split), Stop: tallies(k.Stop), Flag: tallies(k.Flag),
		OwnerEase: ownerRules(k.Ease), OwnerStop: ownerRules(k.Stop)}
}

// tallies is rules whose consequence the label says.
func tallies(rules []engine.CardLine) string {
	out := make([]string, len(rules))
	for i, r := range rules {
		out[i] = r.Text
	}
	return strings.Join(out, "; or ")
}

// lines is rules, each with where it leads.
func lines(rules []engine.CardLine) string {
	out := make([]string, len(rules))
	for i, r := range rules {
		out[i] = r.Text
		if r.To != "" {
			out[i] += ": " + r.To
		}
	}
	return strings.Join(out, "; or ")
}

// levelWords is a level for a person: without the schedule that thins, which the paying line says.
func levelWords(texts map[string]string, whole string) string {
	if whole == "" {
		return ""
	}
	var out []string
	for _, part := range strings.Split(whole, ", ") {
		of, _, _ := strings.Cut(part, " ")
		v := texts[of]
		switch of {
		case curriculum.ThinRamp:
			continue
		case curriculum.PieceRamp:
			out = append(out, v)
			continue
		}
		if n, ok := strings.CutSuffix(v, " deg"); ok {
			v = n + " degrees"
		}
		out = append(out, of+" "+v)
	}
	return strings.Join(out, ", ")
}
