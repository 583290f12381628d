package plan

import (
	"encoding/binary"
	"slices"
)

// liveAt is the items before branch d that one from d on depends on.
func (s *search) liveAt(d int) (live []int) {
	later := make([]bool, len(s.m.items))
	for _, b := range s.branches[d:] {
		later[b.item] = true
	}
	for _, b := range s.branches[:d] {
		it := &s.m.items[b.item]
		depends := slices.ContainsFunc(it.apart, func(j int) bool { return later[j] })
		for _, k := range it.partners {
			depends = depends || later[s.m.pairs[k].a] || later[s.m.pairs[k].b]
		}
		if depends {
			live = append(live, b.item)
		}
	}
	return live
}

// visit is a beginning that has been gone through.
type visit struct{ time, misses, value int }

// dominated reports whether a beginning as good has been gone through: one that decides as many branches, leaves the
// same in everything but time, misses and value, and is as good in those. Otherwise it takes note of this one.
func (s *search) dominated(d int) bool {
	k := append(s.key[:0], byte(d), byte(d>>8))
	add := func(n int) { k = binary.AppendUvarint(k, uint64(n)) }
	for r, u := range s.used {
		if q := resource(r); q != ofTime && q != ofMisses && s.m.limits[r] < unlimited {
			add(u)
		}
	}
	// what the row of blocks depends on: how many there are, those in the places, the most of any other item
	most := 0
	for _, b := range s.branches[:d] {
		if w := s.picked[b.item]; w.place == nowhere {
			most = max(most, w.blocks)
		}
	}
	add(s.runs)
	add(most)
	for p := opening; p < places; p++ {
		add(s.blocks[p])
	}
	if s.m.mixed {
		s.addClasses(d, add)
	}
	for _, i := range s.rest[d].live {
		w := s.picked[i]
		if len(s.m.items[i].partners) > 0 {
			add(w.trials)
			add(w.blocks)
		} else {
			add(min(w.trials, 1))
		}
	}
	s.key = k
	now := visit{s.used[ofTime], s.used[ofMisses], s.sum}
	if s.m.limits[ofMisses] >= unlimited {
		now.misses = 0
	}
	list := s.seen[string(k)]
	keep := list[:0]
	for _, o := range list {
		if o.time <= now.time && o.misses <= now.misses && o.value >= now.value {
			return true
		}
		if o.time < now.time || o.misses < now.misses || o.value > now.value {
			keep = append(keep, o)
		}
	}
	s.seen[string(k)] = append(keep, now)
	return false
}

// addClasses adds what a row depends on where care must not come straight after lively work: of each class the blocks
// outside the places and the most of one item, and the classes of those in the places.
func (s *search) addClasses(d int, add func(int)) {
	var all, most, held [4]int
	for _, b := range s.branches[:d] {
		w, it := s.picked[b.item], &s.m.items[b.item]
		class := 0
		if it.care {
			class |= 1
		}
		if it.lively {
			class |= 2
		}
		if w.place == nowhere {
			all[class] += w.blocks
			most[class] = max(most[class], w.blocks)
		} else {
			held[w.place] = 1 + class
		}
	}
	for class := range all {
		add(all[class])
		add(most[class])
		add(held[class])
	}
}
