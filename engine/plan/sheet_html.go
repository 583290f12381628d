package plan

import (
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"example.com/rung/engine"
)

// The looks of all pages, and the page of one session.
var (
	//go:embed page.html.tmpl
	pageText string
	//go:embed sheet.html.tmpl
	sheetText string

	htmlPage = template.Must(template.Must(template.New("page").Parse(pageText)).Parse(sheetText))
)

var errNoPlan = errors.New("there is no plan to print")

// WriteHTML writes the plan as one self-contained page in somebody's words. It needs no scripts and no network, prints
// in grey on one side of A4 or Letter at everyday size, and on as few sides as it can beyond that. What is read while the
// dog works is set in 10 points at least, what is read before it in 9 and everything else in 8.5; where that leaves too
// little room, reasons are left to the text form, and the page says so.
func (p *Plan) WriteHTML(w io.Writer, v engine.Voice) error {
	if p == nil {
		return errNoPlan
	}
	return htmlPage.ExecuteTemplate(w, "sheet", p.sheet(v).html(p, v))
}

// htmlSheet is a sheet as the template wants it; Size, Detail and Small are points, Side and Box millimetres.
type htmlSheet struct {
	Title, When            string
	Head                   []string
	Size, Detail, Small    float64
	Leading                float64
	Side, Box              float64
	Tight, Packed          bool
	Referral               []string
	Cautions, Own, General []string // what stops the session; of this dog and these items; of every dog
	Food, Kit, Legend      string
	Items                  []htmlItem
	Empty, End             string
	NoteWords, LeftWords   string
	MoodBefore, MoodAfter  string
	Moods                  []string
	Ring, Vet              string // whom to ring, by pen
	NextLabel, Next        string
	Whys, Notes, LeftOut   []string
	out                    []string // the names of what is left out
	TitleWhys              string
	TitleNone, TitleStop   string
	TitleNotes, TitleLeft  string
	Foot                   string
}

var (
	wordsTries  = said{"Tries", "Tries"}
	wordsRights = said{"Successes", "Right ones"}
	wordsShaded = said{"one box a success; shaded ones are fed", "tick one box for each right one; feed at a shaded one"}
	wordsUnless = said{", unless the item says otherwise.", ", unless it says otherwise below."}
	wordsLeave  = said{"Leave an exercise%s for today at: %s.", "Leave an exercise%s for today when %s."}
	wordsLevel  = said{"Level", "This time"}
	wordsLegend = said{
		"In a box: + did it, \u2013 something else, 0 no answer, h helped after its chance, e helped before, o! left, x spoiled (does not count).",
		"In a box: + right, \u2013 not right, h right with help, 0 no answer, o! the dog left, x spoiled (does not count).",
	}
)

func (s *sheet) html(p *Plan, v engine.Voice) *htmlSheet {
	h := &htmlSheet{
		Title: s.title, When: p.At.Format("2 January 2006"), Head: s.head, Referral: s.referral,
		Food: s.food, Kit: s.kit, Empty: s.empty, End: s.end, NoteWords: wordsFive.in(v), LeftWords: wordsLeft,
		MoodBefore: wordsBeforeIt, MoodAfter: wordsAfterIt, Moods: moods, Ring: wordsRing.in(v), Vet: wordsVet,
		NextLabel: titleNext + ":", Next: s.next, Notes: s.notes,
		TitleNone: titleNone, TitleStop: titleStop, TitleWhys: "Why these", TitleNotes: titleNotes, TitleLeft: titleLeft,
	}
	if v == engine.ForOwner {
		h.Foot = p.name()
	} else { // the last lines, of what the plan is and expects, nobody reads in the field
		last := len(h.Head) - 1
		if len(p.Items) > 0 {
			last--
		}
		foot := slices.Clone(h.Head[last:])
		slices.Reverse(foot)
		h.Head, h.Foot = h.Head[:last], strings.Join(foot, ". ")
	}
	if len(s.leftOut) > 0 {
		h.LeftOut = grouped(p.LeftOut)
		for _, l := range p.LeftOut {
			h.out = append(h.out, l.Behaviour)
		}
	}
	if h.Food != "" {
		h.Food += p.feedWords(v)
	}
	h.cautions(s.cautions)
	shared, lines := p.shared()
	h.General = append(lines, h.General...)
	if rule, line := p.stops(v); rule != "" {
		h.Own, shared = append(h.Own, line), append(shared, rule)
	}
	for i := range p.Items {
		it := &p.Items[i]
		h.Items = append(h.Items, p.paper(it, i+1, v, shared))
		if v != engine.ForOwner && (it.Part == 1 || it.Slot != "") {
			h.Whys = append(h.Whys, it.Behaviour+": "+it.Reason)
		}
	}
	if len(h.Items) > 0 {
		h.Legend = wordsLegend.in(v)
	}
	h.fit()
	return h
}

// cautions sets those that every sheet carries apart from the others, of which the first is on when to stop.
func (h *htmlSheet) cautions(all []string) {
	for _, c := range all {
		switch {
		case slices.Contains(generalCautions, c):
			h.General = append(h.General, c)
		case h.Cautions == nil:
			h.Cautions = []string{c}
		default:
			h.Own = append(h.Own, c)
		}
	}
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

// name tells whoever asks which plan this is.
func (p *Plan) name() string {
	id := fmt.Sprintf("%.8s", p.Fingerprint)
	if p.History != "" {
		id += "-" + p.History
	}
	return fmt.Sprintf("Plan %s-%d, %s", id, p.Seed, p.Curriculum)
}
