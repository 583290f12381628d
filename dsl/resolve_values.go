package dsl

import (
	"math/big"
	"strconv"
	"strings"

	"example.com/rung/curriculum"
)

// maxCount is the largest count a curriculum may name: far beyond any number of trials a person would wait for, and
// small enough that a window of that size costs some kilobytes.
const maxCount = 10_000

func valueText(v value) string {
	switch {
	case v.Name != "":
		return v.Name
	case v.Unit == "" || v.Unit == "%":
		return v.Number + v.Unit
	}
	return v.Number + " " + v.Unit
}

// count resolves a whole number without unit, at least low.
func (r *resolver) count(c *ctx, v value, low int) (int, bool) {
	v, at, ok := r.value(c, v)
	if !ok {
		return 0, false
	}
	return r.countOf(v, at, low)
}

func (r *resolver) countOf(v value, at spot, low int) (int, bool) {
	if v.Number == "" || v.Unit != "" {
		if v.Number == "" && v.Name == "" {
			return 0, false // reported by the parser
		}
		r.fault(at, "count-wanted", valueText(v))
		return 0, false
	}
	n, ok := new(big.Rat).SetString(v.Number)
	switch {
	case !ok:
		return 0, false
	case !n.IsInt():
		r.fault(at, "count-whole", v.Number)
		return 0, false
	case n.Cmp(big.NewRat(int64(low), 1)) < 0:
		r.fault(at, "count-low", v.Number, strconv.Itoa(low))
		return 0, false
	case n.Cmp(big.NewRat(maxCount, 1)) > 0:
		r.fault(at, "count-high", v.Number, strconv.Itoa(maxCount))
		return 0, false
	}
	return int(n.Num().Int64()), true
}

// share resolves a percentage between 0% and 100%; open leaves both ends out, otherwise only 0%.
func (r *resolver) share(c *ctx, v value, open bool) (curriculum.Share, bool) {
	v, at, ok := r.value(c, v)
	if !ok {
		return curriculum.Share{}, false
	}
	if v.Unit != "%" {
		if v.Number == "" && v.Name == "" {
			return curriculum.Share{}, false
		}
		d := r.fault(at, "share-wanted", valueText(v))
		if v.Number != "" && v.Unit == "" {
			d.replace(v.Number + "%")
		}
		return curriculum.Share{}, false
	}
	s, ok := curriculum.ParseShare(v.Number + "%")
	one := big.NewRat(1, 1)
	if !ok || s.Rat().Sign() <= 0 || s.Rat().Cmp(one) > 0 || open && s.Rat().Cmp(one) == 0 {
		key := "share-range"
		if open {
			key = "share-open"
		}
		r.fault(at, key, valueText(v))
		return curriculum.Share{}, false
	}
	return s, true
}

// quantity resolves a number with a unit of dimension dim; thing is what it is of, for messages.
func (r *resolver) quantity(c *ctx, v value, dim curriculum.Dimension, thing string) (curriculum.Quantity, bool) {
	v, at, ok := r.value(c, v)
	if !ok {
		return curriculum.Quantity{}, false
	}
	return r.quantityOf(v, at, dim, thing)
}

// positive is quantity, more than nothing.
func (r *resolver) positive(c *ctx, v value, dim curriculum.Dimension, thing string) (curriculum.Quantity, bool) {
	q, ok := r.quantity(c, v, dim, thing)
	if ok && q.Num <= 0 {
		_, at, _ := r.value(c, v)
		r.fault(at, "amount-nothing", thing)
		return q, false
	}
	return q, ok
}

