package engine_test

import (
	"fmt"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// A structure of prerequisites as a curriculum: each item is a behaviour that one success keeps.
type structure map[string][]string // item: what it needs

func (s structure) items() []string {
	var out []string
	for i := range s {
		out = append(out, i)
	}
	sort.Strings(out)
	return out
}

func (s structure) curriculum() *curriculum.Curriculum {
	c := &curriculum.Curriculum{Name: "structure"}
	for _, i := range s.items() {
		b := &curriculum.Behaviour{Name: i, Steps: []*curriculum.Step{{Name: "do", Levels: curriculum.LayOut(nil, curriculum.Raise{}), Rules: []curriculum.Rule{advance(ofLast(1, 1))}}}}
		for _, n := range s[i] {
			b.Needs = append(b.Needs, curriculum.Need{Other: n})
		}
		c.Behaviours = append(c.Behaviours, b)
	}
	return c
}

// walked is all that can be reached by training what the engine calls open.
type walked struct {
	next   map[string][]string // a state's items, joined, to what is open in it
	orders map[string]int      // ways from the state to the end
}

func walk(t testing.TB, s structure) walked {
	p := compiled(t, s.curriculum())
	w := walked{map[string][]string{}, map[string]int{}}
	w.from(t, p, s.items(), nil)
	return w
}

// from counts the ways to the end from the state in which path has been learnt, in that order.
func (w walked) from(t testing.TB, p *engine.Program, items, path []string) int {
	state := stateOf(path)
	if n, ok := w.orders[state]; ok {
		return n
	}
	f := p.NewFold(curriculum.Dog{Name: "okapi"})
	at := noon
	train := func(item string) {
		require.NoError(t, f.Record(&curriculum.Trial{Dog: "okapi", Behaviour: item, At: at, Outcome: curriculum.Success}))
		at = at.Add(time.Second)
	}
	for _, item := range path {
		train(item)
	}
	var open []string
	for _, b := range f.Standing(at).Dogs[0].Behaviours {
		switch b.State {
		case curriculum.Open:
			open = append(open, b.Behaviour)
		case curriculum.Waiting:
			train(b.Behaviour) // a door that is shut stays shut, whatever is trained behind it
		}
	}
	var kept []string
	for _, b := range f.Standing(at).Dogs[0].Behaviours {
		if b.State == curriculum.Kept {
			kept = append(kept, b.Behaviour)
		}
	}
	require.Equal(t, state, stateOf(kept))
	w.next[state] = open
	n := 0
	for _, item := range open {
		n += w.from(t, p, items, append(append([]string{}, path...), item))
	}
	if len(path) == len(items) {
		n = 1
	}
	w.orders[state] = n
	return n
}

func stateOf(items []string) string {
	sorted := append([]string{}, items...)
	sort.Strings(sorted)
	return strings.Join(sorted, "")
}

// J.-P. Doignon and J.-C. Falmagne, Knowledge Spaces, Springer 1999, chapter 7: five items, nine states, as shipped with
// the R package pks (DoignonFalmagne7). It is the family of all sets closed downwards under c <- a, b; d <- a, b; e <- c.
// The outer fringe is what may be learnt next. Six orders of learning: counted.
func TestThePublishedFiveItemStructureIsWalkedAsPublished(t *testing.T) {
	w := walk(t, structure{"a": nil, "b": nil, "c": {"a", "b"}, "d": {"a", "b"}, "e": {"c"}})
	require.Equal(t, map[string][]string{
		"": {"a", "b"}, "a": {"b"}, "b": {"a"}, "ab": {"c", "d"}, "abc": {"d", "e"}, "abd": {"c"}, "abcd": {"e"}, "abce": {"d"}, "abcde": nil,
	}, w.next)
	require.Equal(t, 6, w.orders[""])
	inner := map[string]string{"": "", "a": "a", "b": "b", "ab": "ab", "abc": "c", "abd": "d", "abcd": "cd", "abce": "e", "abcde": "de"}
	for state, want := range inner { // the items last learnt
		got := ""
		for _, item := range state {
			if _, ok := w.next[strings.ReplaceAll(state, string(item), "")]; ok {
				got += string(item)
			}
		}
		require.Equal(t, want, got, "inner fringe of %q", state)
	}
}

// Counts of down-sets and linear extensions of well-known orders: R. P. Stanley, Enumerative Combinatorics 1 (binomial
// coefficients and Catalan numbers for 2 x n grids, Fibonacci and Euler numbers for fences, Dedekind numbers for Boolean
// lattices, plane partitions in a box); recomputed by brute force.
func TestWellKnownOrdersHaveTheirNumberOfStatesAndLearningOrders(t *testing.T) {
	type count struct {
		name           string
		of             structure
		states, orders int
	}
	list := []count{
		{"a chain of 6", grid(6, 1, 1), 7, 1},
		{"6 unrelated", unrelated(6), 64, 720},
		{"3 x 3 grid", grid(3, 3, 1), 20, 42},
		{"3 x 4 grid", grid(3, 4, 1), 35, 462},
		{"2 x 2 x 2 box", grid(2, 2, 2), 20, 48},
		{"2 x 2 x 3 box", grid(2, 2, 3), 50, 2452},
	}
	for i, n := range []int{1, 2, 5, 14, 42, 132} {
		list = append(list, count{fmt.Sprintf("2 x %d grid", i+1), grid(2, i+1, 1), (i + 3) * (i + 2) / 2, n})
	}
	fibonacci := []int{2, 3, 5, 8, 13, 21, 34, 55, 89, 144}
	for i, n := range []int{1, 1, 2, 5, 16, 61, 272, 1385, 7936, 50521} {
		list = append(list, count{fmt.Sprintf("fence of %d", i+1), fence(i + 1), fibonacci[i], n})
	}
	dedekind := []int{3, 6, 20, 168}
	for i, n := range []int{1, 2, 48, 1680384} {
		list = append(list, count{fmt.Sprintf("subsets of %d", i+1), subsets(i + 1), dedekind[i], n})
	}
	for _, c := range list {
		t.Run(c.name, func(t *testing.T) {
			w := walk(t, c.of)
			require.Len(t, w.next, c.states)
			require.Equal(t, c.orders, w.orders[""])
		})
	}
}

func letter(i int) string { return string(rune('a' + i)) }

func unrelated(n int) structure {
	s := structure{}
	for i := range n {
		s[letter(i)] = nil
	}
	return s
}

// grid: an item needs its neighbour below in each of three directions.
func grid(x, y, z int) structure {
	name := func(i, j, k int) string { return letter(i*y*z + j*z + k) }
	s := structure{}
	for i := range x {
		for j := range y {
			for k := range z {
				var needs []string
				if i > 0 {
					needs = append(needs, name(i-1, j, k))
				}
				if j > 0 {
					needs = append(needs, name(i, j-1, k))
				}
				if k > 0 {
					needs = append(needs, name(i, j, k-1))
				}
				s[name(i, j, k)] = needs
			}
		}
	}
	return s
}

// fence: every second item needs its neighbours.
func fence(n int) structure {
	s := unrelated(n)
	for i := 1; i < n; i += 2 {
		s[letter(i)] = append(s[letter(i)], letter(i-1))
		if i+1 < n {
			s[letter(i)] = append(s[letter(i)], letter(i+1))
		}
	}
	return s
}

// subsets of n things: each needs those with one thing less.
func subsets(n int) structure {
	s := structure{}
	for set := range 1 << n {
		var needs []string
		for i := range n {
			if set>>i&1 == 1 {
				needs = append(needs, letter(set&^(1<<i)))
			}
		}
		s[letter(set)] = needs
	}
	return s
}
