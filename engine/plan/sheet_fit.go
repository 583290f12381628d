package plan

import (
	"math"
	"slices"
	"strings"
)

// The paper: what A4 and Letter both have inside margins of 7 mm, in millimetres; a little less, for printers round.
const (
	paperWidth  = 196.0
	paperHeight = 264.5
)

// The sizes in points under which nothing is set: what is read while the dog works (names, cues, what counts, boxes and
// values, cards), what is read before it (set-up, how to pay, cautions), and everything else.
const (
	leastPoints = 10.0
	leastDetail = 9.0
	leastSmall  = 8.5
)

// layout is one way to set a sheet.
type layout struct {
	points, detail float64
	tight          bool // lines run on
	bare           bare
	leading        float64 // the height of a line in type sizes; 0 means usualLeading
}

// bare is how much is left to the text form, each step with those before it.
type bare int

const (
	bareOuts  bare = iota + 1 // why others are left out, and the rules that count over sessions
	bareWhys                  // why each is in
	bareNames                 // what is left out, the names of steps and each item's kit; the cue runs on behind what counts
)

// layouts are tried in turn; the first at which the sheet fits one side is taken: reasons make room before letters get
// small, and letters never get smaller than can be read. The last is for what needs several sides.
var layouts = []layout{
	{12, 12, false, 0, 0}, {11.5, 11.5, false, 0, 0}, {11, 11, false, 0, 0}, {11, 11, true, 0, 0}, {11, 10, true, bareOuts, 0}, {11, 10, true, bareWhys, 0},
	{11, 9.5, true, bareWhys, 0}, {10.5, 9.5, true, bareWhys, 0}, {10.5, 9.5, true, bareNames, 0}, {10.5, leastDetail, true, bareNames, 0},
	{leastPoints, leastDetail, true, bareNames, 0}, {leastPoints, leastDetail, true, bareNames, leastLeading}, {11, 11, true, 0, 0},
}

// sides is how wide the part with the boxes may be; the one that makes the page shortest is taken.
var sides = []float64{56, 60, 64, 68, 72, 76, 80, 84, 88}

// moreWords ends a page that leaves something to the text form.
const moreWords = "More on the text sheet"

// fit chooses the layout.
func (h *htmlSheet) fit() {
	whole := *h
	whole.Items = append([]htmlItem{}, h.Items...)
	for i, l := range layouts {
		*h = whole
		h.Items = append([]htmlItem{}, whole.Items...)
		h.layOut(l)
		best := math.Inf(1)
		side := 0.0
		for _, h.Side = range sides {
			if tall := h.height(); tall < best {
				best, side = tall, h.Side
			}
		}
		h.Side = side
		h.height() // once more, for how it lays out the items
		if best <= paperHeight || i == len(layouts)-1 {
			return
		}
	}
}

// usualLeading is the height of a line in type sizes; leastLeading that of the fullest pages.
const (
	usualLeading = 1.1
	leastLeading = 1.05
)

// layOut sets sizes, and takes out what the layout leaves to the text form.
func (h *htmlSheet) layOut(l layout) {
	h.Size, h.Detail, h.Leading, h.Small, h.Tight, h.Box = l.points, l.detail, usualLeading, max(leastSmall, math.Round(8*l.detail)/10), l.tight, 6.5
	if l.leading > 0 {
		h.Leading = l.leading
	}
	if l.tight {
		h.Small, h.Box = leastSmall, 5.2
	}
	left := len(h.LeftOut) > 0 && l.bare >= bareOuts
	if left {
		h.LeftOut = []string{strings.Join(h.out, ", ")}
	}
	if l.bare >= bareWhys && len(h.Whys) > 0 {
		h.Whys, left = nil, true
	}
	if h.Packed = l.bare >= bareNames; h.Packed {
		h.LeftOut = nil
	}
	for i := range h.Items {
		it := &h.Items[i]
		switch {
		case l.bare == 0 && len(it.Far) > 0:
			it.Card = append(append([]htmlRow{}, it.Card...), it.Far...)
		case len(it.Far) > 0:
			left = true
		}
		if h.Packed {
			it.Step, left = "", true
			it.Lines = slices.DeleteFunc(slices.Clone(it.Lines), func(r htmlRow) bool { return r.Label == it.kit })
		}
	}
	if left {
		h.Foot = strings.TrimPrefix(h.Foot+". "+moreWords, ". ")
	}
}

// height is how tall the page will be in millimetres: the template's own measures, with its widest font.
func (h *htmlSheet) height() float64 {
	m := measured(h.Size, h.Leading)
	small, detail := h.Small/h.Size, h.Detail/h.Size
	all := h.headHeight(m, detail) + h.stopHeight(m, small)
	switch {
	case h.Food+h.Kit == "":
	case h.Tight:
		all += m.flow(paperWidth, run{"Food:", detail, true, 0}, run{h.Food, detail, false, 1}, run{"Kit:", detail, true, 0}, run{h.Kit, detail, false, 0})
	default:
		all += 1.6 + m.flow(paperWidth, run{"Food:", detail, true, 0}, run{h.Food, detail, false, 0}) + m.flow(paperWidth, run{h.Kit, detail, false, 0})
	}
	all += m.flow(paperWidth, run{h.Legend, small, false, 0})
	for i := range h.Items {
		all += h.Items[i].height(m, h)
	}
	if h.End != "" {
		all += 1.8 + m.flow(paperWidth, run{"End:", detail, true, 0}, run{h.End, detail, false, 0}) + 2 + 2*max(m.lines(detail), boxInLine)
	}
	all += .8 + h.moreHeight(m, small)
	return all + .8 + m.flow(paperWidth, run{h.Foot, small, false, 0})
}

