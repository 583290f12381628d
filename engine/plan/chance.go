package plan

import (
	"fmt"
	"math"
	"math/big"

	"example.com/rung/curriculum"
)

// How likely a trial succeeds is estimated from the newest evidence at the level, at most ten trials, mixed with a guess
// that counts as guessTrials more: (successes + guessTrials x guess) / (evidence + guessTrials), the mean of a beta
// distribution. The guess for a level without evidence is the share that the session rules ask for, so that it neither
// helps nor hinders; usualShare where they ask for none; finishedShare for what is finished, if that is more. The three
// numbers are common practice, no source.
const guessTrials = 4

var (
	usualShare    = curriculum.Percent(75)
	finishedShare = curriculum.Percent(90)
)

// evidences divides by every number of trials that an estimate may rest on: the least common multiple of 4 to 14.
const evidences = 360_360

// aim is the share of successes that the session rules ask for, in thousandths, rounded up; else the usual one.
func (b *builder) aim() int {
	s := b.s.Success
	if s.IsZero() {
		s = usualShare
	}
	r := new(big.Rat).Mul(s.Rat(), big.NewRat(1000, 1))
	up := new(big.Int).Add(r.Num(), new(big.Int).Sub(r.Denom(), big.NewInt(1)))
	return int(up.Div(up, r.Denom()).Int64())
}

// reckonChance works out a candidate's chance and its surplus: by how much a trial of it misses more than the session
// rules allow, in whole numbers that can be added up.
func (b *builder) reckonChance(c *candidate) {
	aim := b.aim()
	guess := aim
	if c.finished {
		guess = max(guess, int(1000*finishedShare.Num/finishedShare.Den))
	}
	e, s := c.v.Recent.Evidence, c.v.Recent.Successes
	if c.held {
		e, s = 0, 0 // the evidence is of the level above
	}
	e, s = min(max(e, 0), 10), min(max(s, 0), 10)
	n := e + guessTrials
	good := 1000*s + guessTrials*guess // n times the chance, in thousandths
	c.chance = float64(good) / float64(1000*n)
	c.surplus = (n*aim - good) * (evidences / n)
}

// The rewards a minute below which new work is too thin: common practice for a behaviour that is new (8 to 15 a minute
// are usual), no source.
const fewRewards = 4

// expect writes the expected share of successes and rewards a minute, of each item and of the whole, and warns where new
// work pays too seldom.
func (b *builder) expect(s *choice, blocks []block) {
	p := b.plan
	success, rewards, thin := 0.0, 0.0, []string{}
	for at, k := range blocks {
		c, it := b.cands[k.cand], &p.Items[at]
		it.Expected = round2(c.chance)
		paid := c.chance * float64(count(it.Rewarded))
		if it.Seconds > 0 {
			it.PerMinute = round2(paid * 60 / it.Seconds)
		}
		success += c.chance * float64(k.n)
		rewards += paid
		if it.Part == 1 && c.role == roleNew && it.PerMinute < fewRewards && it.Trials > 0 {
			thin = append(thin, fmt.Sprintf("%s (about %s)", it.Behaviour, number(math.Round(10*it.PerMinute)/10)))
		}
	}
	if p.Trials == 0 {
		return
	}
	if !b.s.Success.IsZero() {
		p.Wanted = b.s.Success.String()
	}
	p.Expected = round2(success / float64(p.Trials))
	if p.Seconds > 0 {
		p.PerMinute = round2(rewards * 60 / p.Seconds)
	}
	if len(thin) > 0 {
		b.note("New work lives on many rewards: 8 to 15 a minute are usual, fewer than %d are few. Here: %s. Make the trial shorter or easier, unless the exercise itself takes long.", fewRewards, list(thin))
	}
}

func round2(v float64) float64 { return math.Round(100*v) / 100 }
