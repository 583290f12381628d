package dsl

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Tidy lays a text out in the one way: two spaces a block, one blank line at most between statements, one space between
// words, columns only where the author has made some, remarks in the column they stand in, and the normal forms of the language (4 of 5 becomes 4 of last 5,
// 2s becomes 2 s). Line breaks inside a statement stay where they are, every remark is kept, names and sentences are
// left alone.
//
// Tidy refuses a faulty text with its Diagnostics. It reads its own output again and refuses to hand out a text that
// does not say the same.
func Tidy(name string, src []byte, opts ...Option) ([]byte, error) {
	file, ds := Parse(name, src, opts...)
	if err := ds.Err(); err != nil {
		return nil, err
	}
	out := newLayout(file).print()
	again, ds := Parse(name, out, append(opts[:len(opts):len(opts)], MaxFileBytes(2*len(out)+64))...)
	if ds.HasErrors() {
		return nil, fmt.Errorf("%w: %w", errTidyMeaning, ds)
	}
	if was, is := outline(file), outline(again); was != is {
		return nil, errTidyMeaning
	}
	if !bytes.Equal(remarkTexts(file), remarkTexts(again)) {
		return nil, errTidyMeaning
	}
	return out, nil
}

// errTidyMeaning would be a fault of this package: the text is safe, as it was not touched.
var errTidyMeaning = errors.New("tidy would change what this text says, and has left it as it is; please report it")

func remarkTexts(f *File) []byte {
	var b bytes.Buffer
	for _, r := range f.remarks {
		b.WriteString(r.Text + "\n")
	}
	return b.Bytes()
}

const (
	indentStep  = 2
	indentAfter = 8 // for the further lines of a statement
)

// layout prints the tokens of a file anew.
type layout struct {
	file    *File
	src     string
	edits   map[int]string // what is printed for the token at an offset instead of its text
	inserts map[int]string // words put before the token at an offset
	lines   []layoutLine
	depth   int
	remark  int // the next remark
	end     int // offset behind what has been printed, for blank lines

	seen, seenColumn int // see column
}

// layoutLine is one line of the output.
type layoutLine struct {
	indent    int
	words     []layoutWord
	remark    string
	remarkCol int  // the column it stands in, where there is room; 0 where it follows at once
	blank     bool // a blank line stands before it
	joins     bool // may stand in columns with its neighbours: a statement of its own line
	ownRemark bool // nothing but a remark
	inside    bool // a further line of a statement

	measured, measuredWidth int // see width
}

// layoutWord is one token of a line.
type layoutWord struct {
	text  string
	space bool // a space before it
	far   bool // two spaces or more before it in the source
	col   int  // its column in the source, -1 where it is to follow at once
	pad   int  // spaces to be put before it beyond the one
}

func newLayout(f *File) *layout {
	l := &layout{file: f, src: f.Source.Text, edits: map[int]string{}, inserts: map[int]string{}}
	l.normalForms()
	return l
}

func (l *layout) print() []byte {
	tokens := l.file.tokens
	for i := 0; i < len(tokens); {
		t := tokens[i]
		switch {
		case t.Type == tEOF:
			l.remarksBefore(len(l.src)+1, 0)
			i++
		case t.Type == tEnd:
			i++
		case isPunct(t, "}"):
			l.remarksBefore(t.Pos.Offset, l.depth*indentStep)
			l.depth = max(0, l.depth-1)
			l.statement(tokens[i : i+1])
			l.lines[len(l.lines)-1].blank = false
			i++
		default:
			l.remarksBefore(t.Pos.Offset, l.depth*indentStep)
			j := i
			for tokens[j].Type != tEnd && tokens[j].Type != tEOF && !isPunct(tokens[j], "{") && !isPunct(tokens[j], "}") {
				j++
			}
			if isPunct(tokens[j], "{") {
				j++
			}
			if end := l.oneLine(tokens, i, j); end > 0 {
				l.statement(withoutEnds(tokens[i:end]))
				i = end
				continue
			}
			l.statement(tokens[i:j])
			if isPunct(tokens[j-1], "{") {
				l.depth++
			}
			i = j
		}
	}
	l.align()
	return l.write()
}

