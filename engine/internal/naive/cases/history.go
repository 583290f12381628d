package cases

import (
	"fmt"
	"math/big"
	"slices"
	"sort"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine/internal/naive"
)

// offsets a log may be written in: a zone that changes to summer time on 29 March, and another far from it.
var (
	winter  = time.FixedZone("+01:00", 3600)
	summer  = time.FixedZone("+02:00", 2*3600)
	faraway = time.FixedZone("-05:00", -5*3600)
	change  = time.Date(2026, 3, 29, 1, 0, 0, 0, time.UTC)
)

func local(t time.Time) time.Time {
	if t.Before(change) {
		return t.In(winter)
	}
	return t.In(summer)
}

// history makes the dogs and their lines. A plain reader runs along, so that trials can name the level a dog is at and
// measures lie around what it asks.
func (g *gen) history(c *Case) {
	names := []string{"okapi", "thimble", "gantry"}[:pick(g, 1, 1, 1, 2, 3)]
	for _, n := range names {
		if g.chance(0.7) {
			born := time.Date(2025, time.Month(g.between(2, 5)), g.between(1, 28), 0, 0, 0, 0, time.UTC)
			c.Dogs = append(c.Dogs, curriculum.Dog{Name: n, Born: born, WeightKg: float64(g.between(0, 8))})
		}
	}
	for _, n := range names {
		c.Entries = append(c.Entries, g.dogHistory(c, n)...)
	}
	sort.SliceStable(c.Entries, func(i, j int) bool { return c.Entries[i].At().Before(c.Entries[j].At()) })
	for i := range c.Entries {
		e := &c.Entries[i]
		e.Trial.Source, e.Trial.Line = "case", i+1
		e.Event.Source, e.Event.Line = "case", i+1
	}
	c.Now = c.Entries[len(c.Entries)-1].At().Add(pick(g, 0, 29*time.Minute, 30*time.Minute, 26*time.Hour, 40*24*time.Hour))
}

type diary struct {
	*gen
	dog     string
	at      time.Time
	reader  *naive.Reader
	entries []curriculum.Entry
	n       int
	ids     []string // of sessions
}

func (g *gen) dogHistory(c *Case, name string) []curriculum.Entry {
	d := &diary{gen: g, dog: name, reader: naive.New(c.Curriculum, c.Dogs...)}
	d.at = time.Date(2026, 3, g.between(25, 29), g.between(0, 23), g.IntN(60), 0, 0, time.UTC)
	for range g.between(2, 5) {
		d.session()
		d.at = d.at.Add(pick(g, 10*time.Minute, 29*time.Minute, 30*time.Minute, 31*time.Minute, 2*time.Hour, 9*time.Hour, 24*time.Hour, 3*24*time.Hour, 8*24*time.Hour))
		if g.chance(0.2) {
			d.event("")
		}
	}
	return d.entries
}

func (d *diary) take(e curriculum.Entry) {
	_ = d.reader.Take(e) // what cannot be read stays in the log all the same
	d.entries = append(d.entries, e)
}

func (d *diary) session() {
	id := ""
	switch {
	case len(d.ids) > 0 && d.chance(0.1):
		id = pick(d.gen, d.ids...) // one that was closed, perhaps long ago
	case d.chance(0.5):
		id = fmt.Sprintf("%s-s%d", d.dog, len(d.ids)+1)
		d.ids = append(d.ids, id)
	}
	place := pick(d.gen, "", "room-a", "yard", "lane")
	handler := pick(d.gen, "", "senior", "owner")
	skill := pick(d.gen, 0.2, 0.5, 0.7, 0.85, 0.95)
	b := pick(d.gen, d.c.Behaviours...)
	n, wander := d.between(1, 12), 0.15
	if d.long {
		b, n, wander, skill = d.c.Behaviours[0], d.between(20, 90), 0.01, pick(d.gen, 0.6, 0.9, 0.99)
	}
	for range n {
		if d.chance(wander) {
			b = pick(d.gen, d.c.Behaviours...)
		}
		t := d.trial(b, skill)
		t.Session, t.Place, t.Handler = id, place, handler
		if d.chance(0.1) {
			t.Place = pick(d.gen, "", "yard", "moon")
		}
		if d.chance(0.1) {
			t.Handler = pick(d.gen, "", "junior", "stranger")
		}
		d.take(curriculum.Entry{Trial: t})
		if d.chance(0.03) {
			d.event(b.Name)
		}
		d.at = d.at.Add(time.Duration(pick(d.gen, 0, 5, 20, 60, 300)) * time.Second)
		if d.chance(0.04) {
			d.at = d.at.Add(pick(d.gen, 29*time.Minute+55*time.Second, 30*time.Minute, 13*time.Hour))
		}
	}
}

