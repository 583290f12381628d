package odds

// Walk follows the chain trial by trial and shows the chance of each end by then, until show says that it has seen
// enough or n trials are over. The slice is shown, not given: show must copy what it keeps.
func (c *Chain) Walk(n int, show func(trial int, ends []float64) bool) {
	now, next := make([]float64, c.states), make([]float64, c.states)
	ends, ended := make([]float64, c.ends), make([]float64, c.ends)
	now[c.start] = 1
	for trial := 1; trial <= n; trial++ {
		clear(next)
		clear(ended) // small chances are added up by themselves first, so that none is lost beside a large one
		for i, v := range now {
			if v == 0 {
				continue
			}
			for a := c.first[i]; a < c.first[i+1]; a++ {
				if to := c.to[a]; to >= 0 {
					next[to] += v * c.chance[a]
				} else {
					ended[^to] += v * c.chance[a]
				}
			}
		}
		for e, v := range ended {
			ends[e] += v
		}
		now, next = next, now
		if !show(trial, ends) {
			return
		}
	}
}

// By is the chance of each end by trial n.
func (c *Chain) By(n int) []float64 {
	out := make([]float64, c.ends)
	c.Walk(n, func(trial int, ends []float64) bool {
		if trial == n {
			copy(out, ends)
		}
		return true
	})
	return out
}

// Quantile is the smallest number of trials by which the walk has ended, at one of the named ends or (none named) at
// any, with at least the chance q. It is 0 where that takes more than limit trials.
func (c *Chain) Quantile(q float64, limit int, at ...int) int {
	got := 0
	c.Walk(limit, func(trial int, ends []float64) bool {
		sum := 0.0
		for e, v := range ends {
			if len(at) == 0 {
				sum += v
			}
			for _, wanted := range at {
				if e == wanted {
					sum += v
				}
			}
		}
		if sum >= q-1e-12 {
			got = trial
		}
		return got == 0
	})
	return got
}
