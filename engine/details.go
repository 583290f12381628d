package engine

import (
	"slices"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// detailBudget is how many combinations of recorded facts a search tries.
const detailBudget = 600

// details are trials without an outcome yet that record the facts the conditions of the level read, in every
// combination that may matter, those that record little first.
func (s *searcher) details() []letter {
	sets := s.choices()
	out := []letter{{}}
	for _, set := range sets {
		var more []letter
		for _, l := range out {
			for _, choose := range set {
				if len(out)+len(more) < detailBudget {
					n := l
					n.trial.Measures = slices.Clone(l.trial.Measures)
					choose(&n)
					more = append(more, n)
				}
			}
		}
		out = append(out, more...)
	}
	for i := range out {
		out[i].next = s.f.p.written(&out[i].trial)
	}
	return out
}

// written is what a continuation says of a trial's facts.
func (p *Program) written(t *curriculum.Trial) NextTrial {
	n := NextTrial{Place: t.Place, Handler: t.Handler}
	var parts []string
	for _, m := range t.Measures {
		if n.Measures == nil {
			n.Measures = map[string]float64{}
		}
		n.Measures[m.Name] = m.Value
		text := m.Name + " " + strconv.FormatFloat(m.Value, 'f', -1, 64)
		if u := p.measures[m.Name]; u != curriculum.NoUnit {
			text += " " + string(u)
		}
		parts = append(parts, text)
	}
	if t.Place != "" {
		parts = append(parts, "place "+t.Place)
	}
	if t.Handler != "" {
		parts = append(parts, "handler "+t.Handler)
	}
	if t.Rewarded != curriculum.NotSaid {
		yes := t.Rewarded == curriculum.Yes
		n.Rewarded = &yes
		if yes {
			parts = append(parts, "paid")
		} else {
			parts = append(parts, "unpaid")
		}
	}
	n.With = strings.Join(parts, ", ")
	return n
}

// details are the values worth trying, found in a behaviour's rules.
type details struct {
	values   map[string][]float64 // of a measure
	texts    map[string][]string  // of a place or handler
	rewarded bool                 // some condition asks whether the trial was rewarded
}

// choices are the values worth trying, fact by fact.
func (s *searcher) choices() [][]func(*letter) {
	d := &details{values: map[string][]float64{}, texts: map[string][]string{}}
	s.eachDivision(func(v *division) {
		switch v.over {
		case curriculum.Places:
			d.texts["place"] = append(d.texts["place"], s.f.p.c.Places...)
		case curriculum.Handlers:
			d.texts["handler"] = append(d.texts["handler"], s.f.p.c.Handlers...)
		}
	})
	for _, tr := range s.tracks() {
		if tr.within != nil {
			d.values["latency"] = append(d.values["latency"], *tr.within, *tr.within+1)
		}
		if tr.hold != nil {
			d.values["duration"] = append(d.values["duration"], *tr.hold, *tr.hold/2)
		}
		d.asked(s.f.p, tr.where)
		d.asked(s.f.p, tr.among)
	}
	s.each(func(n *node) {
		d.asked(s.f.p, n.cond)
		if n.op == opStatistic {
			v := n.stat.nearest
			d.values[n.track.measure] = append(d.values[n.track.measure], v, v/2, v+1)
		}
	})
	return d.letters()
}

// asked adds what a condition reads.
func (d *details) asked(p *Program, c *condition) {
	if c == nil {
		return
	}
	numbers := numbersIn(c.text)
	for _, fact := range c.prog.Reads() {
		switch fact {
		case "place":
			d.texts[fact] = append(d.texts[fact], p.c.Places...)
		case "handler":
			d.texts[fact] = append(d.texts[fact], p.c.Handlers...)
		case "rewarded":
			d.rewarded = true
		default:
			for name := range p.measures {
				if expression.FactName(name) == fact {
					d.values[name] = append(d.values[name], numbers...)
				}
			}
		}
	}
	for _, l := range c.prog.Literals() {
		d.texts[l.Fact] = append(d.texts[l.Fact], l.Value, "elsewhere")
	}
}

// letters are, fact by fact, what gives a trial each value.
func (d *details) letters() (out [][]func(*letter)) {
	for _, name := range sortedKeys(d.values) {
		var set []func(*letter)
		for _, v := range distinct(d.values[name]) {
			set = append(set, func(l *letter) {
				l.trial.Measures = append(l.trial.Measures, curriculum.MeasureValue{Name: name, Value: v})
			})
		}
		out = append(out, set)
	}
	for _, fact := range []string{"place", "handler"} {
		var set []func(*letter)
		for _, v := range distinct(d.texts[fact]) {
			set = append(set, func(l *letter) {
				if fact == "place" {
					l.trial.Place = v
				} else {
					l.trial.Handler = v
				}
			})
		}
		if set != nil {
			out = append(out, set)
		}
	}
	if d.rewarded {
		out = append(out, []func(*letter){
			func(l *letter) { l.trial.Rewarded = curriculum.Yes },
			func(l *letter) { l.trial.Rewarded = curriculum.No },
		})
	}
	return out
}

// distinct drops later copies of a value, keeping the order.
func distinct[T comparable](in []T) []T {
	var out []T
	for _, v := range in {
		if !slices.Contains(out, v) {
			out = append(out, v)
		}
	}
	return out
}

// numbersIn lists the numbers of a condition's text and values just above and below each: with comparisons of one fact
// with numbers, one of them lies in every piece the fact's range is cut into.
func numbersIn(text string) []float64 {
	var out []float64
	for i := 0; i < len(text); i++ {
		if text[i] < '0' || text[i] > '9' {
			continue
		}
		j := i
		for j < len(text) && (text[j] >= '0' && text[j] <= '9' || text[j] == '.') {
			j++
		}
		if i == 0 || !isWordByte(text[i-1]) {
			if v, err := strconv.ParseFloat(text[i:j], 64); err == nil {
				out = append(out, v, v+0.5, v-0.5)
			}
		}
		i = j
	}
	if out == nil {
		out = []float64{1, 0}
	}
	return slices.DeleteFunc(out, func(v float64) bool { return v < 0 })
}

func isWordByte(c byte) bool {
	return c == '_' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9'
}
