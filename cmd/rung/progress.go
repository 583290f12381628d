package main

import (
	"time"

	"example.com/rung/engine/history"
)

// progress draws how far a big log is read, on a terminal's standard error only, once a second from the second second
// on.
type progress struct {
	w     *world
	lines int
	next  time.Time
	drawn bool
}

func newProgress(w *world) *progress {
	return &progress{w: w, next: time.Now().Add(2 * time.Second)}
}

// step is called for every line; it looks at the clock at every thousandth.
func (p *progress) step(h *history.History) {
	p.lines++
	if !p.w.progress || p.lines%1000 != 0 || time.Now().Before(p.next) {
		return
	}
	p.next = time.Now().Add(time.Second)
	p.drawn = true
	read, total := h.Progress()
	p.w.stderr.printf("\r%d lines, %d%% read \x1b[K", p.lines, min(100, 100*read/max(1, total)))
	_ = p.w.stderr.w.Flush() // a count that cannot be drawn is no loss
}

// done wipes the count away.
func (p *progress) done() {
	if p.drawn {
		p.w.stderr.printf("\r\x1b[K")
	}
}
