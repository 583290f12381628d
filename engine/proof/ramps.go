package proof

import (
	"fmt"
	"math/big"

	"example.com/rung/curriculum"
)

const (
	codeBigJump        = "big-jump"
	codeTooFine        = "too-fine"
	codeStubLevel      = "stub-level"
	codeNothingLowered = "nothing-lowered"
)

var rampCodes = []codeEntry{
	{
		Code: codeBigJump, Severity: Warning, Title: "a level more than twice as hard as the one before",
		Means: "From one level to the next the value more than doubles. Holds usually grow by a third to a half (common practice); at this stride many dogs fall off the ladder, and a split must mend what the text could have said. " +
			"Small beginnings are left alone: below 3 s and 1 m, and the first turns up to 45 degrees, everything is easy.",
		Faulty:   "rung 1\nbehaviour settle {\n  step stay \"stays for the seconds on the card\" {\n    ramp duration 5 s, 15 s, 20 s\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step stay \"stays for the seconds on the card\" {\n    ramp duration 5 s, 10 s, 15 s, 20 s\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
	},
	{
		Code: codeTooFine, Severity: Warning, Title: "levels that nobody can tell apart",
		Means: "Two levels differ by less than a person can judge by eye: about half a second, 5 cm (half a metre beyond 1 m), 45 degrees (common practice). " +
			"Marks, a ruler or a timer make finer levels honest: say with grain what can be seen, and in set-up or equipment what is used.",
		Faulty:   "rung 1\nmeasure turn in deg\nbehaviour round {\n  step follow \"turns the degrees on the card\" {\n    ramp turn 30 deg, 40 deg, 50 deg\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
		Repaired: "rung 1\nmeasure turn in deg\nbehaviour round {\n  step follow \"turns the degrees on the card\" {\n    ramp turn 30 deg, 45 deg, 60 deg grain 15 deg\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
	},
	{
		Code: codeStubLevel, Severity: Warning, Title: "a last level that is hardly a step",
		Means:    "The last level gains less than half of what the one before it gained: it costs trials and proves next to nothing. Leave out the level before it. Common practice.",
		Faulty:   "rung 1\nbehaviour settle {\n  step stay \"stays for the seconds on the card\" {\n    ramp duration 10 s, 20 s, 38 s, 40 s\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step stay \"stays for the seconds on the card\" {\n    ramp duration 10 s, 20 s, 40 s\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
	},
	{
		Code: codeNothingLowered, Severity: Warning, Title: "one difficulty rises while the others stay up",
		Means:    "The step has several ramps and never lowers one while it raises another. One difficulty at a time: while one rises, bring the others down a level. Common practice.",
		Faulty:   "rung 1\nbehaviour settle {\n  step proof \"stays for what the card says\" {\n    ramp duration 5 s, 10 s\n    ramp distance 1 m, 2 m\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
		Repaired: "rung 1\nbehaviour settle {\n  step proof \"stays for what the card says\" {\n    ramp duration 5 s, 10 s\n    ramp distance 1 m, 2 m\n    raise one at a time lowering others by one level\n    advance when 5 of last 6\n    ease when 2 misses of last 4\n  }\n}\n",
	},
}

var rampChecks = []check{{[]string{codeBigJump, codeTooFine, codeStubLevel, codeNothingLowered}, (*subject).ramps}}

func (s *subject) ramps() {
	for _, p := range s.places() {
		for _, r := range p.step.Ramps {
			values := amounts(r)
			s.bigJump(p, r, values)
			s.tooFine(p, r, values)
			s.stubLevel(p, r, values)
		}
		if n := len(p.step.Ramps); n > 1 && p.step.Raise.LowerBy == 0 {
			f := p.finding(codeNothingLowered, p.step.Ramps[1].Pos, "%s rises while %s stays as hard as it is", p.step.Ramps[1].Of, p.step.Ramps[0].Of)
			f.Help = "add: raise one at a time lowering others by one level"
			s.report(f)
		}
	}
}

// amounts are a ramp's values; nil where they are names.
func amounts(r curriculum.Ramp) []curriculum.Quantity {
	var out []curriculum.Quantity
	for _, v := range r.Values {
		q := v.Quantity
		if v.Thin != nil {
			q = v.Thin.Value
		}
		if v.Name != "" || q.IsZero() {
			return nil
		}
		out = append(out, q)
	}
	return out
}

