package curriculum

import "iter"

// Parts is a criterion and all that it is made of, from the outside in and in the order of the text: what a name stands
// for, what is denied, joined, repeated, or asked of one session.
func Parts(c Criterion) iter.Seq[Criterion] {
	return func(yield func(Criterion) bool) { partsOf(c, yield) }
}

// AnyPart reports whether a criterion, or something that it is made of, is as asked.
func AnyPart(c Criterion, is func(Criterion) bool) bool {
	for p := range Parts(c) {
		if is(p) {
			return true
		}
	}
	return false
}

// partsOf is false once yield was.
func partsOf(c Criterion, yield func(Criterion) bool) bool {
	if c == nil {
		return true
	}
	if !yield(c) {
		return false
	}
	var inside []Criterion
	switch c := c.(type) {
	case Named:
		return partsOf(c.Is, yield)
	case Not:
		return partsOf(c.Is, yield)
	case InSession:
		return partsOf(c.Is, yield)
	case Repeated:
		return partsOf(c.Is, yield)
	case And:
		inside = c.All
	case Or:
		inside = c.Any
	}
	for _, p := range inside {
		if !partsOf(p, yield) {
			return false
		}
	}
	return true
}
