package curriculum

import (
	"cmp"
	"math/big"
	"strings"
)

// Unit is a unit of measurement in the language's own spelling; "" is a plain number.
type Unit string

const (
	NoUnit      Unit = ""
	Second      Unit = "s"
	Minute      Unit = "min"
	Hour        Unit = "h"
	Day         Unit = "day"
	Week        Unit = "week"
	Centimetre  Unit = "cm"
	Metre       Unit = "m"
	Degree      Unit = "deg"
	Kilocalorie Unit = "kcal"
	Gram        Unit = "g"
	Kilogram    Unit = "kg"
)

// Dimension is what a unit measures.
type Dimension string

const (
	Number Dimension = "number"
	Time   Dimension = "time"
	Length Dimension = "length"
	Angle  Dimension = "angle"
	Energy Dimension = "energy"
	Mass   Dimension = "mass"
)

type unitFact struct {
	dim      Dimension
	num, den int64 // size in the dimension's base unit: s, m, deg, kcal, g
}

var unitFacts = map[Unit]unitFact{
	NoUnit: {Number, 1, 1},
	Second: {Time, 1, 1}, Minute: {Time, 60, 1}, Hour: {Time, 3600, 1}, Day: {Time, 86400, 1}, Week: {Time, 604800, 1},
	Centimetre: {Length, 1, 100}, Metre: {Length, 1, 1},
	Degree: {Angle, 1, 1}, Kilocalorie: {Energy, 1, 1}, Gram: {Mass, 1, 1}, Kilogram: {Mass, 1000, 1},
}

// ParseUnit knows every spelling the language allows.
func ParseUnit(s string) (Unit, bool) {
	switch s {
	case "days":
		return Day, true
	case "weeks":
		return Week, true
	case "":
		return NoUnit, false
	}
	_, ok := unitFacts[Unit(s)]
	return Unit(s), ok
}

// Dimension is what u measures, or "" for an unknown unit.
func (u Unit) Dimension() Dimension { return unitFacts[u].dim }

// Quantity is an exact number with its unit, as written: Num/Den of Unit. The zero value means "not stated".
type Quantity struct {
	Num, Den int64
	Unit     Unit
}

// Q is n of a unit.
func Q(n int64, u Unit) Quantity { return Quantity{n, 1, u} }

// QFrac is num/den of a unit, in lowest terms.
func QFrac(num, den int64, u Unit) Quantity {
	q, _ := fromRat(big.NewRat(num, den), u)
	return q
}

// IsZero reports whether the quantity was not stated at all; "0 s" is stated.
func (q Quantity) IsZero() bool { return q.Den == 0 }

func (q Quantity) rat() *big.Rat {
	if q.Den == 0 {
		return new(big.Rat)
	}
	return big.NewRat(q.Num, q.Den)
}

// Base is the value in its dimension's base unit (s, m, deg, kcal, g), exactly.
func (q Quantity) Base() *big.Rat {
	f := unitFacts[q.Unit]
	if f.den == 0 {
		return q.rat()
	}
	return new(big.Rat).Mul(q.rat(), big.NewRat(f.num, f.den))
}

// In is the value in u, as the nearest float64; both must measure the same thing.
func (q Quantity) In(u Unit) float64 {
	f := unitFacts[u]
	r := q.Base()
	if f.den != 0 {
		r.Mul(r, big.NewRat(f.den, f.num))
	}
	v, _ := r.Float64()
	return v
}

// Float is the value in its dimension's base unit, as the nearest float64.
func (q Quantity) Float() float64 {
	v, _ := q.Base().Float64()
	return v
}

// Cmp compares two quantities of one dimension: -1, 0 or +1.
func (q Quantity) Cmp(o Quantity) int {
	if q.Unit == o.Unit && q.Den == o.Den && q.Den > 0 {
		return cmp.Compare(q.Num, o.Num) // most often both are written alike
	}
	return q.Base().Cmp(o.Base())
}

// Equal reports whether both are the same quantity: 60 s is 1 min.
func (q Quantity) Equal(o Quantity) bool {
	return q.IsZero() == o.IsZero() && q.Unit.Dimension() == o.Unit.Dimension() && q.Cmp(o) == 0
}

