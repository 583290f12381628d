package plan

import (
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/rung/engine"
)

//go:embed sheet.html.tmpl
var htmlText string

var htmlPage = template.Must(template.New("sheet").Parse(htmlText))

// WriteHTML writes the plan as one self-contained page in somebody's words. It needs no scripts and no network, prints
// in grey on one side of A4 or Letter at everyday size, and on as few sides as it can beyond that.
func (p *Plan) WriteHTML(w io.Writer, v engine.Voice) error {
	if p == nil {
		return errors.New("there is no plan to print")
	}
	return htmlPage.Execute(w, p.sheet(v).html(p, v))
}

// htmlSheet is a sheet as the template wants it; Size is points, Side and Box millimetres.
type htmlSheet struct {
	Title, When                             string
	Head                                    []string
	Size, Leading, Side, Box                float64
	Tight                                   bool
	Referral, Cautions                      []string
	Food, Kit                               string
	Items                                   []htmlItem
	Empty, End, NoteWords, LeftWords, Tally string
	MoodBefore, MoodAfter                   string
	Ring, Vet                               string // whom to ring, by pen
	Whys, Notes, LeftOut                    []string
	TitleWhys                               string
	TitleNone, TitleStop                    string
	TitleNotes, TitleLeft                   string
	Foot                                    string
}

type htmlItem struct {
	Number               int
	Name, About          string
	Right, Cue           []htmlRow
	Lines, Card          []htmlRow
	Tries                []int
	Pay                  []bool // one for each success, where some are not paid
	PayLabel, PayCaption string
}

type htmlRow struct{ Label, Text, Class string }

// The sizes of lines beside the plain one, as shares of the type size; the template has the same.
var classes = map[string]float64{"": 1, "small": .88}

var (
	wordsTries  = said{"Tries", "Tries"}
	wordsRights = said{"Successes", "Right ones"}
	wordsShaded = said{"one box a success; shaded ones are fed", "tick one box for each right one; feed at a shaded one"}
	wordsFive   = said{"Note in five words", "In five words, how was it?"}
	wordsRing   = said{"Senior trainer", "Your trainer"}
	wordsLeft   = "Times the dog left"
)

func (s *sheet) html(p *Plan, v engine.Voice) *htmlSheet {
	h := &htmlSheet{
		Title: s.title, When: p.At.Format("2 January 2006"), Head: s.head, Referral: s.referral, Cautions: s.cautions,
		Food: s.food, Kit: s.kit, Empty: s.empty, End: s.end, NoteWords: wordsFive.in(v), LeftWords: wordsLeft,
		Tally: wordsTries.in(v), MoodBefore: "The dog before", MoodAfter: "and after", Ring: wordsRing.in(v), Vet: "Veterinarian", Notes: s.notes, LeftOut: grouped(p.LeftOut),
		TitleNone: titleNone, TitleStop: titleStop, TitleWhys: "Why these", TitleNotes: titleNotes, TitleLeft: titleLeft,
	}
	if v == engine.ForOwner {
		h.Foot = p.name()
	} else if n := len(h.Head); n > 0 { // the line that names the plan needs no room at the top
		h.Head, h.Foot = h.Head[:n-1], h.Head[n-1]
	}
	if len(s.leftOut) == 0 {
		h.LeftOut = nil
	}
	minds := map[string]int{}
	for _, it := range s.items {
		h.Items = append(h.Items, it.html(v, minds))
		for _, r := range it.rows {
			if r.part == because {
				h.Whys = append(h.Whys, it.plan.Behaviour+": "+r.text)
			}
		}
	}
	h.fit()
	return h
}

// html is one item. minds tells by which item a caution was printed already: once is enough on a page.
func (it *sheetItem) html(v engine.Voice, minds map[string]int) htmlItem {
	h := htmlItem{Number: it.number, Name: it.title}
	var about []string
	for _, r := range it.rows {
		row := htmlRow{Label: colon(r.label), Text: r.text}
		switch r.part {
		case where:
			about = append(about, r.text)
		case right:
			h.Right = append(h.Right, row)
		case card:
			h.Card = append(h.Card, row)
		case cue:
			h.Cue = append(h.Cue, row)
		case how:
			if r.label == labelMind.in(v) {
				row.Class = "small"
				if at, known := minds[r.text]; known {
					row.Text = fmt.Sprintf("as for %d", at)
				} else {
					minds[r.text] = it.number
				}
			}
			if !slices.Contains(h.Lines, row) {
				h.Lines = append(h.Lines, row)
			}
		}
	}
	if it.plan.Part > 1 {
		h.Name = fmt.Sprintf("%s (part %d of %d)", it.plan.Behaviour, it.plan.Part, it.plan.Parts)
	}
	h.About = strings.Join(about, "; ")
	for i := range it.plan.Trials {
		h.Tries = append(h.Tries, i+1)
	}
	if some := count(it.plan.Rewarded); some > 0 && some < len(it.plan.Rewarded) {
		h.Pay, h.PayLabel, h.PayCaption = it.plan.Rewarded, wordsRights.in(v), wordsShaded.in(v)
	}
	return h
}

func colon(label string) string {
	if strings.HasSuffix(label, "?") {
		return label
	}
	return label + ":"
}

// The paper: what A4 and Letter both have inside margins of 8 mm, in millimetres.
const (
	paperWidth  = 194.0
	paperHeight = 262.0
)

// layouts are tried in turn; the first at which the sheet fits one side is taken. Lines run on before letters get small,
// and the reasons for what is left out, then those for what is in, make room before they get smaller still.
var layouts = []layout{
	{points: 12}, {points: 11.5}, {points: 11}, {points: 10.5}, {points: 10},
	{10, true, 0}, {9.5, true, 0}, {9, true, 0}, {9, true, 1}, {8.7, true, 1}, {8.7, true, 2}, {8.4, true, 2}, {8.1, true, 2},
	{7.8, true, 2}, {7.5, true, 2}, {7.2, true, 2}, {7, true, 2}, {6.8, true, 2},
}