func (d *diary) when() time.Time {
	if d.chance(0.05) {
		return d.at.In(faraway)
	}
	return local(d.at)
}

func (d *diary) trial(b *curriculum.Behaviour, skill float64) curriculum.Trial {
	d.n++
	t := curriculum.Trial{ID: fmt.Sprintf("%s-%d", d.dog, d.n), Dog: d.dog, Behaviour: b.Name, At: d.when()}
	step, at, levels := d.reader.Where(d.dog, b)
	d.name(&t, b, step, at, levels)
	t.Outcome = curriculum.Success
	if !d.chance(skill) {
		t.Outcome = pick(d.gen, curriculum.Wrong, curriculum.Wrong, curriculum.Silent)
	}
	switch {
	case d.chance(0.06):
		t.Outcome = curriculum.Void
	case d.chance(0.05):
		t.Outcome = curriculum.OptOut
	}
	if d.chance(0.15) {
		t.Help = slices.Clone(pick(d.gen, []string{"word"}, []string{"lure"}, []string{"touch"}, []string{curriculum.UnnamedHelp}, []string{"word", "lure"}, []string{"whistle"}))
	}
	t.Early = d.chance(0.06)
	t.Rewarded = pick(d.gen, curriculum.NotSaid, curriculum.Yes, curriculum.No)
	d.measures(&t, b, step, at)
	if len(b.Formerly) > 0 && d.chance(0.3) {
		t.Behaviour = b.Formerly[0]
	}
	if i := b.Step(t.Step); i >= 0 {
		step = i
	}
	if chain := b.Steps[step].Chain; len(chain) > 0 && (t.Outcome != curriculum.Success && d.chance(0.6) || d.chance(0.05)) {
		t.Failed = pick(d.gen, chain...)
		if d.chance(0.05) {
			t.Failed = "nothing-of-it"
		}
	}
	if d.chance(0.004) {
		t.Behaviour = "unheard-of"
	}
	return t
}

// name lets some trials name a step or level: the present one, a part of it, another, or one there is none of.
func (d *diary) name(t *curriculum.Trial, b *curriculum.Behaviour, step int, at curriculum.Level, levels []curriculum.Level) {
	here := b.Steps[step]
	stepName := here.Name
	if len(here.Formerly) > 0 && d.chance(0.3) {
		stepName = here.Formerly[0]
	}
	switch {
	case d.chance(0.6):
	case d.chance(0.4):
		t.Step = stepName
	case d.chance(0.5):
		t.Level = slices.Clone(curriculum.LevelRef(at.Values))
		if len(t.Level) > 1 && d.chance(0.3) {
			t.Level = t.Level[:1]
		}
		if d.chance(0.7) {
			t.Step = stepName
		}
	case d.on[Varied] && len(at.Values) > 0 && d.chance(0.4):
		d.vary(t, at)
	case d.chance(0.3):
		t.Step = stepName
		t.Level = slices.Clone(curriculum.LevelRef(pick(d.gen, levels...).Values))
	case d.chance(0.7):
		other := d.IntN(len(b.Steps))
		if d.on[Skip] && step+1 < len(b.Steps) && d.chance(0.6) {
			other = d.between(step+1, len(b.Steps)-1)
		}
		t.Step = b.Steps[other].Name
		if d.chance(0.3) {
			t.Level = slices.Clone(curriculum.LevelRef(pick(d.gen, b.Steps[other].Levels...).Values))
		}
	case len(at.Values) > 0 && d.chance(0.3):
		t.Level = slices.Clone(curriculum.LevelRef(at.Values))
		t.Level[0].LevelValue = curriculum.LevelValue{Name: "nowhere"}
		if at.Values[0].Name == "" && at.Values[0].Thin == nil {
			t.Level[0].LevelValue = curriculum.LevelValue{Quantity: curriculum.Q(999, at.Values[0].Quantity.Unit)}
		}
	case d.chance(0.05):
		t.Step = "unheard-of"
	}
}