// FromBase is r, given in the base unit of u's dimension, written in u; ok is false where it would not fit.
func FromBase(r *big.Rat, u Unit) (q Quantity, ok bool) {
	f, known := unitFacts[u]
	if !known {
		return Quantity{}, false
	}
	return fromRat(new(big.Rat).Mul(r, big.NewRat(f.den, f.num)), u)
}

func fromRat(r *big.Rat, u Unit) (Quantity, bool) {
	if !r.Num().IsInt64() || !r.Denom().IsInt64() {
		return Quantity{}, false
	}
	return Quantity{r.Num().Int64(), r.Denom().Int64(), u}, true
}

// ParseQuantity reads "60 s", "1.5kcal", "3 days", "4". Fractions such as "2/3 min" are read too.
func ParseQuantity(s string) (Quantity, bool) {
	s = strings.TrimSpace(s)
	n := 0
	for n < len(s) && (s[n] >= '0' && s[n] <= '9' || s[n] == '.' || s[n] == '/' || n == 0 && s[n] == '-') {
		n++
	}
	unit := strings.TrimSpace(s[n:])
	u := NoUnit
	if unit != "" {
		var ok bool
		if u, ok = ParseUnit(unit); !ok {
			return Quantity{}, false
		}
	}
	if n == 0 || n > 40 {
		return Quantity{}, false
	}
	r, ok := new(big.Rat).SetString(s[:n])
	if !ok {
		return Quantity{}, false
	}
	return fromRat(r, u)
}

// String is the quantity in the language's own spelling: "30 deg", "0.5 s", "1 day", "2 days".
func (q Quantity) String() string {
	if q.Den == 0 {
		return ""
	}
	n := ratText(q.rat())
	switch q.Unit {
	case NoUnit:
		return n
	case Day, Week:
		if n != "1" {
			return n + " " + string(q.Unit) + "s"
		}
	}
	return n + " " + string(q.Unit)
}

// ratText is r as a decimal where one ends, else as a fraction.
func ratText(r *big.Rat) string {
	if n, exact := r.FloatPrec(); exact && n <= 20 {
		return r.FloatString(n)
	}
	return r.RatString()
}

// Share is an exact share such as 80%: Num/Den is 4/5. A zero Den means not stated.
type Share struct{ Num, Den int64 }

// Percent is n%.
func Percent(n int64) Share { return shareOf(big.NewRat(n, 100)) }

// ParseShare reads "80%", "2.5%".
func ParseShare(s string) (Share, bool) {
	d, ok := strings.CutSuffix(strings.TrimSpace(s), "%")
	if !ok || len(d) > 20 {
		return Share{}, false
	}
	r, ok := new(big.Rat).SetString(strings.TrimSpace(d))
	if !ok || strings.ContainsAny(d, "/eE_") {
		return Share{}, false
	}
	r.Mul(r, big.NewRat(1, 100))
	if !r.Num().IsInt64() || !r.Denom().IsInt64() {
		return Share{}, false
	}
	return shareOf(r), true
}

func shareOf(r *big.Rat) Share { return Share{r.Num().Int64(), r.Denom().Int64()} }

// IsZero reports whether the share was not stated.
func (s Share) IsZero() bool { return s.Den == 0 }

// Rat is the share as a fraction of one.
func (s Share) Rat() *big.Rat {
	if s.Den == 0 {
		return new(big.Rat)
	}
	return big.NewRat(s.Num, s.Den)
}

// Equal reports whether both are the same share.
func (s Share) Equal(o Share) bool { return s.IsZero() == o.IsZero() && s.Rat().Cmp(o.Rat()) == 0 }

// Of is the smallest whole number that is at least the share of n.
func (s Share) Of(n int) int {
	r := s.Rat()
	r.Mul(r, big.NewRat(int64(n), 1))
	q, m := new(big.Int).DivMod(r.Num(), r.Denom(), new(big.Int))
	if m.Sign() != 0 {
		q.Add(q, big.NewInt(1))
	}
	return int(q.Int64())
}

// String is the share as the language writes it: "80%".
func (s Share) String() string {
	if s.Den == 0 {
		return ""
	}
	r := s.Rat()
	return ratText(r.Mul(r, big.NewRat(100, 1))) + "%"
}
