package plan

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"

	"example.com/rung/engine"
)

//go:embed tables.html.tmpl
var tablesText string

var htmlTablesPage = template.Must(template.Must(template.New("page").Parse(pageText)).Parse(tablesText))

// htmlTables is a page of tables, one for each day or station, with lists and notes below them.
type htmlTables struct {
	Title, When                  string
	Size, Detail, Small, Leading float64
	TitleStop                    string
	Stop, Cautions               []string // when to stop and what is urgent; the rest in small letters
	Pairs                        bool     // tables stand two beside each other
	Tables                       []htmlTable
	Lists                        []htmlList
	Notes                        []string
}

type htmlTable struct {
	ID, Name, Line string
	Columns        []htmlColumn
	Rows           [][]htmlCell // the first cell is the row's heading
}

type htmlColumn struct {
	Name  string
	Share int // of the width, in hundredths
}

// htmlCell is a text or boxes to tick, which are said to those who do not see them.
type htmlCell struct {
	Text, Said string
	Boxes      []struct{}
}

type htmlList struct {
	Title string
	Lines []string
}

func cells(texts ...string) (out []htmlCell) {
	for _, t := range texts {
		out = append(out, htmlCell{Text: t})
	}
	return out
}

func ticks(n int) htmlCell {
	return htmlCell{Said: plural(n, "box", "boxes"), Boxes: make([]struct{}, n)}
}

func (h *htmlTables) lists(lists []titled) {
	for _, l := range lists {
		h.Lists = append(h.Lists, htmlList{sentence(strings.ToLower(l.title)), l.lines})
	}
}

// tableSizes are tried in turn; at the last, tables go over several sides.
var tableSizes = []struct{ points, leading float64 }{{12, usualLeading}, {11.5, usualLeading}, {11, usualLeading}, {10.5, usualLeading},
	{10, usualLeading}, {9.5, usualLeading}, {leastDetail, usualLeading}, {leastDetail, leastLeading}, {11, usualLeading}}

func (h *htmlTables) write(w io.Writer) error {
	for _, s := range tableSizes {
		h.Size, h.Leading = s.points, s.leading
		if h.height() <= paperHeight {
			break
		}
	}
	h.Detail, h.Small = h.Size, max(leastSmall, math.Round(8*h.Size)/10)
	return htmlTablesPage.ExecuteTemplate(w, "tables", h)
}

// height is how tall the tables are in millimetres, by the template's measures.
func (h *htmlTables) height() float64 {
	m := measured(h.Size, h.Leading)
	all := 1 + m.flow(paperWidth, run{h.Title, 1.5, true, 0})
	all += h.stopHeight(m)
	beside, width := 1, paperWidth
	if h.Pairs {
		beside, width = 2, (paperWidth-6)/2
	}
	for at := 0; at < len(h.Tables); at += beside {
		tall := 0.0
		for i := at; i < min(at+beside, len(h.Tables)); i++ {
			tall = max(tall, h.Tables[i].height(m, width))
		}
		all += tall
	}
	for _, l := range h.Lists {
		all += 1.5 + m.lines(1.15)
		if h.Pairs { // a full week leaves no room for a line each
			all += m.flow(paperWidth, run{strings.Join(l.Lines, midDot), leastSmall / h.Size, false, 0})
			continue
		}
		for _, s := range l.Lines {
			all += m.flow(paperWidth-5, run{s, 1, false, 0})
		}
	}
	for _, n := range h.Notes {
		all += m.flow(paperWidth, run{n, 1, false, 0})
	}
	return all
}

// stop puts the first of all cautions, on when to stop, and the urgent ones before the others. What a day's own sheet says
// of heat the page does not: it speaks of the warmest day.
func (h *htmlTables) stop(all, urgent []string) {
	for i, c := range all {
		switch {
		case slices.Contains(urgent, c), strings.HasSuffix(c, wordsHeat):
		case i == 0:
			h.Stop = append(h.Stop, c)
		default:
			h.Cautions = append(h.Cautions, c)
		}
	}
	h.Stop = append(h.Stop, urgent...)
}

// stopHeight is the box at the top with what it holds.
func (h *htmlTables) stopHeight(m measure) float64 {
	if len(h.Stop) == 0 {
		return 0
	}
	const inside = paperWidth - 6
	all := 3.2 + m.flow(inside, run{strings.ToUpper(h.TitleStop), 1.16, true, .5}, run{h.Stop[0], 1, true, 0})
	for _, c := range h.Stop[1:] {
		all += m.flow(inside, run{c, 1, true, 0})
	}
	return all + m.flow(inside, run{strings.Join(h.Cautions, midDot), leastSmall / h.Size, false, 0})
}

func (t *htmlTable) height(m measure, page float64) float64 {
	all := 1.5 + m.flow(page, run{t.Name, 1.15, true, 0})
	if t.Line != "" {
		all += .4 + m.flow(page, run{t.Line, 1, false, 0})
	}
	if len(t.Rows) == 0 {
		return all
	}
	all += 4 + m.lines(1) + 1.45
	for _, row := range t.Rows {
		tall := 0.0
		for i, c := range row {
			width := page*float64(t.Columns[i].Share)/100 - 3.25
			cell := m.flow(width, run{c.Text, 1, i == 0, 0})
			if n := float64(len(c.Boxes)); n > 0 {
				cell = math.Ceil((m.width(c.Text, 1, false)+n*5.4)/width) * max(5, m.lines(1))
			}
			tall = max(tall, cell)
		}
		all += tall + 1.45
	}
	return all
}

