package odds

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine/automaton"
)

// ErrNoSuch is in the chain where the curriculum has no such behaviour or step.
var ErrNoSuch = errors.New("not in the curriculum")

// maxWait bounds the trials after which half, or nine in ten, have moved.
const maxWait = 10_000

// Answer is what the rules promise.
type Answer struct {
	Rows    []Row    `json:"rows"`    // for each step each chance
	Steps   []Step   `json:"steps"`   // for each step what does not depend on the chance
	Ladders []Ladder `json:"ladders"` // for each behaviour each chance; none for a single step or criterion
	Notes   []string `json:"notes"`   // what was taken for granted
}

// Row is what the rules of a step, or a criterion, promise a dog of one chance of success. With several rules of a word
// their chances are added up: only the first to hold moves the dog.
type Row struct {
	Behaviour string  `json:"behaviour"`
	Step      string  `json:"step"`
	Criterion string  `json:"criterion"` // of the advance, or the criterion asked about
	Chance    float64 `json:"chance"`
	By        int     `json:"by"`
	Advance   float64 `json:"advance"` // chance that by trial By an advance has moved the dog
	Ease      float64 `json:"ease"`
	Split     float64 `json:"split"`
	Mean      Trials  `json:"mean_trials"` // until the first move of any kind
	SD        Trials  `json:"sd_trials"`
	HalfBy    int     `json:"half_by"`        // smallest number of trials by which half of such dogs have moved; 0: over 10,000
	NineBy    int     `json:"nine_in_ten_by"` // and nine in ten
	// FirstAdvance is the chance that the first move is an advance, whenever it comes; Through is how many trials it takes
	// until the next step is reached, with all the ways back.
	FirstAdvance float64 `json:"first_advance"`
	Never        float64 `json:"never"` // chance that no rule ever moves the dog
	Through      Trials  `json:"through_mean_trials"`
	ThroughSD    Trials  `json:"through_sd_trials"`
	Rules        []Rule  `json:"rules"`
	Residual     float64 `json:"residual"` // an upper bound of Times.Residual, in steps of a thousand
}

// Rule is one rule of a row.
type Rule struct {
	Rule      string  `json:"rule"`
	Criterion string  `json:"criterion"`
	By        float64 `json:"by"`   // chance that it has moved the dog by then
	Ever      float64 `json:"ever"` // that it is the first to move it, whenever that is
	Mean      Trials  `json:"mean_trials"`
	File      string  `json:"file,omitempty"`
	Line      int     `json:"line,omitempty"`
}

// Step is what does not depend on the chance of success.
type Step struct {
	Behaviour string   `json:"behaviour"`
	Step      string   `json:"step"`
	Levels    int      `json:"levels"`
	Advance   []string `json:"advance"` // criteria in the author's words
	Ease      []string `json:"ease"`
	Split     []string `json:"split"`
	// HoldsAt are the chances of success at which an advance is as likely as an ease, a better dog climbs and a worse one
	// comes back: on a long ramp such a dog stays about there. Empty where a step has no such balance.
	HoldsAt []float64 `json:"holds_at"`
	// Session is how many trials of the behaviour a session is taken to have, 0 where the rules do not feel its end;
	// Places and Handlers take turns, session by session.
	Session  int      `json:"session_trials"`
	Places   []string `json:"places,omitempty"`
	Handlers []string `json:"handlers,omitempty"`
	States   int      `json:"states"`
	Notes    []string `json:"notes,omitempty"`
}

// Ladder is a whole behaviour: from its first trial until it is kept, with all the ways back.
type Ladder struct {
	Behaviour string  `json:"behaviour"`
	Chance    float64 `json:"chance"`
	Mean      Trials  `json:"mean_trials"`
	SD        Trials  `json:"sd_trials"`
	// Endless is the first step that some dogs, or all, never leave for the next; "" where there is none.
	Endless string `json:"endless,omitempty"`
}

// Trials is a number of trials. In JSON one that is infinite, or that there is no way to tell, is null; others have
// twelve digits, so that every machine writes the same.
type Trials float64

// Finite reports whether it is a number that can be printed.
func (t Trials) Finite() bool { return !math.IsInf(float64(t), 0) && !math.IsNaN(float64(t)) }

// MarshalJSON is the number, or null.
func (t Trials) MarshalJSON() ([]byte, error) {
	if !t.Finite() {
		return []byte("null"), nil
	}
	return json.Marshal(digits(float64(t)))
}

