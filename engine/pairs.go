package engine

import (
	"fmt"

	"example.com/rung/curriculum"
)

// PairWhy is how a behaviour stands to one that it pairs with. Nothing moves for it; a plan leaves out what is too far ahead.
type PairWhy struct {
	With   string `json:"with"`
	Within int    `json:"within"`          // steps the two may lie apart
	Ahead  int    `json:"ahead"`           // steps this one is ahead; below nought it is behind
	Waits  bool   `json:"waits,omitempty"` // no plan has it until the other catches up
}

// pairs are the behaviours that one pairs with, in file order.
func (f *Fold) pairs(d *dog, b *behaviour, state curriculum.State) []PairWhy {
	var out []PairWhy
	for i, o := range f.p.behaviours {
		within, ok := b.src.PairedWith(o.src)
		if !ok {
			continue
		}
		other := d.states[i]
		p := PairWhy{With: o.src.Name, Within: within, Ahead: d.states[b.index].trainedStep() - other.trainedStep()}
		kept := state == curriculum.Kept || other != nil && other.begun && other.kept()
		p.Waits = p.Ahead > within && !kept && !d.barred(o.src)
		out = append(out, p)
	}
	return out
}

// barred reports whether the profile says that a behaviour is not for the dog.
func (d *dog) barred(b *curriculum.Behaviour) bool {
	if d.profile == nil {
		return false
	}
	for _, name := range append([]string{b.Name}, b.Formerly...) {
		if l, ok := d.profile.Limits.Behaviours[name]; ok {
			return l.Never
		}
	}
	return false
}

// trainedStep is the index of the step the dog works at, of a kept behaviour the last; st may be nil.
func (st *state) trainedStep() int {
	switch {
	case st == nil:
		return 0
	case st.kept():
		return st.stage - 1
	}
	return st.stage
}

// words is the pair in a trainer's words, where it stands.
func (p *PairWhy) words() string {
	text := fmt.Sprintf("pairs with %s within %s: ", p.With, count(p.Within, "step"))
	switch {
	case p.Ahead > 0:
		text += count(p.Ahead, "step") + " ahead of it"
	case p.Ahead < 0:
		text += count(-p.Ahead, "step") + " behind it"
	default:
		text += "at the same step"
	}
	return text
}
