package plan

import (
	"fmt"
	"slices"
)

// setUp says where each dog is in each turn: the index of a station, or -1 where it rests.
type setUp struct {
	SetUp
	at   [][]int
	cost int
}

// What a set-up costs: two turns running without a rest, and a station that a dog has had already. Rests come first,
// whatever the stations.
const (
	costRunning = 1000
	costAgain   = 1
)

// setUpBudget is how many placings are tried before the best so far is taken: some tenths of a second.
const setUpBudget = 2_000_000

// setter looks for the best set-up, one placing of one dog in one turn after another.
type setter struct {
	c      *Class
	order  []int    // dogs, those with the most turns and the most dogs to be kept from first
	apart  [][]bool // by dog and dog
	at     [][]int
	room   [][]int // by turn and station
	rest   []int   // the least cost of all dogs from the k-th in order on
	best   *setUp
	budget int
}

// setUp is the best set-up, or a *ClassError that says what stands in its way.
func (c *Class) setUp(budget int) (*setUp, error) {
	s := &setter{c: c, budget: budget}
	n := len(c.Dogs)
	s.apart = make([][]bool, n)
	index := map[string]int{}
	for i, d := range c.Dogs {
		index[d.Dog] = i
		s.apart[i] = make([]bool, n)
		s.order = append(s.order, i)
		s.at = append(s.at, slices.Repeat([]int{-1}, c.Turns))
	}
	for _, group := range c.Apart {
		for _, a := range group {
			for _, b := range group {
				i, here := index[a]
				j, there := index[b]
				if here && there && i != j {
					s.apart[i][j] = true
				}
			}
		}
	}
	places := 0
	for range c.Turns {
		room := make([]int, len(c.Stations))
		for i, st := range c.Stations {
			room[i] = st.Dogs
			places += st.Dogs
		}
		s.room = append(s.room, room)
	}
	if err := c.count(places, s.apart); err != nil {
		return nil, err
	}
	slices.SortStableFunc(s.order, func(a, b int) int { return s.weight(b) - s.weight(a) })
	s.rest = make([]int, n+1)
	for k := n - 1; k >= 0; k-- {
		noRest, again := c.least(s.order[k])
		s.rest[k] = s.rest[k+1] + noRest*costRunning + again*costAgain
	}
	s.dog(0, 0)
	if s.best == nil {
		next := "take another turn, another station, or let dogs work fewer turns"
		if s.budget <= 0 {
			return nil, &ClassError{"no set-up was found within the time a search may take", next}
		}
		return nil, &ClassError{"the dogs to be kept apart and the places at the stations leave no set-up", next}
	}
	b := s.best
	if s.budget <= 0 {
		s.improve()
	}
	b.NoRest, b.Again = b.cost/costRunning, b.cost%costRunning
	b.Proved = s.budget > 0 || b.cost == s.rest[0]
	b.LeastNoRest, b.LeastAgain = s.rest[0]/costRunning, s.rest[0]%costRunning
	if b.Proved {
		b.LeastNoRest = b.NoRest
	}
	return b, nil
}

// improveBudget is how many placings are tried for two dogs at once.
const improveBudget = 5_000

// improve makes the best set-up better as long as it gets better by placing two dogs anew among the others, where the
// search ended before all was tried.
func (s *setter) improve() {
	for better := true; better && s.best.cost > s.rest[0]; {
		better = false
		for i := range s.order {
			for j := range i {
				better = s.replace([]int{j, i}) || better
			}
		}
	}
}

// replace places dogs anew and reports whether that costs less.
func (s *setter) replace(dogs []int) bool {
	sub := &setter{c: s.c, order: dogs, apart: s.apart, budget: improveBudget, rest: make([]int, len(dogs)+1), best: &setUp{}}
	for _, at := range s.best.at {
		sub.at = append(sub.at, slices.Clone(at))
	}
	for _, d := range dogs {
		sub.best.cost += costOf(sub.at[d])
		sub.at[d] = slices.Repeat([]int{-1}, s.c.Turns)
	}
	own := sub.best.cost
	if own == 0 {
		return false
	}
	for t := range s.c.Turns {
		var room []int
		for i, st := range s.c.Stations {
			n := st.Dogs
			for d := range sub.at {
				if sub.at[d][t] == i {
					n--
				}
			}
			room = append(room, n)
		}
		sub.room = append(sub.room, room)
	}
	sub.dog(0, 0)
	if sub.best.cost == own {
		return false
	}
	s.best.at, s.best.cost = sub.best.at, s.best.cost-own+sub.best.cost
	return true
}

// costOf is what one dog's turns cost.
func costOf(at []int) (cost int) {
	for t, station := range at {
		if station < 0 {
			continue
		}
		if t > 0 && at[t-1] >= 0 {
			cost += costRunning
		}
		if slices.Contains(at[:t], station) {
			cost += costAgain
		}
	}
	return cost
}

