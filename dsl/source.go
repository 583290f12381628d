package dsl

import (
	"sort"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// Source is a text with its name, and knows its lines.
type Source struct {
	Name string
	Text string
	// starts are the offsets of line starts
	starts []int
}

// NewSource makes a source of a text. The text is kept as it is, a byte order mark included.
func NewSource(name, text string) *Source {
	s := &Source{Name: name, Text: text, starts: []int{0}}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			s.starts = append(s.starts, i+1)
		}
	}
	return s
}

func (s *Source) name() string {
	if s == nil {
		return ""
	}
	return s.Name
}

// lineOf is the index (from 0) of the line that holds offset.
func (s *Source) lineOf(offset int) int { return sort.SearchInts(s.starts, offset+1) - 1 }

// lineText is the text of line i (from 0), without its end.
func (s *Source) lineText(i int) string {
	end := len(s.Text)
	if i+1 < len(s.starts) {
		end = s.starts[i+1] - 1
	}
	return strings.TrimSuffix(s.Text[s.starts[i]:end], "\r")
}

// Position is the line and column of a byte offset, both from 1; the column counts characters.
func (s *Source) Position(offset int) (line, column int) {
	offset = max(0, min(offset, len(s.Text)))
	i := s.lineOf(offset)
	text := s.Text[s.starts[i]:offset]
	if i == 0 {
		text = strings.TrimPrefix(text, byteOrderMark)
	}
	return i + 1, 1 + utf8.RuneCountInString(text)
}

// utf16Position is the line and the column in UTF-16 units of a byte offset, both from 0, as editors count.
func (s *Source) utf16Position(offset int) (line, column int) {
	offset = max(0, min(offset, len(s.Text)))
	i := s.lineOf(offset)
	for _, r := range s.Text[s.starts[i]:offset] {
		column += max(1, utf16.RuneLen(r))
	}
	return i, column
}

// Pos is the place of a byte offset as a curriculum carries it.
func (s *Source) Pos(offset int) curriculum.Pos {
	line, column := s.Position(offset)
	return curriculum.Pos{File: s.Name, Line: line, Column: column}
}

const byteOrderMark = "\ufeff"
