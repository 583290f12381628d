package engine

import (
	"reflect"
	"slices"

	"example.com/rung/curriculum"
)

// The lists of names are only made for hints in reports.

func (p *Program) behaviourNames() []string {
	out := make([]string, len(p.behaviours))
	for i, b := range p.behaviours {
		out[i] = b.src.Name
	}
	return out
}

func (b *behaviour) stepNames() []string {
	out := make([]string, len(b.src.Steps))
	for i, s := range b.src.Steps {
		out[i] = s.Name
	}
	return out
}

func (p *Program) measureNames() []string { return sortedKeys(p.measures) }
func (p *Program) helpNames() []string    { return sortedKeys(p.help) }

func sortedKeys[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func idOf(e *curriculum.Entry) string {
	if e.IsEvent {
		return e.Event.ID
	}
	return e.Trial.ID
}

// twin reports a line whose id another line bears; a line that says the same is a copy and passes in silence.
func (f *Fold) twin(first, second *curriculum.Entry) {
	a, b := *first, *second
	a.Trial.Source, a.Trial.Line, a.Event.Source, a.Event.Line = "", 0, "", 0
	b.Trial.Source, b.Trial.Line, b.Event.Source, b.Event.Line = "", 0, "", 0
	same := a.At().Equal(b.At())
	a.Trial.At, a.Event.At = b.Trial.At, b.Event.At
	if same && reflect.DeepEqual(a, b) {
		return
	}
	ln := line{second.Trial.Source, second.Trial.Line, second.Dog()}
	if second.IsEvent {
		ln = line{second.Event.Source, second.Event.Line, second.Dog()}
	}
	_ = f.refuse(ln, CodeTwin, "another line bears the id %q and says something else; the first stands", idOf(second))
}