// oneLine is the index behind the } of a block that stands on one line of the source with one statement in it at most,
// or 0. tokens from i to j are the block's first line.
func (l *layout) oneLine(tokens []token, i, j int) int {
	if !isPunct(tokens[j-1], "{") {
		return 0
	}
	ends := 0
	for k := j; ; k++ {
		switch t := tokens[k]; {
		case t.Type == tEnd:
			ends++
		case isPunct(t, "}"):
			if ends > 1 || strings.Contains(l.src[tokens[i].Pos.Offset:t.Pos.Offset], "\n") {
				return 0
			}
			return k + 1
		case isPunct(t, "{"), t.Type == tEOF:
			return 0
		}
	}
}

func withoutEnds(tokens []token) []token {
	return slices.DeleteFunc(slices.Clone(tokens), func(t token) bool { return t.Type == tEnd })
}

// remarksBefore prints the remarks that begin before an offset, each on a line of its own.
func (l *layout) remarksBefore(offset, indent int) {
	for ; l.remark < len(l.file.remarks) && l.file.remarks[l.remark].Span.From < offset; l.remark++ {
		r := l.file.remarks[l.remark]
		l.lines = append(l.lines, layoutLine{indent: indent, remark: r.Text, blank: l.blankBefore(r.Span.From), ownRemark: true})
		l.end = r.Span.To
	}
}

// blankBefore reports whether the source has a blank line between what was printed last and an offset.
func (l *layout) blankBefore(at int) bool {
	if len(l.lines) == 0 || at < l.end {
		return false
	}
	last := l.lines[len(l.lines)-1]
	if n := len(last.words); !last.ownRemark && n > 0 && last.words[n-1].text == "{" && !last.inside {
		return false
	}
	return strings.Count(l.src[l.end:at], "\n") > 1
}

// statement prints the tokens of one statement on as many lines as it has in the source.
func (l *layout) statement(tokens []token) {
	line := layoutLine{indent: l.depth * indentStep, blank: l.blankBefore(tokens[0].Pos.Offset)}
	line.joins = !isPunct(tokens[0], "}") && !isPunct(tokens[len(tokens)-1], "{")
	flush := func() {
		if len(line.words) > 0 {
			l.lines = append(l.lines, line)
		}
		line = layoutLine{indent: l.depth*indentStep + indentAfter, inside: true}
	}
	var prev *token
	number := "" // 1 new behaviour, 2 new behaviours
	for i := range tokens {
		t := &tokens[i]
		switch {
		case prev != nil && prev.Type == tNumber:
			number = prev.Value
		case prev == nil || prev.Value != "new":
			number = ""
		}
		from := t.Pos.Offset
		if prev != nil && strings.Contains(l.src[spanOf(*prev).To:from], "\n") {
			l.trailing(&line, from)
			flush()
			for ; l.remark < len(l.file.remarks) && l.file.remarks[l.remark].Span.From < from; l.remark++ {
				r := l.file.remarks[l.remark]
				l.lines = append(l.lines, layoutLine{indent: line.indent, remark: r.Text, ownRemark: true, inside: true})
			}
		}
		for k, w := range l.wordsOf(*t, prev, number) {
			w.col = -1
			if k == 0 && prev != nil {
				gap := l.src[spanOf(*prev).To:from]
				w.col, w.far = l.column(from), len(gap) > 1 || strings.Contains(gap, "\t")
			}
			line.words = append(line.words, w)
		}
		l.end = spanOf(*t).To
		prev = t
	}
	l.trailing(&line, -1)
	flush()
}

// trailing takes the remark that stands on the line behind what was printed, if it begins before limit (-1: any).
func (l *layout) trailing(line *layoutLine, limit int) {
	if l.remark >= len(l.file.remarks) {
		return
	}
	r := l.file.remarks[l.remark]
	if limit >= 0 && r.Span.From > limit || r.Span.From < l.end || strings.ContainsAny(l.src[l.end:r.Span.From], "\n{}") || !l.onlySpace(l.end, r.Span.From) {
		return
	}
	gap := l.src[l.end:r.Span.From]
	line.remark = r.Text
	if len(gap) > 1 || strings.Contains(gap, "\t") {
		line.remarkCol = l.column(r.Span.From)
	}
	l.end = r.Span.To
	l.remark++
}

func (l *layout) onlySpace(from, to int) bool {
	return strings.TrimSpace(l.src[from:to]) == ""
}