func (r *resolver) quantityOf(v value, at spot, dim curriculum.Dimension, thing string) (curriculum.Quantity, bool) {
	q, ok := r.anyQuantity(v, at)
	if !ok {
		return q, false
	}
	if q.Unit.Dimension() == dim {
		return q, true
	}
	unitAt := at
	if v.UnitSpan != (Span{}) {
		unitAt.span = v.UnitSpan
	}
	switch {
	case q.Unit == curriculum.NoUnit:
		d := r.fault(at, "unit-missing", thing, unitsOf(dim))
		if u, only := onlyUnit(dim); only {
			d.replace(v.Number + " " + u)
		}
	case v.Unit == "m" && dim == curriculum.Time:
		r.fault(unitAt, "unit-fit", v.Unit, thing, unitsOf(dim)).help("unit-min").replace("min")
	case v.Unit == "min" && dim == curriculum.Length:
		r.fault(unitAt, "unit-fit", v.Unit, thing, unitsOf(dim)).help("did-you-mean", "m").replace("m")
	case dim == curriculum.Number:
		r.fault(unitAt, "unit-none", v.Unit, thing)
	default:
		r.fault(unitAt, "unit-fit", v.Unit, thing, unitsOf(dim))
	}
	return q, false
}

// anyQuantity is a number with or without a unit.
func (r *resolver) anyQuantity(v value, at spot) (curriculum.Quantity, bool) {
	if v.Number == "" {
		if v.Name != "" {
			r.fault(at, "amount-wanted", v.Name)
		}
		return curriculum.Quantity{}, false
	}
	if v.Unit == "%" {
		r.fault(at, "amount-wanted", valueText(v))
		return curriculum.Quantity{}, false
	}
	q, ok := curriculum.ParseQuantity(v.Number + " " + v.Unit)
	if !ok {
		r.fault(at, "amount-wanted", valueText(v))
	}
	return q, ok
}

// days resolves a time that is a whole number of days.
func (r *resolver) days(c *ctx, v value, thing string) (int, bool) {
	q, ok := r.positive(c, v, curriculum.Time, thing)
	if !ok {
		return 0, false
	}
	day := curriculum.Q(1, curriculum.Day)
	n := new(big.Rat).Quo(q.Base(), day.Base())
	_, at, _ := r.value(c, v)
	if !n.IsInt() {
		r.fault(at, "days-whole", valueText(v))
		return 0, false
	}
	if n.Cmp(big.NewRat(maxCount, 1)) > 0 {
		r.fault(at, "count-high", valueText(v), strconv.Itoa(maxCount))
		return 0, false
	}
	return int(n.Num().Int64()), true
}

// unitsOf lists the units of a dimension for messages.
func unitsOf(dim curriculum.Dimension) string {
	switch dim {
	case curriculum.Time:
		return "s, min, h, days or weeks"
	case curriculum.Length:
		return "cm or m"
	case curriculum.Angle:
		return "deg"
	case curriculum.Energy:
		return "kcal"
	case curriculum.Mass:
		return "g or kg"
	}
	return "no unit"
}

// onlyUnit is the unit of a dimension that has just one.
func onlyUnit(dim curriculum.Dimension) (string, bool) {
	u := unitsOf(dim)
	return u, dim != curriculum.Number && !strings.Contains(u, " ")
}

// measureDimension is what a measure measures, of those that need no declaration too; known is false for other names.
func (r *resolver) measureDimension(name string) (dim curriculum.Dimension, known bool) {
	switch name {
	case "latency", "duration":
		return curriculum.Time, true
	case "distance":
		return curriculum.Length, true
	}
	u, known := r.units[name]
	if !known {
		return "", false // a free name: any dimension, or names
	}
	return u.Dimension(), true
}

// measureUnit is the unit in which trials carry a measure.
func (r *resolver) measureUnit(name string) curriculum.Unit {
	switch name {
	case "latency", "duration":
		return curriculum.Second
	case "distance":
		return curriculum.Metre
	}
	return r.units[name]
}

// measureNames lists all measures, those that need no declaration first.
func (r *resolver) measureNames() []string {
	out := []string{"latency", "duration", "distance"}
	for _, m := range r.out.Measures {
		out = append(out, m.Name)
	}
	return out
}

// measure resolves the name of a measure.
func (r *resolver) measure(c *ctx, n name) (string, curriculum.Dimension, bool) {
	text, at, ok := r.name(c, n)
	if !ok {
		return "", "", false
	}
	dim, known := r.measureDimension(text)
	if !known {
		r.unknown("measure", text, at, r.measureNames(), "declare-it", "measure", text)
		return text, "", false
	}
	return text, dim, true
}