// vary names a share of a value that the level asks for, as a sheet does where values vary.
func (d *diary) vary(t *curriculum.Trial, at curriculum.Level) {
	t.Level = slices.Clone(curriculum.LevelRef(at.Values))
	for i := range t.Level {
		q := t.Level[i].Quantity
		if t.Level[i].Name != "" || t.Level[i].Thin != nil || d.chance(0.3) {
			continue
		}
		x := new(big.Rat).Mul(q.Base(), big.NewRat(pick(d.gen, int64(1), 2, 3, 4, 5, 6, 8, 10, 11, 12, 13), 10))
		if q, ok := curriculum.FromBase(x, q.Unit); ok {
			t.Level[i].Quantity = q
		}
	}
}

// measures puts numbers beside a trial, around what the level asks; some trials have no outcome but those.
func (d *diary) measures(t *curriculum.Trial, b *curriculum.Behaviour, step int, at curriculum.Level) {
	half := func(a, b int) float64 { return float64(d.between(2*a, 2*b)) / 2 }
	if d.chance(0.4) {
		t.Measures = append(t.Measures, curriculum.MeasureValue{Name: "latency", Value: half(0, 4)})
	}
	for _, m := range []string{"duration", "turn", "sway", "distance"} {
		if d.chance(0.2) {
			t.Measures = append(t.Measures, curriculum.MeasureValue{Name: m, Value: half(0, 12) * map[string]float64{"duration": 1, "turn": 10, "sway": 1, "distance": 0.25}[m]})
		}
	}
	if d.chance(0.02) {
		t.Measures = append(t.Measures, curriculum.MeasureValue{Name: "girth", Value: 40})
	}
	decide := d.chance(0.12)
	for _, ramp := range b.Steps[step].Ramps {
		if v, ok := at.Get(ramp.Of); ok && ramp.Measured && d.chance(0.6) {
			asked := v.Quantity.Float()
			if v.Quantity.Unit.Dimension() == curriculum.Length && ramp.Of == "sway" {
				asked = v.Quantity.In(curriculum.Centimetre)
			}
			value := asked + pick(d.gen, 0, 0.5, 1, 10, -0.5, -1)
			if ramp.Falling {
				value = asked - pick(d.gen, 0, 0.5, 1, -0.5, -1)
			}
			t.Measures = slices.DeleteFunc(t.Measures, func(m curriculum.MeasureValue) bool { return m.Name == ramp.Of })
			t.Measures = append(t.Measures, curriculum.MeasureValue{Name: ramp.Of, Value: max(0, value)})
			if decide && t.Outcome != curriculum.Void && t.Outcome != curriculum.OptOut {
				t.Outcome = curriculum.NoOutcome
			}
		}
	}
	if d.chance(0.004) {
		t.Outcome = curriculum.NoOutcome
	}
}

// event puts a line beside the trials.
func (d *diary) event(behaviour string) {
	d.n++
	e := curriculum.Event{ID: fmt.Sprintf("%s-%d", d.dog, d.n), Dog: d.dog, Behaviour: behaviour, At: d.when(), By: pick(d.gen, "Halla", "Dov", "Halla", "Dov", "")}
	switch d.IntN(4) {
	case 0:
		e.Kind, e.Sign = curriculum.SignSeen, pick(d.gen, "limp", "growl", "shiver", "yawn", "sneeze", "lump", "Growled", "grwl", "shivring", "shivrig", "yawning", "shimp")
		if e.Sign == "growl" && e.Behaviour == "" {
			e.Behaviour = pick(d.gen, d.c.Behaviours...).Name
		}
	case 1:
		e.Kind, e.Sign = curriculum.SignCleared, pick(d.gen, "limp", "growl", "shiver", "lump", "grwl", "sneeze") // of a behaviour, or of all
	case 2:
		b := pick(d.gen, d.c.Behaviours...)
		s := pick(d.gen, b.Steps...)
		e.Kind, e.Behaviour, e.Step = curriculum.HandMove, b.Name, s.Name
		if d.chance(0.5) {
			e.Level = slices.Clone(curriculum.LevelRef(pick(d.gen, s.Levels...).Values))
		}
		if d.chance(0.2) {
			e.Kept, e.Step, e.Level = true, "", nil
		}
		if d.chance(0.1) {
			e.Step = pick(d.gen, "", "unheard-of")
		}
		if d.chance(0.05) {
			e.Level = curriculum.LevelRef{{Of: "duration", LevelValue: curriculum.LevelValue{Quantity: curriculum.Q(77, curriculum.Second)}}}
		}
		if d.chance(0.05) {
			e.Behaviour = pick(d.gen, "", "unheard-of")
		}
	default:
		e.Kind, e.Note = curriculum.NoteTaken, "slippery floor"
	}
	d.take(curriculum.Entry{IsEvent: true, Event: e})
}
