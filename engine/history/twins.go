package history

import "hash/maphash"

// twins remembers every id with what its line said: 16 bytes each, a hash of the id and one of the content.
type twins struct {
	slots []twinSlot // a power of two of them, at most three quarters full; an id of 0 is a free slot
	n     int

	looked uint64 // means nothing: only there so that looking at slots is not taken for idle
}

type twinSlot struct{ id, content uint64 }

// newTwins has room for about n ids before it has to grow.
func newTwins(n int) *twins {
	size := 64
	for size*3 < n*4 {
		size *= 2
	}
	return &twins{slots: make([]twinSlot, size)}
}

type twinKind uint8

const (
	firstOfID  twinKind = iota
	sameAgain           // the same id and content
	otherAgain          // the same id, other content
)

// prints makes the two hashes of an entry. The seed is new in each process, so that nobody can make ids that share one.
type prints struct {
	seed maphash.Seed
	buf  []byte
}

func (p *prints) of(it *item) {
	e := &it.entry
	p.buf = appendContent(p.buf[:0], e)
	it.print = twinSlot{max(1, maphash.String(p.seed, either(e, e.Trial.ID, e.Event.ID))), maphash.Bytes(p.seed, p.buf)}
}

// expect looks at the slots of entries that will be met soon. The table is far larger than a cache: looked at in a row
// the slots come from memory all at once, one by one each would be waited for.
func (t *twins) expect(items []item) {
	mask := uint64(len(t.slots) - 1)
	for i := range items {
		t.looked ^= t.slots[items[i].print.id&mask].id
	}
}

// meet takes an entry in and says whether its id came before.
func (t *twins) meet(it *item) twinKind { return t.add(it.print.id, it.print.content) }

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
