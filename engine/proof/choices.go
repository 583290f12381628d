package proof

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"example.com/rung/curriculum"
)

// mixed are words by which a sheet says that the answers come in no order that a dog could learn.
var mixed = []string{"mix", "random", "shuffle", "any order", "unpredictable", "draw", "coin"}

// guessLimit is the chance at which a dog that guesses between two answers passes 9 of 10: (1 + 10)/2^10.
var guessLimit = big.NewRat(11, 1024)

func (s *subject) guessable() {
	for _, p := range s.places() {
		if len(p.step.Choice) < 2 {
			continue
		}
		guess := big.NewRat(1, int64(len(p.step.Choice)))
		sheet := p.b.SheetOf(p.i)
		said := strings.ToLower(strings.Join([]string{sheet.Success, sheet.Do, sheet.SetUp, p.step.Text}, "\n"))
		ordered := !slices.ContainsFunc(mixed, func(w string) bool { return strings.Contains(said, w) })
		for _, r := range p.rules(curriculum.Advance) {
			chance, known := guessed(r.When, guess)
			weak := known && chance.Cmp(guessLimit) > 0
			if !weak && !ordered {
				continue
			}
			text := "nothing says that " + andList(p.step.Choice) + " come in mixed order: a dog learns the order instead"
			help := "add to do: in mixed order, never more than three alike running"
			if weak {
				percent, _ := new(big.Rat).Mul(chance, big.NewRat(100, 1)).Float64()
				text = fmt.Sprintf("a dog that guesses between %s passes %s with a chance of %.1f%% at each go", andList(p.step.Choice), curriculum.CriterionNames(r.When), percent)
				help = "ask for 9 of each 10"
				if ordered {
					help += ", and say in do that the order is mixed"
				}
			}
			f := p.finding(codeGuessable, r.Pos, "%s", text)
			f.Help = help
			s.report(f)
		}
	}
}

// guessed is the chance that one full window of trials meets a criterion by guessing, where it can be said in closed form.
func guessed(c curriculum.Criterion, guess *big.Rat) (*big.Rat, bool) {
	switch c := c.(type) {
	case curriculum.Named:
		return guessed(c.Is, guess)
	case curriculum.Window:
		if c.Count != curriculum.Successes || c.AtMost || c.Qualify != (curriculum.Qualifiers{}) {
			return nil, false
		}
		p := atLeast(c.K, c.N, guess)
		if c.Twice {
			p.Mul(p, p)
		}
		return p, true
	case curriculum.And: // no more likely than its least likely part
		var least *big.Rat
		for _, x := range c.All {
			if p, ok := guessed(x, guess); ok && (least == nil || p.Cmp(least) < 0) {
				least = p
			}
		}
		return least, least != nil
	case curriculum.Or: // no less likely than its likeliest part
		var most *big.Rat
		for _, x := range c.Any {
			if p, ok := guessed(x, guess); ok && (most == nil || p.Cmp(most) > 0) {
				most = p
			}
		}
		return most, most != nil
	case curriculum.Repeated:
		p, ok := guessed(c.Is, guess)
		if !ok {
			return nil, false
		}
		all := big.NewRat(1, 1)
		for range c.N {
			all.Mul(all, p)
		}
		return all, true
	case curriculum.InSession:
		return guessed(c.Is, guess)
	}
	return nil, false
}

// atLeast is the chance of k or more successes in n trials that each succeed with chance p: a sum of the binomial
// distribution.
func atLeast(k, n int, p *big.Rat) *big.Rat {
	q := new(big.Rat).Sub(big.NewRat(1, 1), p)
	sum := new(big.Rat)
	for i := max(k, 0); i <= n; i++ {
		term := new(big.Rat).SetInt(new(big.Int).Binomial(int64(n), int64(i)))
		for range i {
			term.Mul(term, p)
		}
		for range n - i {
			term.Mul(term, q)
		}
		sum.Add(sum, term)
	}
	return sum
}