// UnmarshalJSON reads what MarshalJSON writes; null is infinite.
func (t *Trials) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*t = Trials(math.Inf(1))
		return nil
	}
	return json.Unmarshal(b, (*float64)(t))
}

// digits is v to twelve digits.
func digits(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	scale := math.Pow(10, 11-math.Floor(math.Log10(math.Abs(v))))
	if r := math.Round(v*scale) / scale; !math.IsInf(r, 0) && !math.IsNaN(r) {
		return r
	}
	return v
}

// roundUp is the next of 1e-15, 1e-12, 1e-9 ..., so that rounding, which differs between machines, does not show.
func roundUp(v float64) float64 {
	for _, bound := range []float64{1e-15, 1e-12, 1e-9, 1e-6, 1e-3} {
		if v <= bound {
			return bound
		}
	}
	return 1
}

// chance is a chance to twelve decimals: what is less is rounding.
func chance(v float64) float64 { return min(1, math.Round(v*1e12)/1e12) }

// Of answers for every step of a curriculum, of one behaviour, or for one step; "" means all. The curriculum is one that
// engine.Compile takes.
func Of(c *curriculum.Curriculum, behaviour, step string, q Question) (*Answer, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	w := &work{c: c, q: q, stays: map[string]*studied{}, answer: &Answer{Rows: []Row{}, Steps: []Step{}, Ladders: []Ladder{}}}
	found := false
	for _, b := range c.Behaviours {
		if behaviour != "" && b != c.Behaviour(behaviour) {
			continue
		}
		only := -1
		if step != "" {
			if only = b.Step(step); only < 0 {
				return nil, fmt.Errorf("odds: step %q of %s: %w", step, behaviour, ErrNoSuch)
			}
		}
		found = true
		if err := w.behaviour(b, only); err != nil {
			return nil, fmt.Errorf("%s: %w", b.Name, err)
		}
	}
	if !found && behaviour != "" {
		return nil, fmt.Errorf("odds: behaviour %q: %w", behaviour, ErrNoSuch)
	}
	w.answer.Notes = w.common()
	return w.answer, nil
}

// OfCriterion answers for a criterion that stands alone: in each row Advance is the chance that it has held by trial By.
// The curriculum gives measures, places and handlers their meaning; it may be nil.
func OfCriterion(when curriculum.Criterion, c *curriculum.Curriculum, q Question) (*Answer, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	if c == nil {
		c = &curriculum.Curriculum{}
	}
	step := &curriculum.Step{Rules: []curriculum.Rule{{Word: curriculum.Advance, When: when}}}
	w := &work{c: c, q: q, stays: map[string]*studied{}, answer: &Answer{Rows: []Row{}, Steps: []Step{}, Ladders: []Ladder{}}}
	of := &automaton.Stay{Rules: step.Rules}
	st, err := w.study(nil, step, of, true)
	if err != nil {
		return nil, err
	}
	if err := w.rows("", step, 1, st); err != nil {
		return nil, err
	}
	for i := range w.answer.Rows {
		r := &w.answer.Rows[i]
		r.Through, r.ThroughSD = r.Mean, r.SD
	}
	w.answer.Notes = w.common()
	return w.answer, nil
}

// work is an answer in the making.
type work struct {
	c      *curriculum.Curriculum
	q      Question
	stays  map[string]*studied // by what they are made of
	answer *Answer
	eased  bool // some rule asks how often the dog eased
}

// studied is the rules of a level and what is known of them.
type studied struct {
	*stay
	sessions Sessions
	times    []Times // by chance
	holds    []float64
	held     bool
}

// study makes a stay, or takes the one that was made of the same before.
func (w *work) study(b *curriculum.Behaviour, s *curriculum.Step, of *automaton.Stay, fresh bool) (*studied, error) {
	q := w.q
	q.Sessions = sessionsFor(w.c, b, s, of.Rules, &w.q)
	key := keyOf(of, fresh, q.Sessions)
	if st, ok := w.stays[key]; ok {
		return st, nil
	}
	st, err := makeStay(w.c, of, fresh, &q)
	if err != nil {
		return nil, err
	}
	out := &studied{stay: st, sessions: q.Sessions}
	for _, p := range w.q.chances() {
		c, err := st.chain(w.q.dog(p))
		if err != nil {
			return nil, err
		}
		t, err := c.Times()
		if err != nil {
			return nil, err
		}
		out.times = append(out.times, st.known(t))
	}
	w.stays[key] = out
	return out, nil
}

