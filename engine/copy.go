package engine

import (
	"maps"
	"slices"
)

// Copy is a fold of its own that goes on from here: what it takes is not seen in f. What is asked of it as if something
// had happened ("what if?") leaves f as it is.
func (f *Fold) Copy() *Fold {
	if f == nil {
		return nil
	}
	c := f.p.NewFold()
	c.now, c.reports = f.now, slices.Clone(f.reports)
	c.told, c.texts = maps.Clone(f.told), maps.Clone(f.texts)
	for name, d := range f.dogs {
		c.dogs[name] = d.copy()
	}
	return c
}
