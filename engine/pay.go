package engine

import (
	"errors"
	"math"

	"example.com/rung/curriculum"
	"example.com/rung/schedules"
)

// PayRun is how far the rewards of a behaviour have come under the schedule of its present level. It runs on over
// sessions and levels for as long as the schedule stays the same; what a rule decides never depends on it.
type PayRun struct {
	Schedule curriculum.Schedule // of the present level
	State    schedules.State     // counted over the successes that are evidence at the present level
	// Values are the newest values, oldest first, of the measure that a percentile schedule ranks: of evidence that was
	// not helped, at most as many as its window.
	Values []float64
}

// payRun is the part of it that changes; of is nil while every success is paid.
type payRun struct {
	of     *curriculum.Schedule
	state  schedules.State
	values []float64 // never changed in place: states are copied
}

// scheduleAt is how successes at a level are paid, nil where every one is.
func scheduleAt(s *curriculum.Step, l curriculum.Level) *curriculum.Schedule {
	out := s.Reward
	if v, ok := l.Get(curriculum.ThinRamp); ok && v.Thin != nil {
		out = v.Thin
	}
	if out == nil || out.Kind == curriculum.EverySuccess {
		return nil
	}
	return out
}

// pay takes note of how a trial that is evidence at the present level was paid.
func (st *state) pay(t *curriculum.Trial, k kind) {
	of := st.lv().pays
	if of == nil {
		if st.run.of != nil {
			st.run = payRun{}
		}
		return
	}
	if st.run.of != of && (st.run.of == nil || !st.run.of.Equal(*of)) {
		st.run = payRun{}
	}
	st.run.of = of
	if of.Kind == curriculum.Percentile && k != helped {
		if v, ok := t.Measure(of.Measure); ok && !math.IsNaN(v) && !math.IsInf(v, 0) {
			kept := st.run.values[max(0, len(st.run.values)-of.Window+1):]
			st.run.values = append(append(make([]float64, 0, len(kept)+1), kept...), v)
		}
	}
	if k == success {
		st.run.state = st.run.state.After(payments[t.Rewarded])
	}
}

var payments = [...]schedules.Payment{curriculum.NotSaid: schedules.Unsaid, curriculum.Yes: schedules.Paid, curriculum.No: schedules.NotPaid}

// payRun is the run under the schedule of the present level.
func (st *state) payRun() PayRun {
	of := st.lv().pays
	if of == nil {
		return PayRun{Schedule: curriculum.Schedule{Kind: curriculum.EverySuccess}}
	}
	out := PayRun{Schedule: *of}
	if st.run.of != nil && st.run.of.Equal(*of) {
		out.State, out.Values = st.run.state, append([]float64(nil), st.run.values...)
	}
	return out
}

// resumePay is a run as Save writes it.
type resumePay struct {
	Schedule string `json:"schedule"`
	schedules.State
	Values []float64 `json:"values,omitempty"`
}

// savePay is nil where there is nothing to go on with.
func (st *state) savePay() *resumePay {
	if r := st.payRun(); r.State != (schedules.State{}) || len(r.Values) > 0 {
		return &resumePay{r.Schedule.String(), r.State, r.Values}
	}
	return nil
}

func (st *state) loadPay(r *resumePay, lines uint32) error {
	of := st.lv().pays
	if r == nil || of == nil || r.Schedule != of.String() {
		return nil // how it is paid is no part of a curriculum's meaning: a run under another schedule begins anew
	}
	s := r.State
	if s.Successes < 0 || s.Rewards < 0 || s.Unsaid < 0 || s.Unsaid > s.Unpaid || s.Rewards+s.Unpaid > s.Successes ||
		int64(s.Successes) > int64(lines) || len(r.Values) > 0 && (of.Kind != curriculum.Percentile || len(r.Values) > of.Window) {
		return errors.New("a count of rewards that does not add up")
	}
	st.run = payRun{of, s, r.Values}
	return nil
}
