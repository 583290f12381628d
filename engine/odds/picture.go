package odds

import (
	"cmp"
	"fmt"
	"html"
	"math"
	"slices"
	"strings"
)

// Sizes of the picture, in its own units.
const (
	panelWide, panelHigh = 360, 300
	plotLeft, plotTop    = 52, 78
	plotWide, plotHigh   = 280, 168
	pictureColumns       = 2
	lineLetters          = 52 // of a rule, before it is broken or cut
)

// Picture is curves as one SVG picture: a panel for each, two beside each other. It is readable in grey, and each panel is
// an image that says in words what it shows, for those who cannot see it.
func Picture(title string, curves []Curve) string {
	columns := min(pictureColumns, max(1, len(curves)))
	rows := (len(curves) + columns - 1) / columns
	wide, high := columns*panelWide, 58+rows*panelHigh
	by := DefaultBy
	if len(curves) > 0 {
		by = curves[0].By
	}
	p := &pen{}
	p.put(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" role="group" aria-labelledby="title desc" font-family="Helvetica, Arial, sans-serif" fill="#222">`, wide, high, wide, high)
	p.put(`<title id="title">%s</title>`, html.EscapeString(title))
	eases := slices.ContainsFunc(curves, func(c Curve) bool { return len(c.Ease) > 0 })
	moved, eased := "the rules have moved on", ", and how many eased"
	if len(curves) > 0 && curves[0].lone() {
		moved = "the criterion has held of"
	}
	if !eases {
		eased = ""
	}
	p.put(`<desc id="desc">For dogs that are right from 0 to 100 times in 100 trials: how many of 100 such dogs %s%s, by trial %d.</desc>`, moved, eased, by)
	p.put(`<rect width="%d" height="%d" fill="#fff"/>`, wide, high)
	p.text(16, 26, 16, "start", "bold", shortened(title, (wide-32)/9))
	p.put(`<path d="M16 44h26" stroke="#111" stroke-width="2.5"/>`)
	legend := "moved on by trial %d"
	if len(curves) > 0 && curves[0].lone() {
		legend = "holds by trial %d"
	}
	p.text(48, 48, 11, "start", "", fmt.Sprintf(legend, by))
	if eases {
		p.put(`<path d="M190 44h26" stroke="#777" stroke-width="2.5" stroke-dasharray="6 4"/>`)
		p.text(222, 48, 11, "start", "", fmt.Sprintf("eased by trial %d", by))
	}
	for i, c := range curves {
		p.put(`<g role="img" transform="translate(%d %d)">`, i%columns*panelWide, 58+i/columns*panelHigh)
		p.panel(c)
		p.put(`</g>`)
	}
	p.put(`</svg>`)
	return p.String()
}

// pen writes SVG, a line at a time.
type pen struct{ strings.Builder }

func (p *pen) put(format string, args ...any) { fmt.Fprintf(p, format+"\n", args...) }

func (p *pen) text(x, y, size int, anchor, weight, s string) {
	attributes := ""
	if anchor != "start" {
		attributes += fmt.Sprintf(` text-anchor="%s"`, anchor)
	}
	if weight != "" {
		attributes += fmt.Sprintf(` font-weight="%s"`, weight)
	}
	p.put(`<text x="%d" y="%d" font-size="%d"%s>%s</text>`, x, y, size, attributes, html.EscapeString(s))
}

// lines writes a text in as many lines as there may be, and cuts the last one where it would run out of its panel.
func (p *pen) lines(y int, s string, most int) {
	for ; most > 1 && len([]rune(s)) > lineLetters; most-- {
		cut := strings.LastIndex(string([]rune(s)[:lineLetters]), " ")
		if cut <= 0 {
			break
		}
		p.text(16, y, 11, "start", "", s[:cut])
		s, y = s[cut+1:], y+15
	}
	p.text(16, y, 11, "start", "", shortened(s, lineLetters))
}

// panel draws one curve, in the corner at 0, 0.
func (p *pen) panel(c Curve) {
	p.put(`<title>%s</title>`, html.EscapeString(c.inWords()))
	switch {
	case c.lone():
		p.lines(20, "holds when "+orNothing(c.Advance), 3)
	case len(c.Ease) > 0:
		p.text(16, 20, 13, "start", "bold", shortened(c.name(), 44))
		p.lines(37, "on when "+orNothing(c.Advance), 1)
		p.lines(52, "back when "+orNothing(c.Ease), 1)
	default:
		p.text(16, 20, 13, "start", "bold", shortened(c.name(), 44))
		p.lines(37, "on when "+orNothing(c.Advance), 2)
	}
	x := func(v float64) float64 { return plotLeft + v*plotWide }
	y := func(v float64) float64 { return plotTop + (1-v)*plotHigh }
	for _, v := range []float64{0, .25, .5, .75, 1} {
		p.put(`<path d="M%.0f %.1fh%d" stroke="#ddd" stroke-width="1"/>`, x(0), y(v), plotWide)
		p.text(plotLeft-7, int(y(v))+4, 10, "end", "", fmt.Sprintf("%.0f", 100*v))
		p.put(`<path d="M%.1f %.0fv4" stroke="#888" stroke-width="1"/>`, x(v), y(0))
		p.text(int(x(v)), int(y(0))+16, 10, "middle", "", fmt.Sprintf("%.0f", 100*v))
	}
	p.put(`<path d="M%d %dv%dh%d" fill="none" stroke="#888" stroke-width="1"/>`, plotLeft, plotTop, plotHigh, plotWide)
	p.text(plotLeft+plotWide/2, plotTop+plotHigh+32, 10, "middle", "", "right, of 100 trials")
	p.put(`<text transform="translate(14 %d) rotate(-90)" font-size="10" text-anchor="middle">of 100 such dogs</text>`, plotTop+plotHigh/2)
	line := func(of func(Point) float64) string {
		var b strings.Builder
		for i, pt := range c.Points {
			b.WriteString(map[bool]string{true: "M", false: "L"}[i == 0])
			fmt.Fprintf(&b, "%.1f %.1f", x(pt.Chance), y(of(pt)))
		}
		return b.String()
	}
	if len(c.Ease) > 0 {
		p.put(`<path d="%s" fill="none" stroke="#777" stroke-width="2.5" stroke-dasharray="6 4"/>`, line(func(pt Point) float64 { return pt.Ease }))
	}
	p.put(`<path d="%s" fill="none" stroke="#111" stroke-width="2.5"/>`, line(func(pt Point) float64 { return pt.Advance }))
	for i, h := range c.HoldsAt {
		p.put(`<path d="M%.1f %dv%d" stroke="#444" stroke-width="1" stroke-dasharray="1 3"/>`, x(h), plotTop, plotHigh)
		anchor, dx := "start", 4
		if h > .6 {
			anchor, dx = "end", -4
		}
		p.put(`<text x="%d" y="%d" font-size="10" text-anchor="%s" stroke="#fff" stroke-width="3" paint-order="stroke">holds at %.0f</text>`, int(x(h))+dx, plotTop+11+12*i, anchor, 100*h)
	}
}

// lone reports whether the curve is that of a criterion, and not of a step's rules.
func (c Curve) lone() bool { return len(c.Steps) == 0 }

// name is where the rules stand.
func (c Curve) name() string {
	if len(c.Steps) == 1 {
		return c.Steps[0].Behaviour + ", " + c.Steps[0].Step
	}
	return fmt.Sprintf("%s, %s and %d more", c.Steps[0].Behaviour, c.Steps[0].Step, len(c.Steps)-1)
}

// inWords is what the panel shows.
func (c Curve) inWords() string {
	var b strings.Builder
	var names []string
	for _, s := range c.Steps {
		names = append(names, s.Behaviour+" at "+s.Step)
	}
	if len(names) > 0 {
		b.WriteString(strings.Join(names, "; ") + ". ")
	}
	lead, moved := "On when ", "moved on"
	if c.lone() {
		lead, moved = "", "holds"
	}
	b.WriteString(lead + orNothing(c.Advance))
	if len(c.Ease) > 0 {
		fmt.Fprintf(&b, ", back when %s", orNothing(c.Ease))
	}
	fmt.Fprintf(&b, ". By trial %d:", c.By)
	for _, want := range []float64{.5, .7, .9} {
		i, _ := slices.BinarySearchFunc(c.Points, want, func(pt Point, v float64) int { return cmp.Compare(pt.Chance, v-1e-9) })
		if i == len(c.Points) {
			continue
		}
		pt := c.Points[i]
		fmt.Fprintf(&b, " right %.0f%%, %s %s", 100*pt.Chance, moved, percentOf(pt.Advance))
		if len(c.Ease) > 0 {
			fmt.Fprintf(&b, ", eased %s", percentOf(pt.Ease))
		}
		b.WriteString(";")
	}
	out := strings.TrimSuffix(b.String(), ";") + "."
	for _, h := range c.HoldsAt {
		out += fmt.Sprintf(" It holds a dog that is right %.0f%% of the time.", 100*h)
	}
	return out
}

func percentOf(v float64) string { return fmt.Sprintf("%.0f%%", math.Round(100*v)) }

func orNothing(rules []string) string {
	if len(rules) == 0 {
		return "nothing"
	}
	return strings.Join(rules, ", or ")
}

// shortened cuts a line that would run out of its panel.
func shortened(s string, n int) string {
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return strings.TrimSpace(string(r[:n-1])) + "…"
}