type layout struct {
	points float64
	tight  bool // lines run on
	bare   int  // 1: no reasons for what is left out; 2: nor for what is in
}

// fit chooses the layout.
func (h *htmlSheet) fit() {
	reasons, whys := h.LeftOut, h.Whys
	for _, l := range layouts {
		h.layOut(l)
		h.LeftOut, h.Whys = reasons, whys
		if l.bare > 0 {
			h.LeftOut = names(reasons)
		}
		if l.bare > 1 {
			h.Whys = nil
		}
		if h.height() <= paperHeight {
			return
		}
	}
	h.layOut(layout{points: 9, tight: true}) // more than one side
	h.LeftOut, h.Whys = reasons, whys
}

// leading is the height of a line in type sizes.
const leading = 1.17

func (h *htmlSheet) layOut(l layout) {
	h.Size, h.Leading, h.Tight, h.Side = l.points, leading, l.tight, 62
	if l.tight {
		h.Side = 74
	}
	h.Box = math.Round(l.points*6.2) / 10
}

// grouped is what is left out, those with one reason together.
func grouped(leftOut []LeftOut) (out []string) {
	var reasons []string
	with := map[string][]string{}
	for _, l := range leftOut {
		if with[l.Reason] == nil {
			reasons = append(reasons, l.Reason)
		}
		with[l.Reason] = append(with[l.Reason], l.Behaviour)
	}
	for _, r := range reasons {
		out = append(out, strings.Join(with[r], ", ")+": "+r)
	}
	return out
}

// names is the behaviours of what is left out, with where to read the reasons.
func names(leftOut []string) []string {
	out := make([]string, len(leftOut))
	for i, l := range leftOut {
		out[i], _, _ = strings.Cut(l, ":")
	}
	return out
}

// height is how tall the page will be in millimetres, on the safe side: it counts lines of letters of average width.
func (h *htmlSheet) height() float64 {
	m := measure{em: h.Size * 25.4 / 72}
	top := max(1.8*m.em, m.lines(1)*float64(len(h.Head))) + 1
	stop := 4 + 1.2 + m.lines(1.1) + m.lines(1)
	for i, c := range h.Cautions {
		if i == 0 {
			stop += m.text(c, paperWidth-10, 1)
		} else {
			stop += m.text(c, (paperWidth-18)/2, .88) / 2
		}
	}
	if len(h.Cautions) > 1 {
		stop += m.lines(.88) * 2 // columns are rarely even
	}
	all := top + stop + 2 + m.text("Food "+h.Food+"   Kit "+h.Kit, paperWidth, 1.08)
	for i := range h.Items {
		all += h.Items[i].height(m, h)
	}
	if h.End != "" {
		all += 5 + m.text("End: "+h.End, paperWidth, 1) + 2*m.lines(1)
	}
	for _, list := range [][]string{h.Whys, h.Notes, h.LeftOut} {
		if len(list) > 0 {
			all += .8 + m.text("Left out: "+strings.Join(list, " · "), paperWidth, .8)
		}
	}
	return all + m.text(h.Foot, paperWidth, .75) + .8
}

func (it *htmlItem) height(m measure, h *htmlSheet) float64 {
	side := h.Side - 2.5
	narrow, wide := paperWidth-10.5-h.Side, paperWidth-8.5
	boxes := func(label string, n int) float64 {
		room := side - m.width(label)*.95 - 1.5
		return math.Ceil(float64(n)*(h.Box+.6)/room)*(h.Box+.6) + 1
	}
	right := boxes(h.Tally, len(it.Tries)) + m.rows(it.Card, side, .92, h.Tight)
	if it.Pay != nil {
		right += boxes(it.PayLabel, len(it.Pay)) + m.text(it.PayCaption, side, .88)
	}
	top := m.rows(it.Cue, wide, 1.08, false)
	for _, r := range it.Right {
		top += m.text(r.Label+" "+r.Text, wide, 1.1)
	}
	left := m.rows(it.Lines, narrow, 1, h.Tight)
	if h.Tight && left > right { // what is below the right-hand part runs the whole width
		left = right + m.lines(1) + (left-right)*narrow/wide
	}
	return 2 + m.text(it.Name+" "+it.About, wide, 1.06) + top + max(left, right)
}

// measure is the size of letters, in millimetres an em.
type measure struct{ em float64 }

func (m measure) lines(scale float64) float64 { return m.em * scale * leading }

// text is the height of a text in a column; letters of the page's widest font take .475 em on average.
func (m measure) text(s string, width, scale float64) float64 {
	return m.lines(scale) * max(1, math.Ceil(m.width(s)*scale/width))
}

func (m measure) width(s string) float64 { return float64(utf8.RuneCountInString(s)) * m.em * .475 }

// rows is the height of labelled lines; tight ones run on.
func (m measure) rows(rows []htmlRow, width, scale float64, tight bool) (all float64) {
	run := 0.0
	for _, r := range rows {
		text, size := r.Label+" "+r.Text, scale*classes[r.Class]
		if tight {
			run += float64(utf8.RuneCountInString(text)+1) * size
			continue
		}
		all += m.text(text, width-2.5, size)
	}
	if tight && run > 0 {
		all = m.lines(scale*1.02) * math.Ceil(run*m.em*.475/width)
	}
	return all
}

// name tells whoever asks which plan this is.
func (p *Plan) name() string {
	return fmt.Sprintf("Plan %.8s/%d, %s", p.Fingerprint, p.Seed, p.Curriculum)
}
