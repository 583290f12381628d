package odds

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrNotSettled is returned where a chain is too large to be eliminated and does not settle by sweeping either.
var ErrNotSettled = errors.New("odds: the chain is too large, and its solution does not settle")

// maxDense is the largest part that is eliminated at once; larger ones are swept first. 300 states cost some
// milliseconds. maxFallback is the largest that is eliminated when sweeping fails: some seconds.
const (
	maxDense    = 300
	maxFallback = 3000
	maxSweeps   = 20_000
	settled     = 1e-13 // relative change of a sweep that may be rounding only
)

func ascending(s []int32) []int32 {
	slices.Sort(s)
	return s
}

// solver works out visits: how often each state is visited by a walk that begins with given inflows. It keeps what it
// eliminated, since every question needs two such solutions.
type solver struct {
	c     *Chain
	dense []*elimination // by part, nil where not made
	swept []*sweep
	local []int32 // number of a state within its part
}

func newSolver(c *Chain) *solver {
	s := &solver{c: c, dense: make([]*elimination, len(c.parts)), swept: make([]*sweep, len(c.parts)), local: make([]int32, c.states)}
	for _, p := range c.parts {
		for i, st := range p.states {
			s.local[st] = int32(i)
		}
	}
	return s
}

// visits solves x (I - Q) = inflow part by part, in the order of travel. States of traps get none; what flows into them
// is lost.
func (s *solver) visits(inflow []float64) (x []float64, lost float64, err error) {
	c := s.c
	in := slices.Clone(inflow)
	x = make([]float64, c.states)
	for i := range c.parts {
		p := &c.parts[i]
		flow := 0.0
		for _, st := range p.states {
			flow += in[st]
		}
		if flow == 0 {
			continue
		}
		if p.trap {
			lost += flow
			continue
		}
		if err := s.part(i, in, x); err != nil {
			return nil, 0, err
		}
		for _, st := range p.states {
			for a := c.first[st]; a < c.first[st+1]; a++ {
				if to := c.to[a]; to >= 0 && c.where[to] != int32(i) {
					in[to] += x[st] * c.chance[a]
				}
			}
		}
	}
	return x, lost, nil
}

// part solves one part.
func (s *solver) part(i int, in, x []float64) error {
	p := &s.c.parts[i]
	n := len(p.states)
	if n == 1 {
		st := p.states[0]
		x[st] = in[st] / s.leave(st, st)
		return nil
	}
	b := make([]float64, n)
	for j, st := range p.states {
		b[j] = in[st]
	}
	var y []float64
	if n > maxDense && s.dense[i] == nil {
		if s.swept[i] == nil {
			s.swept[i] = s.gather(i)
		}
		y = s.swept[i].run(b)
	}
	if y == nil {
		if n > maxFallback {
			return fmt.Errorf("%w: %d states that lead back to each other", ErrNotSettled, n)
		}
		if s.dense[i] == nil {
			s.dense[i] = s.eliminate(i)
		}
		y = s.dense[i].run(b)
	}
	for j, st := range p.states {
		x[st] = y[j]
	}
	return nil
}

// leave is the chance to leave state st other than to state but: one minus the rest, without a subtraction.
func (s *solver) leave(st, but int32) float64 {
	sum := 0.0
	for a := s.c.first[st]; a < s.c.first[st+1]; a++ {
		if s.c.to[a] != but {
			sum += s.c.chance[a]
		}
	}
	return sum
}

// elimination is a part with its states taken out one by one, by the way of Grassmann, Taksar and Heyman (Operations
// Research 33:1107-1116, 1985): nothing is ever subtracted, so that each number is right to nearly all its digits however
// seldom the walk ends.
type elimination struct {
	n     int
	a     []float64 // row i, column j: chance from i to j when those above both were taken out
	leave []float64 // chance to leave i to lower ones or out of the part
}

func (s *solver) eliminate(i int) *elimination {
	c, p := s.c, &s.c.parts[i]
	n := len(p.states)
	e := &elimination{n: n, a: make([]float64, n*n), leave: make([]float64, n)}
	out := make([]float64, n) // out of the part
	for j, st := range p.states {
		for a := c.first[st]; a < c.first[st+1]; a++ {
			if to := c.to[a]; to >= 0 && c.where[to] == int32(i) {
				e.a[j*n+int(s.local[to])] += c.chance[a]
			} else {
				out[j] += c.chance[a]
			}
		}
	}
	for k := n - 1; k >= 0; k-- {
		row := e.a[k*n : k*n+k]
		leave := out[k]
		for _, v := range row {
			leave += v
		}
		e.leave[k] = leave
		for j := range k {
			f := e.a[j*n+k] / leave
			if f == 0 {
				continue
			}
			to := e.a[j*n : j*n+k]
			for m, v := range row {
				to[m] += f * v
			}
			out[j] += f * out[k]
		}
	}
	return e
}