// easy is the size up to which anything is still easy: a jump from below it is no jump. In s, m, deg.
var easy = map[curriculum.Dimension]*big.Rat{
	curriculum.Time: big.NewRat(3, 1), curriculum.Length: big.NewRat(1, 1), curriculum.Angle: big.NewRat(45, 1),
}

func (s *subject) bigJump(p place, r curriculum.Ramp, values []curriculum.Quantity) {
	for i := 1; i < len(values); i++ {
		from, to := values[i-1], values[i]
		if r.Falling {
			from, to = to, from // 4 cm, 1 cm is four times as fine
		}
		low := from.Base()
		if low.Sign() <= 0 {
			continue
		}
		if e := easy[from.Unit.Dimension()]; e != nil && low.Cmp(e) < 0 {
			continue
		}
		if to.Base().Cmp(new(big.Rat).Mul(low, big.NewRat(2, 1))) <= 0 {
			continue
		}
		times, _ := new(big.Rat).Quo(to.Base(), low).Float64()
		f := p.finding(codeBigJump, r.Pos, "%s goes from %s to %s: %.3g times as hard at once", r.Of, values[i-1], values[i], times)
		f.Help = "put a level in between"
		if !r.Falling {
			f.Help = fmt.Sprintf("put a level of about %s in between", between(from, to))
		}
		s.report(f)
		return
	}
}

// between is a round value half-way on a scale of ratios: the whole unit nearest to the geometric mean.
func between(a, b curriculum.Quantity) curriculum.Quantity {
	product := new(big.Rat).Mul(a.Base(), b.Base())
	square, _ := product.Float64()
	unit := a.Unit
	one := curriculum.Q(1, unit).Base()
	size, _ := one.Float64()
	root := new(big.Float).Sqrt(big.NewFloat(square))
	n, _ := new(big.Float).Quo(root, big.NewFloat(size)).Float64()
	return curriculum.Q(max(1, int64(n+0.5)), unit)
}

// byEye is the smallest difference that a person can judge without an aid, in s and deg; lengths see finest.
var byEye = map[curriculum.Dimension]curriculum.Quantity{
	curriculum.Time: curriculum.QFrac(1, 2, curriculum.Second), curriculum.Angle: curriculum.Q(45, curriculum.Degree),
}

// finest is the smallest honest difference from a value on: what the ramp says can be seen, else what an eye can see.
func finest(r curriculum.Ramp, at curriculum.Quantity) (q curriculum.Quantity, stated bool) {
	if !r.Grain.IsZero() {
		return r.Grain, true
	}
	if at.Unit.Dimension() == curriculum.Length {
		if at.Base().Cmp(big.NewRat(1, 1)) >= 0 {
			return curriculum.QFrac(1, 2, curriculum.Metre), false
		}
		return curriculum.Q(5, curriculum.Centimetre), false
	}
	return byEye[at.Unit.Dimension()], false
}

func (s *subject) tooFine(p place, r curriculum.Ramp, values []curriculum.Quantity) {
	for i := 1; i < len(values); i++ {
		gap := new(big.Rat).Sub(values[i].Base(), values[i-1].Base())
		gap.Abs(gap)
		low := values[i-1]
		if r.Falling {
			low = values[i]
		}
		fine, stated := finest(r, low)
		if fine.IsZero() || gap.Cmp(fine.Base()) >= 0 {
			continue
		}
		f := p.finding(codeTooFine, r.Pos, "%s and %s of %s: by eye nobody can tell differences below %s", values[i-1], values[i], r.Of, fine)
		f.Help = "say what can be seen, and mark it out: grain ..., or take larger strides"
		if stated {
			f.Text = fmt.Sprintf("%s and %s of %s are less than its grain of %s apart", values[i-1], values[i], r.Of, fine)
			f.Help = "take larger strides, or a finer grain"
		}
		s.report(f)
		return
	}
}

func (s *subject) stubLevel(p place, r curriculum.Ramp, values []curriculum.Quantity) {
	n := len(values)
	if n < 3 {
		return
	}
	gain := func(i int) *big.Rat {
		g := new(big.Rat).Sub(values[i].Base(), values[i-1].Base())
		return g.Abs(g)
	}
	if new(big.Rat).Mul(gain(n-1), big.NewRat(2, 1)).Cmp(gain(n-2)) >= 0 || r.Falling {
		return
	}
	f := p.finding(codeStubLevel, r.Pos, "%s gains little from %s to %s after %s to %s", r.Of, values[n-2], values[n-1], values[n-3], values[n-2])
	f.Help = fmt.Sprintf("leave out %s", values[n-2])
	s.report(f)
}