var (
	wordsTimes = said{"Step and level", "This time"}
	wordsOften = said{"Trials", "Tries"}
)

// WriteHTML writes the days as a page of its own, in somebody's words: a table for each session, with a box to tick for
// each exercise, on one side of A4 or Letter where a week of everyday sessions does.
func (d *Days) WriteHTML(w io.Writer, v engine.Voice) error {
	if d == nil {
		return errNoPlan
	}
	h := &htmlTables{Title: d.title(v), When: d.From.Format("2 January 2006"), TitleStop: titleStop, Notes: d.remarks(v), Pairs: true}
	if held := d.held(); len(held) > 0 {
		h.stop(inVoice(held[0].Cautions, v), inVoice(d.Cautions, v))
	}
	for i, s := range d.held() {
		t := htmlTable{ID: fmt.Sprint("session", i+1), Name: s.At.Format("Monday 2 January, 15:04"),
			Columns: []htmlColumn{{sentence(wordsBehaviour.in(v)), 30}, {wordsTimes.in(v), 53}, {wordsOften.in(v), 17}}}
		t.Line = sentence(nothingHere) + "."
		if len(s.Items) > 0 {
			t.Line = "About " + minutes(s.Minutes)
		}
		if c := s.degrees(); c != "" {
			t.Line += "; " + c + " degrees"
		}
		if len(s.Kit) > 0 {
			t.Line += "; " + list(s.Kit)
		}
		for j := range s.Items {
			if it := &s.Items[j]; it.Part == 1 {
				t.Rows = append(t.Rows, s.dayRow(it, v))
			}
		}
		h.Tables = append(h.Tables, t)
	}
	h.lists(d.lists(v))
	return h.write(w)
}

// dayRow is one behaviour of a day.
func (p *Plan) dayRow(it *Item, v engine.Voice) []htmlCell {
	step, level := it.Step, levelWords(it.Level, it.LevelText)
	switch {
	case v == engine.ForOwner && level != "":
		step = level
	case v == engine.ForOwner:
		step = firstOf(it.StepTitle, it.Step)
	case level != "":
		step += "; " + level
	}
	tries := ticks(1)
	tries.Text = p.cell(it.Behaviour)
	return append(cells(it.Behaviour, step), tries)
}

// WriteHTML writes the class day as pages to hang up: who works where in which turn, then a table for each station with
// boxes to tick, what goes round, and whom to keep apart.
func (d *ClassDay) WriteHTML(w io.Writer) error {
	if d == nil {
		return errNoPlan
	}
	h := &htmlTables{Title: d.title(), When: d.At.Format("2 January 2006"), TitleStop: titleStop}
	h.stop(d.Cautions, d.urgent)
	if len(d.Turns) > 0 {
		h.Tables = append(h.Tables, d.rotation())
	}
	h.lists(d.lists())
	for i := range d.Stations {
		h.Tables = append(h.Tables, d.stationTable(i))
	}
	return h.write(w)
}

// rotation is a row for each turn and a column for each station.
func (d *ClassDay) rotation() htmlTable {
	share := 82 / (len(d.Stations) + 1)
	t := htmlTable{ID: "rotation", Name: "Who works where", Columns: []htmlColumn{{"Turn", 100 - share*(len(d.Stations)+1)}}}
	for _, s := range d.Stations {
		t.Columns = append(t.Columns, htmlColumn{s.Name, share})
	}
	t.Columns = append(t.Columns, htmlColumn{"Resting", share})
	for _, turn := range d.Turns {
		row := []string{fmt.Sprintf("%d, %s", turn.Turn, turn.At.Format("15:04"))}
		for _, s := range d.Stations {
			var who []string
			for i := range turn.Work {
				if turn.Work[i].Station == s.Name {
					who = append(who, turn.Work[i].who())
				}
			}
			row = append(row, strings.Join(who, "; "))
		}
		t.Rows = append(t.Rows, cells(append(row, strings.Join(turn.Resting, ", "))...))
	}
	return t
}

// stationTable is what each dog does at one station.
func (d *ClassDay) stationTable(at int) htmlTable {
	s := &d.Stations[at]
	t := htmlTable{ID: fmt.Sprint("station", at+1), Name: "Station " + s.words(),
		Columns: []htmlColumn{{"Turn", 12}, {"Dog", 18}, {"What", 45}, {wordsTries.trainer, 25}}}
	for _, turn := range d.Turns {
		for _, w := range turn.Work {
			if w.Station != s.Name {
				continue
			}
			start := cells(fmt.Sprintf("%d, %s", turn.Turn, turn.At.Format("15:04")), w.who())
			if len(w.Plan.Items) == 0 {
				t.Rows = append(t.Rows, append(start, cells(nothingHere, "")...))
			}
			for i := range w.Plan.Items {
				if it := &w.Plan.Items[i]; it.Part == 1 {
					t.Rows = append(t.Rows, append(start[:2:2], htmlCell{Text: it.atStation("")}, ticks(w.Plan.trials(it.Behaviour))))
				}
			}
		}
	}
	return t
}