// run is the visits of each state for an inflow.
func (e *elimination) run(b []float64) []float64 {
	n := e.n
	b = slices.Clone(b)
	for k := n - 1; k > 0; k-- {
		if b[k] == 0 {
			continue
		}
		f := b[k] / e.leave[k]
		for m, v := range e.a[k*n : k*n+k] {
			b[m] += f * v
		}
	}
	x := make([]float64, n)
	for k := range n {
		sum := b[k]
		for i := range k {
			sum += x[i] * e.a[i*n+k]
		}
		x[k] = sum / e.leave[k]
	}
	return x
}

// sweep is a large part, arcs gathered by where they lead. Instead of the system itself, which is nearly singular where
// walks are long, it solves for the long-run shares of a walk that begins anew whenever it leaves: these settle within
// a few memories of the rules. The visits are those shares, scaled so that as much leaves as flows in.
type sweep struct {
	n      int
	first  []int32
	from   []int32
	chance []float64
	stay   []float64 // 1 - chance to stay in the state itself
	out    []float64 // chance to leave the part
}

func (s *solver) gather(i int) *sweep {
	c, p := s.c, &s.c.parts[i]
	n := len(p.states)
	w := &sweep{n: n, first: make([]int32, n+1), stay: make([]float64, n), out: make([]float64, n)}
	each := func(do func(from, to int32, chance float64)) {
		for j, st := range p.states {
			for a := c.first[st]; a < c.first[st+1]; a++ {
				if to := c.to[a]; to >= 0 && c.where[to] == int32(i) && to != st {
					do(int32(j), s.local[to], c.chance[a])
				}
			}
		}
	}
	for j, st := range p.states {
		w.stay[j] = s.leave(st, st)
		for a := c.first[st]; a < c.first[st+1]; a++ {
			if to := c.to[a]; to < 0 || c.where[to] != int32(i) {
				w.out[j] += c.chance[a]
			}
		}
	}
	each(func(_, to int32, _ float64) { w.first[to+1]++ })
	for j := range n {
		w.first[j+1] += w.first[j]
	}
	w.from, w.chance = make([]int32, w.first[n]), make([]float64, w.first[n])
	at := slices.Clone(w.first)
	each(func(from, to int32, chance float64) {
		w.from[at[to]], w.chance[at[to]] = from, chance
		at[to]++
	})
	return w
}

// run is the visits of each state for an inflow, nil where they do not settle.
func (w *sweep) run(b []float64) []float64 {
	inflow := sum(b)
	x := make([]float64, w.n)
	for i := range x {
		x[i] = b[i] / inflow
	}
	leaving, best := 1.0, math.Inf(1)
	for sweeps, quiet := 0, 0; best > settled || quiet < 5; sweeps++ {
		if sweeps == maxSweeps {
			return nil
		}
		change := w.once(x, b, leaving/inflow)
		if quiet++; change < best/2 { // else it is as small as rounding lets it become, once it is small
			best, quiet = change, 0
		}
		leaving = dot(x, w.out)
	}
	scale := inflow / leaving
	if math.IsInf(scale, 0) || math.IsNaN(scale) {
		return nil
	}
	for i := range x {
		x[i] *= scale
	}
	return x
}

// once goes over all states once, each with what is known of the others by then, scales the shares to add up to one,
// and says how much they changed.
func (w *sweep) once(x, b []float64, again float64) (change float64) {
	total := 0.0
	for j := range x {
		v := b[j] * again
		for a := w.first[j]; a < w.first[j+1]; a++ {
			v += x[w.from[a]] * w.chance[a]
		}
		v /= w.stay[j]
		change += math.Abs(v - x[j])
		x[j] = v
		total += v
	}
	for j := range x {
		x[j] /= total
	}
	return change / total
}

// sum adds up with the rounding carried along (A. Neumaier, Z. Angew. Math. Mech. 54:39-51, 1974).
func sum(v []float64) float64 {
	s, rest := 0.0, 0.0
	for _, x := range v {
		t := s + x
		if math.Abs(s) >= math.Abs(x) {
			rest += (s - t) + x
		} else {
			rest += (x - t) + s
		}
		s = t
	}
	return s + rest
}

func dot(x, y []float64) float64 {
	s := 0.0
	for i, v := range x {
		s += v * y[i]
	}
	return s
}
