package plan

import (
	"math"
	"strings"
)

// The advance widths of the printable ASCII letters of DejaVu Sans 2.37 and its bold, in thousandths of an em, read from
// the font files. Its condensed form, nine tenths as wide, is the widest font that the page asks for by name: what fits
// with it fits with the others.
var (
	plainWidths = [...]int{
		318, 401, 460, 838, 636, 950, 780, 275, 390, 390, 500, 838, 318, 361, 318, 337, 636, 636, 636, 636, 636, 636, 636, 636,
		636, 636, 337, 337, 838, 838, 838, 531, 1000, 684, 686, 698, 770, 632, 575, 775, 752, 295, 295, 656, 557, 863, 748, 787,
		603, 787, 695, 635, 611, 732, 684, 989, 685, 611, 685, 390, 337, 390, 838, 500, 500, 613, 635, 550, 635, 615, 352, 635,
		634, 278, 278, 579, 278, 974, 634, 612, 635, 635, 411, 521, 392, 634, 592, 818, 592, 592, 525, 636, 337, 636, 838,
	}
	boldWidths = [...]int{
		348, 456, 521, 838, 696, 1002, 872, 306, 457, 457, 523, 838, 380, 415, 380, 365, 696, 696, 696, 696, 696, 696, 696, 696,
		696, 696, 400, 400, 838, 838, 838, 580, 1000, 774, 762, 734, 830, 683, 683, 821, 837, 372, 372, 775, 637, 995, 837, 850,
		733, 850, 770, 720, 682, 812, 774, 1103, 771, 724, 725, 457, 365, 457, 838, 500, 500, 675, 716, 593, 716, 678, 435, 716,
		712, 343, 343, 665, 343, 1042, 712, 687, 716, 716, 493, 595, 478, 712, 652, 924, 645, 652, 582, 712, 365, 712, 838,
	}
)

const condensed = .9

// otherWidth stands for every other letter: as wide as letters of most scripts get.
const otherWidth = 1100

// run is a piece of text in one size and weight. Behind its last word, and on its line, is a gap in ems.
type run struct {
	text  string
	scale float64 // of the page's type size
	bold  bool
	gap   float64
}

// measure is the size of letters, in millimetres an em, and the height of a line in ems.
type measure struct{ em, leading float64 }

func measured(points, leading float64) measure { return measure{points * 25.4 / 72, leading} }

// width is how wide a text is on one line, in millimetres.
func (m measure) width(text string, scale float64, bold bool) float64 {
	widths, sum := &plainWidths, 0
	if bold {
		widths = &boldWidths
	}
	for _, r := range text {
		if r >= ' ' && int(r-' ') < len(widths) {
			sum += widths[r-' ']
		} else {
			sum += otherWidth
		}
	}
	return float64(sum) / 1000 * condensed * m.em * scale
}

// lines is the height of one line of letters.
func (m measure) lines(scale float64) float64 { return m.em * scale * m.leading }

// flow is the height of runs that follow one another in a paragraph of a width, broken between words.
func (m measure) flow(width float64, runs ...run) float64 {
	lines, at, scale := 0, math.Inf(1), 0.0
	for _, r := range runs {
		if r.text == "" {
			continue
		}
		scale = max(scale, r.scale)
		space := m.width(" ", r.scale, r.bold)
		words := strings.Fields(r.text)
		for i, w := range words {
			wide := m.width(w, r.scale, r.bold)
			if i == len(words)-1 {
				wide += r.gap * m.em * r.scale
			}
			if at+wide > width {
				lines, at = lines+max(1, int(math.Ceil(wide/width))), 0 // a word longer than a line is broken
				wide = math.Mod(wide, width)
			}
			at += wide + space
		}
	}
	return float64(lines) * m.lines(scale)
}
