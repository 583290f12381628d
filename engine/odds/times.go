package odds

import "math"

// Times says how and when a walk ends.
type Times struct {
	Mean float64 // number of trials; +Inf where Never is more than 0
	SD   float64 // its standard deviation
	Ends []EndTimes
	// Never is the chance that the walk goes on for ever in states from which no end can be reached.
	Never float64
	// Residual is how far the solution is from balance: what should flow into the states and what does, as a share of
	// all visits. The answer is exact for chances that differ from the given ones by about so much.
	Residual float64
}

// EndTimes is one end.
type EndTimes struct {
	Chance float64 // that the walk ends here
	Mean   float64 // number of trials of the walks that end here; NaN where none does
}

// Times works out the chance of each end and the mean and spread of the number of trials, without simulation: with N
// the matrix of expected visits, a walk takes N1 trials, and the mean of T(T+1)/2 is NN1 (J. G. Kemeny and J. L. Snell,
// Finite Markov Chains, 1960, chapter 3).
func (c *Chain) Times() (Times, error) {
	s := newSolver(c)
	inflow := make([]float64, c.states)
	inflow[c.start] = 1
	once, never, err := s.visits(inflow)
	if err != nil {
		return Times{}, err
	}
	twice, _, err := s.visits(once)
	if err != nil {
		return Times{}, err
	}
	t := Times{Ends: make([]EndTimes, c.ends), Never: never, Residual: c.residual(inflow, once)}
	for i := range c.states {
		for a := c.first[i]; a < c.first[i+1]; a++ {
			if to := c.to[a]; to < 0 {
				e := &t.Ends[^to]
				e.Chance += once[i] * c.chance[a]
				e.Mean += twice[i] * c.chance[a]
			}
		}
	}
	for i := range t.Ends {
		t.Ends[i].Mean /= t.Ends[i].Chance
	}
	if never > 0 {
		t.Mean, t.SD = math.Inf(1), math.Inf(1)
		return t, nil
	}
	t.Mean = sum(once)
	t.SD = math.Sqrt(spread(2*sum(twice)-t.Mean, t.Mean))
	return t, nil
}

// spread is a variance from the mean of the squares. What is left of rounding alone is nought.
func spread(squares, mean float64) float64 {
	v := squares - mean*mean
	if v < 1e-13*squares {
		return 0
	}
	return v
}

// residual is the sum over all states of what the visits miss balance by, as a share of all visits. Traps have none.
func (c *Chain) residual(inflow, x []float64) float64 {
	due := make([]float64, c.states)
	copy(due, inflow)
	for i, v := range x {
		for a := c.first[i]; a < c.first[i+1]; a++ {
			if to := c.to[a]; to >= 0 {
				due[to] = math.FMA(v, c.chance[a], due[to])
			}
		}
	}
	off := 0.0
	for i, v := range x {
		if !c.parts[c.where[i]].trap {
			off += math.Abs(due[i] - v)
		}
	}
	return off / max(sum(x), 1)
}
