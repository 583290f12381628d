package history

import "hash/maphash"

// twins remembers every id with what its line said: 16 bytes each, a hash of the id and one of the content. The seed is
// new in each process, so that nobody can make ids that share a hash.
type twins struct {
	seed  maphash.Seed
	slots []twinSlot // a power of two of them, at most three quarters full; an id of 0 is a free slot
	n     int
	buf   []byte

	looked uint64 // means nothing: only there so that looking at slots is not taken for idle
}

type twinSlot struct{ id, content uint64 }

// newTwins has room for about n ids before it has to grow.
func newTwins(n int) *twins {
	size := 64
	for size*3 < n*4 {
		size *= 2
	}
	return &twins{seed: maphash.MakeSeed(), slots: make([]twinSlot, size)}
}

type twinKind uint8

const (
	firstOfID  twinKind = iota
	sameAgain           // the same id and content
	otherAgain          // the same id, other content
)

// expect hashes the ids of entries that will be met soon and looks at the slot of each. The table is far larger than a
// cache: looked at in a row the slots come from memory all at once, one by one each would be waited for.
func (t *twins) expect(items []item) {
	mask := uint64(len(t.slots) - 1)
	for i := range items {
		it := &items[i]
		it.id = max(1, maphash.String(t.seed, either(&it.entry, it.entry.Trial.ID, it.entry.Event.ID)))
		t.looked ^= t.slots[it.id&mask].id
	}
}

// meet takes an entry in, whose id is hashed, and says whether its id came before.
func (t *twins) meet(it *item) twinKind {
	t.buf = appendContent(t.buf[:0], &it.entry)
	return t.add(it.id, maphash.Bytes(t.seed, t.buf))
}

func (t *twins) add(id, content uint64) twinKind {
	slot := t.find(id)
	if slot.id == id {
		if slot.content == content {
			return sameAgain
		}
		return otherAgain
	}
	*slot = twinSlot{id, content}
	if t.n++; t.n*4 > len(t.slots)*3 {
		t.grow()
	}
	return firstOfID
}

// find is the slot of an id, or the free one where it belongs.
func (t *twins) find(id uint64) *twinSlot {
	mask := uint64(len(t.slots) - 1)
	for i := id & mask; ; i = (i + 1) & mask {
		if s := &t.slots[i]; s.id == id || s.id == 0 {
			return s
		}
	}
}

func (t *twins) grow() {
	old := t.slots
	t.slots = make([]twinSlot, 2*len(old))
	for _, s := range old {
		if s.id != 0 {
			*t.find(s.id) = s
		}
	}
}
