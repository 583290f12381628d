package engine

import (
	"errors"
	"slices"
	"time"

	"example.com/rung/curriculum"
)

// Pace is how long a trial of a step takes this dog, by its own time stamps: the median of the newest cycles, without
// the pause and the duration that their level asked for. A cycle is the time from one success to the next, both of one
// behaviour at one step and level in one session, with no other trial between. Gaps too short for a trial are stamps
// that nobody took (a tally book counts in seconds); those too long are breaks. No rule depends on it.
type Pace struct {
	Seconds float64
	Cycles  int // at most fifteen
}

const (
	shortestCycle = 2 * time.Second
	longestCycle  = 3 * time.Minute
	shortestPace  = 10 // tenths of a second, without pause and duration
	cyclesKept    = 15
)

// stepPace is the newest cycles of a step, in tenths of a second.
type stepPace struct {
	step   *curriculum.Step
	cycles [cyclesKept]uint16
	n      uint8 // how many there are
	next   uint8 // where the next goes
}

// pacer is a dog's last trial, as far as the next one's cycle depends on it.
type pacer struct {
	step    *curriculum.Step // nil where no cycle begins with it
	behave  *behaviour
	session uint32
	at      time.Time
	held    int
}

// pace takes note of a trial's cycle.
func (f *Fold) pace(d *dog, st *state, s *session, t *curriculum.Trial, k kind, sp *spot) {
	if k != success || sp.level == nil {
		d.pacer.step = nil
		return
	}
	now := pacer{sp.stage.step, st.b, s.number, t.At, heldIn(t.Level, sp.level.values)}
	was := d.pacer
	d.pacer = now
	if was.step != now.step || was.behave != now.behave || was.session != now.session || was.held != now.held {
		return
	}
	gap := now.at.Sub(was.at)
	if gap < shortestCycle || gap > longestCycle {
		return
	}
	if tenths := int(gap/(time.Second/10)) - now.held; tenths >= shortestPace {
		st.paceOf(now.step).add(uint16(tenths))
	}
}

// heldIn is the pause and the duration that a trial's level asked for, in tenths of a second.
func heldIn(named curriculum.LevelRef, l curriculum.Level) (tenths int) {
	for _, of := range [...]string{"pause", "duration"} {
		v, ok := l.Get(of)
		for _, n := range named {
			if n.Of == of {
				v, ok = n.LevelValue, true
			}
		}
		if ok && !v.Quantity.IsZero() && v.Quantity.Unit.Dimension() == curriculum.Time {
			tenths += int(v.Quantity.Float() * 10)
		}
	}
	return tenths
}

// paceOf is the cycles of a step, begun where there are none.
func (st *state) paceOf(s *curriculum.Step) *stepPace {
	for i := range st.paces {
		if st.paces[i].step == s {
			return &st.paces[i]
		}
	}
	st.paces = append(st.paces, stepPace{step: s})
	return &st.paces[len(st.paces)-1]
}

func (p *stepPace) add(tenths uint16) {
	p.cycles[p.next] = tenths
	p.next = (p.next + 1) % cyclesKept
	p.n = min(p.n+1, cyclesKept)
}

// list is the cycles, oldest first.
func (p *stepPace) list() []int {
	out := make([]int, p.n)
	for i := range out {
		out[i] = int(p.cycles[(int(p.next)+cyclesKept-int(p.n)+i)%cyclesKept])
	}
	return out
}

// paceAt is the pace of a step.
func (st *state) paceAt(s *curriculum.Step) Pace {
	for i := range st.paces {
		if p := &st.paces[i]; p.step == s {
			all := p.list()
			slices.Sort(all)
			n := len(all)
			return Pace{Seconds: float64(all[(n-1)/2]+all[n/2]) / 20, Cycles: n}
		}
	}
	return Pace{}
}

// resumePace is a stepPace as Save writes it, oldest first.
type resumePace struct {
	Step   string `json:"step"`
	Tenths []int  `json:"tenths"`
}

// resumePacer is a pacer as Save writes it.
type resumePacer struct {
	Behaviour string    `json:"behaviour"`
	Step      string    `json:"step"`
	Session   uint32    `json:"session"`
	At        time.Time `json:"at"`
	Held      int       `json:"held,omitempty"`
}

func (st *state) savePaces() (out []resumePace) {
	for _, s := range st.b.src.Steps {
		for i := range st.paces {
			if p := &st.paces[i]; p.step == s {
				out = append(out, resumePace{s.Name, p.list()})
			}
		}
	}
	return out
}

func (st *state) loadPaces(saved []resumePace) error {
	for _, r := range saved {
		i, ok := st.b.steps[r.Step]
		if !ok || len(r.Tenths) > cyclesKept {
			return errors.New("cycles that belong to no step, or too many")
		}
		p := st.paceOf(st.b.stages[i].step)
		for _, v := range r.Tenths {
			if v < shortestPace || v > int(longestCycle/(time.Second/10)) {
				return errors.New("a cycle that none can be")
			}
			p.add(uint16(v))
		}
	}
	return nil
}

func (d *dog) savePacer() *resumePacer {
	p := &d.pacer
	if p.step == nil {
		return nil
	}
	return &resumePacer{p.behave.src.Name, p.step.Name, p.session, p.at, p.held}
}

func (f *Fold) loadPacer(d *dog, r *resumePacer) error {
	if r == nil {
		return nil
	}
	bi, ok := f.p.names[r.Behaviour]
	if !ok {
		return errors.New("a last trial of no behaviour")
	}
	b := f.p.behaviours[bi]
	i, ok := b.steps[r.Step]
	if !ok {
		return errors.New("a last trial at no step")
	}
	d.pacer = pacer{b.stages[i].step, b, r.Session, r.At, r.Held}
	return nil
}
