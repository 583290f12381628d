package history

import (
	"io/fs"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// A source of some length that is in time order is decoded by a goroutine of its own, a few batches of entries ahead of
// the caller, so that reading and folding each have a processor. Nothing can be seen of it: a batch carries, beside its
// entries, what was there to report at each of them, and the error that comes behind the last. Channels hand the batches
// to and fro, so each belongs to one side at a time; the Reader belongs to the goroutine alone.
type ahead struct {
	full, free chan *batch // both have room for every batch
	stop       chan struct{}
	batch      *batch // the one being given out
	at         int
}

const (
	aheadFrom   = 1 << 20 // bytes; below, a goroutine and its batches are not worth their room
	batchSize   = 256     // entries, of some 700 bytes each
	batchNumber = 4
)

// batch is some entries in a row. What stands behind them is good once the last is taken.
type batch struct {
	items   []item
	reports []engine.Report // never changed below its length, only added to
	said    said
	read    int64 // bytes
	err     error // what came after the items; nil where more follow
}

// item is an entry as the merge needs it.
type item struct {
	entry curriculum.Entry
	made  bool // the entry's id was not written
	print twinSlot
	said  said
}

// said is how much a sink had to report at some moment.
type said struct{ reports, unread, mere int }

func (k *sink) said() said { return said{len(k.reports), k.unread, k.mere} }

func readAhead(rd *Reader, read *counter, p *prints) *ahead {
	a := &ahead{full: make(chan *batch, batchNumber), free: make(chan *batch, batchNumber), stop: make(chan struct{})}
	for range batchNumber {
		a.free <- &batch{items: make([]item, 0, batchSize)}
	}
	go func() {
		defer close(a.full)
		for {
			select {
			case <-a.stop:
				return
			case b := <-a.free:
				b.fill(rd, read, p)
				a.full <- b
				if b.err != nil {
					return
				}
			}
		}
	}()
	return a
}

func (b *batch) fill(rd *Reader, read *counter, p *prints) {
	b.items = b.items[:0]
	for len(b.items) < cap(b.items) {
		it := &b.items[:len(b.items)+1][len(b.items)]
		if b.err = rd.Next(&it.entry); b.err != nil {
			break
		}
		it.made, it.said = rd.made, rd.sink.said()
		p.of(it)
		b.items = b.items[:len(b.items)+1]
	}
	b.reports, b.said, b.read = rd.sink.reports, rd.sink.said(), read.n
}

// next is the next entry, good until the following call.
func (a *ahead) next() (*item, error) {
	a.at++
	for a.batch == nil || a.at >= len(a.batch.items) {
		if a.batch != nil {
			if a.batch.err != nil {
				return nil, a.batch.err
			}
			a.free <- a.batch
		}
		b, ok := <-a.full
		if !ok {
			a.batch = &batch{err: fs.ErrClosed}
			return nil, fs.ErrClosed
		}
		a.batch, a.at = b, 0
	}
	return &a.batch.items[a.at], nil
}

// all is what there was to report when the entry given last was read.
func (a *ahead) all(k *sink) []engine.Report {
	if a.batch == nil {
		return nil
	}
	s := a.batch.said
	if a.at < len(a.batch.items) {
		s = a.batch.items[a.at].said
	}
	then := sink{source: k.source, opts: k.opts, reports: a.batch.reports[:s.reports], unread: s.unread, mere: s.mere}
	return then.all()
}

// close ends the goroutine and waits for it.
func (a *ahead) close() {
	close(a.stop)
	for range a.full {
	}
}