// known makes of walks that leave what was explored such that nobody can say when they end.
func (s *stay) known(t Times) Times {
	if s.beyond >= 0 && t.Ends[s.beyond].Chance > tiny {
		t.Never += t.Ends[s.beyond].Chance
		t.Mean, t.SD = math.Inf(1), math.Inf(1)
	}
	return t
}

// keyOf is equal for stays that are the same machine.
func keyOf(of *automaton.Stay, fresh bool, s Sessions) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%v %v %v %v %q %q|", fresh, of.Room, of.Decide.EveryTrials, of.Decide.EachSession, s.Places, s.Handlers)
	fmt.Fprint(&b, s.Trials, "|")
	for i := range of.Rules {
		r := &of.Rules[i]
		fmt.Fprintf(&b, "%s %v %q|", r.Word, len(r.Into) > 0, curriculum.CriterionText(r.When))
	}
	if strings.Contains(b.String(), "{") { // conditions may ask for what belongs to the step
		fmt.Fprintf(&b, "%q %q", of.Step, of.Prompts)
	}
	return b.String()
}

func (q *Question) dog(p float64) Dog {
	d := q.Dog
	d.Chance = p
	return d
}

// movers is the stay at a level with the rules that move only, split among them or not.
func movers(c *curriculum.Curriculum, b *curriculum.Behaviour, step, level int, splits bool) (*automaton.Stay, error) {
	s, err := automaton.StayAt(c, b.Name, step, level)
	if err != nil {
		return nil, fmt.Errorf("odds: %w", err)
	}
	var rules []curriculum.Rule
	for _, r := range s.Rules {
		if r.Word == curriculum.Advance || r.Word == curriculum.Ease || splits && r.Word == curriculum.Split {
			rules = append(rules, r)
		}
	}
	s.Rules = rules
	s.Room = s.Room && slices.ContainsFunc(rules, func(r curriculum.Rule) bool { return r.Word == curriculum.Split })
	return s, nil
}

func levelsOf(s *curriculum.Step) int {
	if len(s.Levels) > 0 {
		return len(s.Levels)
	}
	return len(curriculum.LayOut(s.Ramps, s.Raise))
}

// behaviour answers for the steps of a behaviour, or for one.
func (w *work) behaviour(b *curriculum.Behaviour, only int) error {
	passages, err := w.passages(b, only)
	if err != nil {
		return err
	}
	for i, s := range b.Steps {
		if only >= 0 && i != only {
			continue
		}
		level := min(1, levelsOf(s)-1)
		of, err := movers(w.c, b, i, level, true)
		if err != nil {
			return err
		}
		st, err := w.study(b, s, of, i == 0 && level == 0)
		if err != nil {
			return fmt.Errorf("at %s: %w", s.Name, err)
		}
		from := len(w.answer.Rows)
		if err := w.rows(b.Name, s, levelsOf(s), st); err != nil {
			return fmt.Errorf("at %s: %w", s.Name, err)
		}
		for j := range w.q.chances() {
			r := &w.answer.Rows[from+j]
			r.Through, r.ThroughSD = Trials(passages[j][i].mean), Trials(math.Sqrt(passages[j][i].variance))
		}
	}
	if only < 0 {
		w.ladders(b, passages)
	}
	return nil
}

// rows answers for one stay.
func (w *work) rows(behaviour string, s *curriculum.Step, levels int, st *studied) error {
	step := Step{Behaviour: behaviour, Step: s.Name, Levels: levels, Advance: []string{}, Ease: []string{}, Split: []string{}, HoldsAt: []float64{}, States: st.shape.States(), Notes: st.notes}
	for i := range s.Rules {
		text := curriculum.CriterionNames(s.Rules[i].When)
		switch s.Rules[i].Word {
		case curriculum.Advance:
			step.Advance = append(step.Advance, text)
		case curriculum.Ease:
			step.Ease = append(step.Ease, text)
		case curriculum.Split:
			step.Split = append(step.Split, text)
		}
	}
	if st.beyond >= 0 {
		step.Notes = append(slices.Clone(step.Notes), fmt.Sprintf("the rules count without end: followed through %d states, and what comes after them counts as never", st.shape.States()))
	}
	if st.feels {
		step.Session, step.Places, step.Handlers = st.sessions.Trials, st.sessions.Places, st.sessions.Handlers
	}
	if !st.held {
		var err error
		if st.holds, err = st.holdsAt(w.q.Dog); err != nil {
			return err
		}
		st.held = true
	}
	step.HoldsAt = append(step.HoldsAt, st.holds...)
	w.answer.Steps = append(w.answer.Steps, step)

	var advances []string
	for i := range s.Rules {
		if s.Rules[i].Word == curriculum.Advance {
			advances = append(advances, curriculum.CriterionText(s.Rules[i].When))
		}
	}
	for i, p := range w.q.chances() {
		row, err := st.row(w.q.dog(p), w.q.by(), st.times[i])
		if err != nil {
			return err
		}
		row.Behaviour, row.Step, row.Criterion = behaviour, s.Name, strings.Join(advances, "; or ")
		w.answer.Rows = append(w.answer.Rows, row)
	}
	return nil
}