// moreHeight is what comes next, the reasons and the notes.
func (h *htmlSheet) moreHeight(m measure, small float64) (all float64) {
	var on []run
	for _, list := range [][]string{{h.Next}, h.Whys, h.Notes, h.LeftOut} {
		if len(list) == 0 || list[0] == "" {
			continue
		}
		runs := []run{{"Left out:", small, true, 0}, {strings.Join(list, midDot), small, false, 1}}
		if h.Tight {
			on = append(on, runs...)
		} else {
			all += m.flow(paperWidth, runs...)
		}
	}
	return all + m.flow(paperWidth, on...)
}

// midDot is what stands between things that run on, about as wide.
const midDot = "  ·  "

// headHeight is the title with the lines beside it, or above them where there is no room.
func (h *htmlSheet) headHeight(m measure, detail float64) float64 {
	title, lines, wide := m.flow(paperWidth, run{h.Title, 1.5, true, 0}), 0.0, 0.0
	for _, l := range h.Head {
		lines += m.flow(paperWidth, run{l, detail, false, 0})
		wide = max(wide, m.width(l, detail, false))
	}
	if m.width(h.Title, 1.5, true)+4+wide > paperWidth {
		return title + lines + 1
	}
	return max(title, lines) + 1
}

// boxInLine is the height of a small box in a line of words.
const boxInLine = 5.2

// stopHeight is the box at the top with what it holds.
func (h *htmlSheet) stopHeight(m measure, small float64) float64 {
	const inside = paperWidth - 6
	all := 2 + 1.2 + 1 + max(m.lines(1), boxInLine)
	first := run{}
	if len(h.Cautions) > 0 {
		first = run{h.Cautions[0], 1, true, 0}
	}
	all += m.flow(inside, run{strings.ToUpper(h.TitleStop), 1.16, true, .5}, first)
	for _, c := range h.Own {
		all += m.flow(inside-4, run{c, 1, false, 0})
	}
	if h.Tight {
		return all + m.flow(inside, run{strings.Join(h.General, midDot), small, false, 0})
	}
	for _, c := range h.General {
		all += m.flow(inside-4, run{c, small, false, 0})
	}
	return all
}

// height is an item's height. It chooses whether the name stands beside the boxes or above them, and which lines stand
// below them, over the whole width.
func (it *htmlItem) height(m measure, h *htmlSheet) float64 {
	small, detail := h.Small/h.Size, h.Detail/h.Size
	side, main, whole := h.Side-2.25, paperWidth-7-2-h.Side, paperWidth-7
	right := 0.0
	for _, b := range it.Boxes {
		right += b.height(m, side, h.Box)
		if b.Caption != "" {
			right += m.flow(side, run{b.Caption, small, false, 0})
		}
	}
	right += m.rows(it.Card, side, 1, h.Tight)
	all := 1.0
	if it.Rest != "" {
		all += m.lines(1) + .8
	}
	title := []run{{it.Name, 1.15, true, .5}, {it.Title, 1, false, .5}, {it.Step, small, false, 0}}
	left := it.leftHeight(m, main, h.Packed)
	above, beside := m.flow(whole, title...), m.flow(main, title...)
	lines := append(append([]htmlRow{}, it.Lines...), it.Below...)
	if it.Again {
		return all + max(beside, right)
	}
	best, at := math.Inf(1), 0
	for k := len(lines); k >= 0; k-- {
		text, below := left+m.rows(lines[:k], main, detail, h.Tight), m.rows(lines[k:], whole, detail, h.Tight)
		if tall := above + max(text, right) + below; tall < best {
			best, at, it.Beside = tall, k, false
		}
		if tall := max(beside+text, right) + below; tall < best {
			best, at, it.Beside = tall, k, true
		}
	}
	it.Lines, it.Below = lines[:at], lines[at:]
	return all + best
}

// leftHeight is what counts as a success, with the level, and the cue.
func (it *htmlItem) leftHeight(m measure, width float64, packed bool) float64 {
	what := []run{{it.Right.Label, 1, false, 0}, {it.Right.Text, 1, true, .7}, {it.Level.Label, 1, false, 0}, {it.Level.Text, 1, true, .7}}
	cue := []run{{it.Cue.Label, 1, true, 0}, {it.Cue.Text, 1, false, 0}}
	switch {
	case it.Cue.Text == "":
		return m.flow(width, what...)
	case packed:
		return m.flow(width, append(what, cue...)...)
	}
	return m.flow(width, what...) + m.flow(width, cue...)
}

// height is the rows of boxes, each with the values above it.
func (b *htmlBoxes) height(m measure, width, box float64) float64 {
	rows, at := 1, m.width(b.Label, 1, true)+1.2
	line := box
	for _, x := range b.Boxes {
		wide := max(box, m.width(x.Value, 1, true)) + 1.2
		if at+wide-1.2 > width {
			rows, at = rows+1, 0
		}
		at += wide
		if x.Value != "" {
			line = box + m.lines(1)
		}
	}
	return float64(rows)*(line+.8) + .2
}

// rows is the height of labelled lines; tight ones run on.
func (m measure) rows(rows []htmlRow, width, scale float64, tight bool) (all float64) {
	var on []run
	for _, r := range rows {
		line := []run{{r.Label, scale, true, 0}, {r.Text, scale, false, 1}}
		if tight {
			on = append(on, line...)
		} else {
			all += m.flow(width-3, line...)
		}
	}
	return all + m.flow(width, on...)
}
