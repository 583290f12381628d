package odds

import "fmt"

// Shape is a finite machine without chances: from each state an arc for each letter, to another state or to one of the
// ends. The letters' chances come later, with With, so that one shape serves many dogs.
//
// Build one with NewShape and Add; after that it is not changed and may be used by many goroutines at once.
type Shape struct {
	letters int
	ends    int
	start   int
	first   []int32 // arcs of state i: from first[i] to first[i+1]
	to      []int32 // a state, or ^e for end e
	letter  []int32
}

// Arc leads from a state to another where its letter comes; End(e) as To ends the walk.
type Arc struct {
	Letter int
	To     int
}

// End is the target of an arc that ends the walk at end e.
func End(e int) int { return ^e }

// NewShape begins a shape of so many letters and ends, without states.
func NewShape(letters, ends int) *Shape {
	return &Shape{letters: letters, ends: ends, first: []int32{0}}
}

// Add puts in the next state, the first of which is 0, and returns its number. Letters without an arc are taken to
// have no chance in that state: their arcs are simply not there.
func (s *Shape) Add(arcs ...Arc) int {
	for _, a := range arcs {
		s.to, s.letter = append(s.to, int32(a.To)), append(s.letter, int32(a.Letter))
	}
	s.first = append(s.first, int32(len(s.to)))
	return len(s.first) - 2
}

// StartAt says in which state the walk begins; it is 0 otherwise.
func (s *Shape) StartAt(state int) { s.start = state }

// States is how many states there are.
func (s *Shape) States() int { return len(s.first) - 1 }

// Ends is how many ends there are.
func (s *Shape) Ends() int { return s.ends }

// check refuses arcs that lead nowhere.
func (s *Shape) check() error {
	if s.start < 0 || s.start >= s.States() {
		return fmt.Errorf("odds: the walk begins in state %d of %d", s.start, s.States())
	}
	for i, to := range s.to {
		if int(to) >= s.States() || int(^to) >= s.ends {
			return fmt.Errorf("odds: arc %d leads to %d, with %d states and %d ends", i, to, s.States(), s.ends)
		}
		if l := s.letter[i]; l < 0 || int(l) >= s.letters {
			return fmt.Errorf("odds: arc %d bears letter %d of %d", i, l, s.letters)
		}
	}
	return nil
}

// Chain is a shape with chances: an absorbing Markov chain. One step of it is one trial.
type Chain struct {
	states, ends, start int
	first               []int32
	to                  []int32
	chance              []float64
	parts               []part // in the order of travel: arcs lead within a part, to a later one, or to an end
	where               []int32
}

// With gives each letter its chance. In each state the chances of the letters that have an arc must add up to one.
func (s *Shape) With(chance []float64) (*Chain, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	if len(chance) != s.letters {
		return nil, fmt.Errorf("odds: %d chances for %d letters", len(chance), s.letters)
	}
	c := &Chain{states: s.States(), ends: s.ends, start: s.start, first: make([]int32, 1, len(s.first))}
	for i := range c.states {
		sum := 0.0
		for a := s.first[i]; a < s.first[i+1]; a++ {
			p := chance[s.letter[a]]
			if !(p >= 0 && p <= 1) {
				return nil, fmt.Errorf("odds: letter %d has the chance %v", s.letter[a], p)
			}
			if sum += p; p > 0 {
				c.to, c.chance = append(c.to, s.to[a]), append(c.chance, p)
			}
		}
		if sum < 1-1e-9 || sum > 1+1e-9 {
			return nil, fmt.Errorf("odds: the chances in state %d add up to %v", i, sum)
		}
		c.first = append(c.first, int32(len(c.to)))
	}
	c.divide()
	return c, nil
}

// States is how many states the chain has.
func (c *Chain) States() int { return c.states }

// Ends is how many ends the chain has.
func (c *Chain) Ends() int { return c.ends }
