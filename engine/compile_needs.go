package engine

import (
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
)

// doors compiles the needs, once every behaviour is there.
func (cp *compiler) doors() {
	p := cp.p
	for _, b := range p.behaviours {
		b.needs = make([]need, len(b.src.Needs))
		for i := range b.src.Needs {
			n := &b.needs[i]
			*n = cp.need(b, &b.src.Needs[i], p.doors)
			p.doors++
			b.firm = b.firm || n.src.Firmly
			b.onDog = b.onDog || n.dog != nil
			if n.other >= 0 {
				o := p.behaviours[n.other]
				o.asks = append(o.asks, n)
			}
		}
	}
}

func (cp *compiler) need(b *behaviour, src *curriculum.Need, id int) need {
	n := need{src: src, of: b.index, other: -1, ord: keptOrd, id: id}
	broken := func(format string, args ...any) need {
		cp.refuse(src.Pos, CodeBroken, "needs", b.src.Name, "", format, args...).fix("name a behaviour, step and level that are there, or take the need out")
		return n
	}
	if src.Dog != nil {
		text := strings.TrimSpace(src.Dog.Text)
		prog, err := expression.Compile(text, cp.dogEnv)
		if err != nil {
			return broken("needs dog { %s }: %v", text, err)
		}
		n.dog = &condition{prog, text}
		return n
	}
	other, ok := cp.p.names[src.Other]
	if !ok {
		return broken("needs %s, which is no behaviour of the curriculum", src.Other)
	}
	if other == b.index {
		return broken("needs %s, which is itself: it would never begin", src.Other)
	}
	n.other = other
	if src.Step == "" {
		return n
	}
	o := cp.p.behaviours[other]
	n.stage, ok = o.steps[src.Step]
	if !ok {
		return broken("needs %s at %s, which is no step of it", src.Other, src.Step)
	}
	for i, l := range o.stages[n.stage].levels {
		if l.values.Meets(src.Level) {
			n.level, n.ord = i, l.ord
			return n
		}
	}
	return broken("needs %s at %s %s, which is none of its levels", src.Other, src.Step, src.Level)
}