// column is the column of an offset in the source as it is shown. It goes on from the offset asked for before, where that
// is on the same line.
func (l *layout) column(at int) int {
	start := l.file.Source.starts[l.file.Source.lineOf(at)]
	if start <= l.seen && l.seen <= at {
		_, l.seenColumn = shown(l.src[l.seen:at], l.seenColumn)
	} else {
		_, l.seenColumn = shown(strings.TrimPrefix(l.src[start:at], byteOrderMark), 0)
	}
	l.seen = at
	return l.seenColumn
}

// wordsOf are the words printed for a token: none, itself, or two where a word is put before it.
func (l *layout) wordsOf(t token, prev *token, number string) []layoutWord {
	var out []layoutWord
	if w := l.inserts[t.Pos.Offset]; w != "" {
		out = append(out, layoutWord{text: w, space: prev != nil})
	}
	text, edited := l.edits[t.Pos.Offset]
	if !edited {
		text = textOf(t, number)
	}
	if text == "" {
		return out
	}
	return append(out, layoutWord{text: text, space: prev != nil && spaced(*prev, t)})
}

// spaced reports whether a space stands between two tokens.
func spaced(a, b token) bool {
	switch {
	case isPunct(b, ","), isPunct(b, ")"), isPunct(b, ":"), isPunct(a, "("), b.Type == tPercent:
		return false
	case isPunct(b, "("):
		return a.Type != tName
	}
	return true
}

// write puts the lines together.
func (l *layout) write() []byte {
	var b bytes.Buffer
	for i := range l.lines {
		line := &l.lines[i]
		if line.blank && i > 0 {
			b.WriteByte('\n')
		}
		text := line.text()
		switch {
		case line.ownRemark:
			text = strings.Repeat(" ", line.indent) + line.remark
		case line.remark != "":
			text += strings.Repeat(" ", max(1, line.remarkCol-line.width(len(line.words)))) + line.remark
		}
		b.WriteString(text)
		b.WriteByte('\n')
	}
	return b.Bytes()
}

// text is a line without its remark.
func (line *layoutLine) text() string {
	var b strings.Builder
	b.WriteString(strings.Repeat(" ", line.indent))
	for i, w := range line.words {
		if w.space && i > 0 {
			b.WriteString(strings.Repeat(" ", 1+w.pad))
		}
		b.WriteString(w.text)
	}
	return b.String()
}

// width is the column behind the first n words of a line. It goes on from the n asked for before: words before that must
// not be moved any more.
func (line *layoutLine) width(n int) int {
	if n < line.measured {
		line.measured, line.measuredWidth = 0, 0
	}
	for ; line.measured < n; line.measured++ {
		w := line.words[line.measured]
		if line.measured == 0 {
			line.measuredWidth = line.indent
		} else if w.space {
			line.measuredWidth += 1 + w.pad
		}
		text := w.text
		if i := strings.LastIndexByte(text, '\n'); i >= 0 {
			text, line.measuredWidth = text[i+1:], 0
		}
		_, line.measuredWidth = shown(text, line.measuredWidth)
	}
	return line.measuredWidth
}

// align puts words into columns where the author has: in neighbouring lines, words with two spaces or more before them,
// and those that stand in one column with such a word. The column is as near as the longest line allows.
func (l *layout) align() {
	for i := 0; i < len(l.lines); {
		if !l.lines[i].joins {
			i++
			continue
		}
		run := []*layoutLine{}
		for ; i < len(l.lines) && (l.lines[i].joins || l.lines[i].inside || l.lines[i].ownRemark); i++ {
			if l.lines[i].blank && len(run) > 0 {
				break
			}
			if l.lines[i].joins {
				run = append(run, &l.lines[i])
			}
		}
		alignRun(run)
	}
}

// alignRun does so for the lines of one run, from the leftmost column on.
func alignRun(run []*layoutLine) {
	type spot struct {
		line *layoutLine
		word int
	}
	spots, far := map[int][]spot{}, map[int]bool{}
	var columns []int
	for _, line := range run {
		for i, w := range line.words {
			if i == 0 || !w.space || w.col < 0 {
				continue
			}
			if len(spots[w.col]) == 0 {
				columns = append(columns, w.col)
			}
			spots[w.col] = append(spots[w.col], spot{line, i})
			far[w.col] = far[w.col] || w.far
		}
	}
	slices.Sort(columns)
	for _, c := range columns {
		if !far[c] {
			continue
		}
		target := 0
		for _, s := range spots[c] {
			target = max(target, s.line.width(s.word))
		}
		for _, s := range spots[c] {
			s.line.words[s.word].pad = target - s.line.width(s.word)
		}
	}
}
