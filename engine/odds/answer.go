package odds

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// ErrNoSuch is in the chain where the curriculum has no such behaviour or step.
var ErrNoSuch = errors.New("not in the curriculum")

// maxWait bounds the trials after which half, or nine in ten, have moved: nobody waits longer.
const maxWait = 1000

// Answer is what the rules promise.
type Answer struct {
	Rows    []Row    `json:"rows"`    // for each step each chance
	Steps   []Step   `json:"steps"`   // for each step what does not depend on the chance
	Ladders []Ladder `json:"ladders"` // for each behaviour each chance; none for a single step or criterion
	Lapses  []Lapse  `json:"lapses"`  // for each behaviour with a lapse rule each chance; none for a single step or criterion
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
	HalfBy    ByTrial `json:"half_by"`        // smallest number of trials by which half of such dogs have moved
	NineBy    ByTrial `json:"nine_in_ten_by"` // and nine in ten
	// FirstAdvance is the chance that the first move is an advance, whenever it comes; Through is how many trials it takes
	// until the next step is reached, with all the ways back.
	FirstAdvance float64 `json:"first_advance"`
	Never        float64 `json:"never"` // chance that no rule ever moves the dog
	// Unknown is the chance that the dog is still there when the rules, which count without end, were followed no further.
	Unknown   float64 `json:"unknown,omitempty"`
	Through   Trials  `json:"through_mean_trials"`
	ThroughSD Trials  `json:"through_sd_trials"`
	Rules     []Rule  `json:"rules"`
	Residual  float64 `json:"residual"` // an upper bound of Times.Residual, in steps of a thousand
}

// Rule is one rule of a row.
//
// An advance, ease or split has fired when it moves the dog, and is the first to do so. A stop or flag has when it is noted
// for the first time while the dog still stands where it stood, at the latest together with the move that ends that; what a
// stop does to the trials behind it is not counted in. A skip, which is looked at before the dog comes to its step, is taken
// by itself: of a dog all of whose trials name that step.
type Rule struct {
	Rule      string  `json:"rule"`
	Criterion string  `json:"criterion"`
	By        float64 `json:"by"`          // chance that it has fired by then
	Ever      float64 `json:"ever"`        // that it ever does
	Mean      Trials  `json:"mean_trials"` // until it does, where it does
	// InSession is of a stop the chance that it is noted in the first session at the level, of as many trials as the
	// question says; nil where it does not say.
	InSession *float64 `json:"in_session,omitempty"`
	// Unknown is the chance that the dog is still there when the rules were followed no further; By may be so much more.
	Unknown float64 `json:"unknown,omitempty"`
	// Session, Places, Handlers and Notes are what was taken for granted for a stop or flag, as in Step.
	Session  int      `json:"session_trials,omitempty"`
	Places   []string `json:"places,omitempty"`
	Handlers []string `json:"handlers,omitempty"`
	Notes    []string `json:"notes,omitempty"`
	File     string   `json:"file,omitempty"`
	Line     int      `json:"line,omitempty"`
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

// ByTrial is a number of trials by which a share of dogs have moved; 0, in JSON null, where they have not by trial 1,000.
type ByTrial int

// MarshalJSON is the number, or null.
func (n ByTrial) MarshalJSON() ([]byte, error) {
	if n == 0 {
		return []byte("null"), nil
	}
	return json.Marshal(int(n))
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
	w, err := newWork(c, q)
	if err != nil {
		return nil, err
	}
	passages := map[*curriculum.Behaviour][][]passage{}
	err = w.each(behaviour, step, func(b *curriculum.Behaviour, i int) (err error) {
		if passages[b] == nil && !q.FirstMoves {
			upTo := len(b.Steps) - 1
			if step != "" {
				upTo = i
			}
			if passages[b], err = w.passages(b, upTo); err != nil {
				return err
			}
		}
		return w.step(b, i, passages[b])
	})
	if err != nil {
		return nil, err
	}
	for _, b := range w.c.Behaviours {
		if passages[b] != nil && step == "" {
			w.ladders(b, passages[b])
			if err := w.lapses(b); err != nil {
				return nil, err
			}
		}
	}
	w.answer.Notes = w.common()
	return w.answer, nil
}

// OfCriterion answers for a criterion that stands alone: in each row Advance is the chance that it has held by trial By.
// The curriculum gives measures, places and handlers their meaning; it may be nil.
func OfCriterion(when curriculum.Criterion, c *curriculum.Curriculum, q Question) (*Answer, error) {
	w, err := newWork(c, q)
	if err != nil {
		return nil, err
	}
	step, st, err := w.criterion(when)
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

// common is what was taken for granted in the whole answer.
func (w *work) common() []string {
	notes := []string{"Every trial has the same chance, whatever came before it; no real dog is so."}
	d := w.q.Dog
	var also []string // how trials are shared out
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
	switch {
	case !w.gauges:
	case d.Short > 0:
		notes = append(notes, percent(d.Short)+" of all trials fall short in what a rule measures beside the outcome.")
	default:
		notes = append(notes, "What a rule measures beside the outcome is good at every trial.")
	}
	inSessions := slices.ContainsFunc(w.answer.Steps, func(s Step) bool { return s.Session > 0 }) ||
		slices.ContainsFunc(w.answer.Rows, func(r Row) bool {
			return slices.ContainsFunc(r.Rules, func(r Rule) bool { return r.Session > 0 })
		})
	if inSessions {
		notes = append(notes, "Each session is on a day of its own, and a step begins with a session.")
	}
	if w.counts {
		notes = append(notes, "How often the dog eased, and its trials at the step before, count from nought.")
	}
	if len(w.answer.Steps) > 0 && w.answer.Steps[0].Behaviour != "" {
		notes = append(notes, "On the way to the next step, and through it all, ways back are counted in; no level is put in by a split, and nothing is skipped.")
	}
	return notes
}

// percent is a share in words: 60%, 62.5%.
func percent(v float64) string {
	text := fmt.Sprintf("%.1f", 100*v)
	return strings.TrimSuffix(text, ".0") + "%"
}