// least is what a dog's turns cost whatever the others do: of k turns among n at least 2k-n-1 follow another without a
// rest, and of more turns than stations the rest are at one that it has had.
func (c *Class) least(d int) (noRest, again int) {
	k := c.Dogs[d].Turns
	return max(0, 2*k-c.Turns-1), max(0, k-len(c.Stations))
}

// notes says what the set-up could not give, and how far from the best it may be.
func (s *setUp) notes() []string {
	if s.NoRest == 0 && s.Proved {
		return nil
	}
	text := plural(s.NoRest, "turn comes", "turns come") + " without a rest before it"
	if s.NoRest != 1 {
		text = plural(s.NoRest, "turn comes", "turns come") + " without a rest before them"
	}
	if s.Proved {
		return []string{text + "; no set-up has fewer. Another turn, or another station, gives more room."}
	}
	return []string{fmt.Sprintf("The class is too big to try every set-up. In this one %s, and %s at a station that the dog has had; no set-up has fewer than %d and %d.",
		text, plural(s.Again, "turn is", "turns are"), s.LeastNoRest, s.LeastAgain)}
}

func (s *setter) weight(d int) int {
	n := s.c.Dogs[d].Turns
	for _, a := range s.apart[d] {
		if a {
			n += s.c.Turns
		}
	}
	return n
}

// count finds clashes that can be counted, each with the smallest change that would do.
func (c *Class) count(places int, apart [][]bool) error {
	wanted := 0
	for _, d := range c.Dogs {
		wanted += d.Turns
		if d.Turns < 0 || d.Turns > c.Turns {
			return &ClassError{fmt.Sprintf("%s is to work %d turns of %d", d.Dog, d.Turns, c.Turns), fmt.Sprintf("it can have 1 to %d", c.Turns)}
		}
	}
	if wanted > places {
		each := places / c.Turns
		return &ClassError{fmt.Sprintf("the dogs are to work %d turns in all, and %s hold %d", wanted, plural(c.Turns, "turn", "turns"), places),
			fmt.Sprintf("%d turns would do, or %s fewer", (wanted+each-1)/each, plural(wanted-places, "turn", "turns"))}
	}
	for i, d := range c.Dogs {
		turns, with := d.Turns, []string{d.Dog}
		for j := range c.Dogs {
			if apart[i][j] && !slices.ContainsFunc(with[1:], func(o string) bool { return !apart[j][c.index(o)] }) {
				turns += c.Dogs[j].Turns
				with = append(with, c.Dogs[j].Dog)
			}
		}
		if turns > c.Turns {
			return &ClassError{fmt.Sprintf("%s are never to work at the same time and want %d turns, but there are %d", list(with), turns, c.Turns),
				fmt.Sprintf("%d turns would do, or %s fewer among them", turns, plural(turns-c.Turns, "turn", "turns"))}
		}
	}
	return nil
}

func (c *Class) index(dog string) int {
	return slices.IndexFunc(c.Dogs, func(d ClassDog) bool { return d.Dog == dog })
}

// dog places the dogs from the k-th in order on; cost is that of those before.
func (s *setter) dog(k, cost int) {
	if s.best != nil && cost+s.rest[k] >= s.best.cost || s.budget <= 0 {
		return
	}
	if k == len(s.order) {
		s.best = &setUp{cost: cost}
		for _, at := range s.at {
			s.best.at = append(s.best.at, slices.Clone(at))
		}
		return
	}
	s.turn(k, 0, s.c.Dogs[s.order[k]].Turns, cost)
}

// turn places one dog from a turn on, left times.
func (s *setter) turn(k, t, left, cost int) {
	d := s.order[k]
	switch {
	case left == 0:
		s.dog(k+1, cost)
		return
	case s.c.Turns-t < left, s.best != nil && cost+s.rest[k+1] >= s.best.cost, s.budget <= 0:
		return
	}
	s.budget--
	if s.free(d, t) {
		running := 0
		if t > 0 && s.at[d][t-1] >= 0 {
			running = costRunning
		}
		for at := range s.c.Stations {
			if s.room[t][at] == 0 {
				continue
			}
			again := 0
			if slices.Contains(s.at[d][:t], at) {
				again = costAgain
			}
			s.at[d][t] = at
			s.room[t][at]--
			s.turn(k, t+1, left-1, cost+running+again)
			s.room[t][at]++
			s.at[d][t] = -1
		}
	}
	s.turn(k, t+1, left, cost)
}

// free reports whether nobody the dog must be kept from works in that turn.
func (s *setter) free(d, t int) bool {
	for o, apart := range s.apart[d] {
		if apart && s.at[o][t] >= 0 {
			return false
		}
	}
	return true
}
