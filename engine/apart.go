package engine

import (
	"math/bits"
	"slices"
	"strings"
)

// ApartBy is what evidence is kept apart by.
type ApartBy string

const (
	ByHandler ApartBy = "handler"
	ByPlace   ApartBy = "place"
)

// Apart is the evidence of every dog and behaviour, kept apart by handler or by place: what goes well with one and badly
// with another shows. No rule looks at it.
type Apart struct {
	By   ApartBy    `json:"by"`
	Dogs []DogApart `json:"dogs"`
}

// DogApart is one dog's part of an Apart: behaviours in file order, those without trials left out.
type DogApart struct {
	Dog        string           `json:"dog"`
	Behaviours []BehaviourApart `json:"behaviours"`
}

// BehaviourApart is one behaviour by handler or by place: the declared ones in the order declared, then others by name,
// then what was recorded without one.
type BehaviourApart struct {
	Behaviour string `json:"behaviour"`
	Parts     []Part `json:"parts"`
}

// Part is what one handler, or one place, has of a behaviour's trials.
type Part struct {
	Name    string `json:"name"` // "" where the trials name none
	Others  bool   `json:"others,omitempty"`
	Here    Tally  `json:"here"`   // evidence since the present level was entered
	Newest  Tally  `json:"newest"` // of the newest ten evidence trials, whatever level they were at
	Trials  int    `json:"trials"` // all of them, also what was no evidence
	Spoiled int    `json:"spoiled"`
}

// mostParts bounds the names that one behaviour keeps apart, of handlers and of places each. A log that writes free text
// there must not slow the fold down: what comes later is lumped together, as Part.Others.
const mostParts = 64

// part is a Part as the fold counts it.
type part struct {
	name    string
	others  bool
	epoch   uint32 // the entry of the level that here and right count
	here    uint32
	right   uint32
	newest  uint32 // a bit for each success of the newest evidence, newest lowest
	among   uint32 // evidence of any level
	trials  uint32
	spoiled uint32
}

// parts are the parts of one sort; neighbours in a log mostly belong to one of them.
type parts struct {
	list []part
	last int
}

// of is the part of that name, made where there is none.
func (p *parts) of(name string) *part {
	if p.last < len(p.list) && p.list[p.last].name == name && !p.list[p.last].others {
		return &p.list[p.last]
	}
	for i := range p.list {
		if pt := &p.list[i]; pt.name == name || pt.others {
			p.last = i
			return pt
		}
	}
	pt := part{name: name}
	if len(p.list) == mostParts {
		pt = part{others: true}
	}
	p.last = len(p.list)
	p.list = append(p.list, pt)
	return &p.list[p.last]
}

// feed adds a trial that was evidence at the level entered as epoch.
func (p *part) feed(epoch uint32, good bool) {
	if p.epoch != epoch {
		p.epoch, p.here, p.right = epoch, 0, 0
	}
	p.here++
	p.among++
	p.newest <<= 1
	if good {
		p.right++
		p.newest |= 1
	}
}

// out is the part for an answer, at the level entered as epoch.
func (p *part) out(epoch uint32) Part {
	o := Part{Name: p.name, Others: p.others, Trials: int(p.trials), Spoiled: int(p.spoiled)}
	if p.epoch == epoch {
		o.Here = Tally{int(p.right), int(p.here)}
	}
	o.Newest = Tally{bits.OnesCount32(p.newest & (1<<recentTally - 1)), int(min(p.among, recentTally))}
	return o
}

// Apart is what every dog did with each handler, or at each place.
func (f *Fold) Apart(by ApartBy) *Apart {
	out := &Apart{By: by, Dogs: []DogApart{}}
	if f.none() {
		return out
	}
	declared := f.p.c.Handlers
	if by == ByPlace {
		declared = f.p.c.Places
	}
	for _, d := range f.sorted() {
		o := DogApart{Dog: d.name, Behaviours: []BehaviourApart{}}
		for i, b := range f.p.behaviours {
			st := d.states[i]
			if st == nil {
				continue
			}
			list := st.handlers.list
			if by == ByPlace {
				list = st.places.list
			}
			if len(list) == 0 {
				continue
			}
			o.Behaviours = append(o.Behaviours, BehaviourApart{b.src.Name, arranged(list, st.epoch, declared)})
		}
		out.Dogs = append(out.Dogs, o)
	}
	return out
}

// arranged is the parts in the order of an answer.
func arranged(list []part, epoch uint32, declared []string) []Part {
	out := make([]Part, len(list))
	for i := range list {
		out[i] = list[i].out(epoch)
	}
	rank := func(p *Part) int {
		if i := slices.Index(declared, p.Name); i >= 0 {
			return i
		}
		switch {
		case p.Others:
			return len(declared) + 1
		case p.Name == "":
			return len(declared) + 2
		}
		return len(declared)
	}
	slices.SortFunc(out, func(a, b Part) int {
		if d := rank(&a) - rank(&b); d != 0 {
			return d
		}
		return strings.Compare(a.Name, b.Name)
	})
	return out
}

// resumePart is a part as it is saved; Epoch, Here and Right are left out where the level was left since.
type resumePart struct {
	Name    string `json:"name,omitempty"`
	Others  bool   `json:"others,omitempty"`
	Epoch   uint32 `json:"entry,omitempty"`
	Here    uint32 `json:"here,omitempty"`
	Right   uint32 `json:"right,omitempty"`
	Newest  uint32 `json:"newest,omitempty"`
	Among   uint32 `json:"among,omitempty"`
	Trials  uint32 `json:"trials"`
	Spoiled uint32 `json:"spoiled,omitempty"`
}

func (p *parts) save(epoch uint32) []resumePart {
	var out []resumePart
	for _, pt := range p.list {
		r := resumePart{Name: pt.name, Others: pt.others, Newest: pt.newest & (1<<recentTally - 1), Among: pt.among, Trials: pt.trials, Spoiled: pt.spoiled}
		if pt.epoch == epoch {
			r.Epoch, r.Here, r.Right = epoch, pt.here, pt.right
		}
		out = append(out, r)
	}
	return out
}

func loadParts(saved []resumePart) parts {
	var p parts
	for _, r := range saved {
		p.list = append(p.list, part{r.Name, r.Others, r.Epoch, r.Here, r.Right, r.Newest, r.Among, r.Trials, r.Spoiled})
	}
	return p
}