// row is the stay with a dog.
func (s *stay) row(d Dog, by int, t Times) (Row, error) {
	c, err := s.chain(d)
	if err != nil {
		return Row{}, err
	}
	row := Row{Chance: d.Chance, By: by, Mean: Trials(t.Mean), SD: Trials(t.SD), Never: chance(t.Never), Residual: roundUp(t.Residual), Rules: []Rule{}}
	at, known := make([]float64, c.Ends()), true
	c.Walk(max(by, maxWait), func(trial int, ends []float64) bool {
		all := sum(ends[:len(s.rules)])
		if row.HalfBy == 0 && all >= .5-1e-12 {
			row.HalfBy = trial
		}
		if row.NineBy == 0 && all >= .9-1e-12 {
			row.NineBy = trial
		}
		if trial == by {
			copy(at, ends)
			known = s.beyond < 0 || ends[s.beyond] <= tiny
		}
		return trial < by || row.NineBy == 0 && trial < maxWait && t.Never < .1
	})
	if !known {
		return Row{}, fmt.Errorf("%w: by trial %d the rules need more than %d", ErrTooMany, by, s.shape.States())
	}
	for i, r := range s.rules {
		e := t.Ends[i]
		rule := Rule{Rule: string(r.Word), Criterion: r.Text, By: chance(at[i]), Ever: chance(e.Chance), Mean: Trials(e.Mean)}
		if r.Source != nil {
			rule.File, rule.Line = r.Source.Pos.File, r.Source.Pos.Line
		}
		row.Rules = append(row.Rules, rule)
		switch r.Word {
		case curriculum.Advance:
			row.Advance += at[i]
			row.FirstAdvance += e.Chance
		case curriculum.Ease:
			row.Ease += at[i]
		case curriculum.Split:
			row.Split += at[i]
		}
	}
	for _, v := range []*float64{&row.Advance, &row.Ease, &row.Split, &row.FirstAdvance} {
		*v = chance(*v)
	}
	return row, nil
}

// common is what was taken for granted in the whole answer.
func (w *work) common() []string {
	notes := []string{"Every trial has the same chance, whatever came before it; no real dog is so."}
	d := w.q.Dog
	var also []string
	for _, s := range []struct {
		share float64
		text  string
	}{{d.Helped, "of the misses are helped late"}, {d.Silent, "of the misses are silent"}, {d.Early, "of all trials are helped early"}, {d.OptOut, "of all trials are opt-outs"}} {
		if s.share > 0 {
			also = append(also, percent(s.share)+" "+s.text)
		}
	}
	if len(also) > 0 {
		notes = append(notes, strings.Join(also, ", ")+".")
	}
	if d.Short > 0 {
		notes = append(notes, percent(d.Short)+" of all trials fall short in whatever a rule measures.")
	} else {
		notes = append(notes, "Whatever a rule measures beside the outcome is good at every trial.")
	}
	if slices.ContainsFunc(w.answer.Steps, func(s Step) bool { return s.Session > 0 }) {
		notes = append(notes, "Each session is on a day of its own, and a step begins with a session.")
	}
	if len(w.answer.Ladders) > 0 {
		notes = append(notes, "Ways back are counted in; no level is put in by a split, and nothing is skipped.")
	}
	return notes
}

// percent is a share in words: 60%, 62.5%.
func percent(v float64) string {
	text := fmt.Sprintf("%.1f", 100*v)
	return strings.TrimSuffix(text, ".0") + "%"
}
