package curriculum

// Ramp is one thing that grows over a step's levels.
type Ramp struct {
	Of       string       // a measure, a free name such as distraction, ThinRamp or PieceRamp
	Values   []LevelValue // easiest first, at least one
	Grain    Quantity     // smallest useful difference; zero means none stated
	Varied   bool         // values vary inside a level, the ramp's own being the full value
	Measured bool         // a trial can carry it, so that it can decide a trial without an outcome
	Falling  bool         // values fall as it gets harder
	Pos      Pos
}

// ThinRamp and PieceRamp are the names, in a level, of a reward schedule that thins and of the piece of a split.
const (
	ThinRamp  = "thin"
	PieceRamp = "piece"
)

// LevelValue is one ramp's value at a level: exactly one of its fields is set.
type LevelValue struct {
	Quantity Quantity
	Name     string
	Thin     *Schedule
}

// Varies reports whether values vary inside the levels of the ramp: it says so, and it is one of quantities that rise.
func (r *Ramp) Varies() bool {
	return r.Varied && !r.Falling && len(r.Values) > 0 && !r.Values[len(r.Values)-1].Quantity.IsZero()
}

// Raise says how several ramps become one list of levels.
type Raise struct {
	OneAtATime bool // written out; it is the order anyway
	LowerBy    int  // levels the others are lowered while one is raised; 0 lowers nothing
	Pos        Pos
}

// Level is one rung: a value for each ramp of the step, in the order of Step.Ramps. A step without ramps has one level
// without values.
type Level struct {
	Values []NamedValue
}

// NamedValue is a ramp's name and its value.
type NamedValue struct {
	Of string
	LevelValue
}

// LevelRef names a level, or part of one, from outside: in a need, a trial, an example. A level is met by a ref if all
// the ref names agree with it.
type LevelRef []NamedValue

// LayOut makes one list of levels of several ramps: raised round-robin in the order written, one level each, those at
// their top passed over. Where a raise lowers the others by n, first comes the level with the others n lower (not
// below their first), then the full one.
func LayOut(ramps []Ramp, raise Raise) []Level {
	at := make([]int, len(ramps))
	out := []Level{levelAt(ramps, at)}
	for rose := true; rose; {
		rose = false
		for i := range ramps {
			if at[i]+1 >= len(ramps[i].Values) {
				continue
			}
			rose = true
			at[i]++
			if low, differs := lowered(at, i, raise.LowerBy); differs {
				out = append(out, levelAt(ramps, low))
			}
			out = append(out, levelAt(ramps, at))
		}
	}
	return out
}

// lowered is at with all but index i lowered by n, and whether that differs from at.
func lowered(at []int, i, n int) (low []int, differs bool) {
	low = append([]int(nil), at...)
	for j := range low {
		if j != i && n > 0 {
			low[j] = max(0, at[j]-n)
			differs = differs || low[j] != at[j]
		}
	}
	return low, differs
}

func levelAt(ramps []Ramp, at []int) Level {
	var l Level
	for i, r := range ramps {
		if len(r.Values) == 0 {
			continue // engine.Compile refuses such a ramp
		}
		l.Values = append(l.Values, NamedValue{Of: r.Of, LevelValue: r.Values[at[i]]})
	}
	return l
}

// Equal reports whether two values are the same quantity, name or schedule: 60 s is 1 min.
func (v LevelValue) Equal(o LevelValue) bool {
	switch {
	case v.Thin != nil || o.Thin != nil:
		return v.Thin != nil && o.Thin != nil && v.Thin.Equal(*o.Thin)
	case v.Name != "" || o.Name != "":
		return v.Name == o.Name
	}
	return v.Quantity.Equal(o.Quantity)
}

// Get returns the level's value of that ramp.
func (l Level) Get(of string) (LevelValue, bool) {
	for _, v := range l.Values {
		if v.Of == of {
			return v.LevelValue, true
		}
	}
	return LevelValue{}, false
}

// Meets reports whether the level agrees with all that ref names.
func (l Level) Meets(ref LevelRef) bool {
	for _, r := range ref {
		if v, ok := l.Get(r.Of); !ok || !v.Equal(r.LevelValue) {
			return false
		}
	}
	return true
}

// Equal reports whether two levels have the same values.
func (l Level) Equal(o Level) bool {
	return len(l.Values) == len(o.Values) && l.Meets(LevelRef(o.Values))
}
