package history

import (
	"hash/fnv"
	"strings"
)

// pages tells a page of a tally book that stands in it twice, as when the marks of one sheet are added twice. Both are
// read, since a heading written twice goes on where the first one ended; but somebody should look.
type pages struct {
	first map[uint64]int // the line of each page's heading, by what is on the page
	line  int            // of the present page's heading, 0 for none
	text  strings.Builder
	marks bool
}

// begin starts a page, which is known by its heading.
func (p *pages) begin(line int, h *heading) {
	p.line, p.marks = line, false
	p.text.Reset()
	p.add(h.key + "\x00" + h.place + "\x00" + h.handler)
}

// add takes a line of the page.
func (p *pages) add(text string) { p.text.WriteString(strings.TrimSpace(text) + "\n") }

// end ends the page and tells where the same one stood before; before is 0 where it did not.
func (p *pages) end() (line, before int) {
	if line, p.line = p.line, 0; line == 0 || !p.marks {
		return 0, 0
	}
	h := fnv.New64a()
	h.Write([]byte(p.text.String()))
	if p.first == nil {
		p.first = map[uint64]int{}
	}
	key := h.Sum64()
	if before = p.first[key]; before == 0 {
		p.first[key] = line
	}
	return line, before
}
