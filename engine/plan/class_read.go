package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// ClassFault is one thing that is wrong in a class file, with its place: line and column from 1.
type ClassFault struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Text   string `json:"text"`
}

// ClassFileError is a class file that cannot be used: all that is wrong in it, in the order of the file.
type ClassFileError struct{ Faults []ClassFault }

// Error is the faults, one a line.
func (e *ClassFileError) Error() string {
	var lines []string
	for _, f := range e.Faults {
		lines = append(lines, fmt.Sprintf("line %d, column %d: %s", f.Line, f.Column, f.Text))
	}
	return strings.Join(lines, "\n")
}

// maxClassFile bounds a class file, in bytes; a class is some hundred.
const maxClassFile = 1 << 20

// ReadClass reads a class day from JSON:
//
//	{"at": "2026-04-21T18:00:00+02:00", "turns": 6, "minutes": 4, "change": 2,
//	 "stations": [{"station": "mats", "place": "room-a", "equipment": ["mat"]}, {"station": "yard", "place": "yard", "celsius": 19}],
//	 "dogs": ["okapi", {"dog": "bisk", "handler": "owner", "turns": 3}],
//	 "apart": [["okapi", "bisk"]], "equipment": {"platform": 1}}
//
// What is wrong comes back as a *ClassFileError; any other error is one of reading.
func ReadClass(r io.Reader) (Class, error) {
	if r == nil {
		return Class{}, errors.New("there is no class file to read")
	}
	b, err := io.ReadAll(io.LimitReader(r, maxClassFile+1))
	if err != nil {
		return Class{}, err
	}
	c := classReader{b: b, dec: json.NewDecoder(bytes.NewReader(b))}
	c.dec.UseNumber() // one that is too large is a fault like any other
	if len(b) > maxClassFile {
		c.fault(0, "the file is longer than a class day may be (1 MiB)")
	} else {
		c.file()
	}
	if len(c.faults) > 0 {
		return Class{}, &ClassFileError{c.faults}
	}
	var class Class
	if err := json.Unmarshal(b, &class); err != nil {
		return Class{}, err
	}
	return class, nil
}

// shape is what a value of a class file looks like.
type shape struct {
	wants  string // in words, as in "turns must be ..."
	fits   func(json.Token) bool
	whose  string // of an object: "a station"
	fields map[string]*shape
	each   *shape // of a list, or of an object whose names are free
	free   bool
}

var (
	aText     = &shape{wants: `a text in quotation marks`, fits: func(t json.Token) bool { _, ok := t.(string); return ok }}
	aMoment   = &shape{wants: `a time with its offset, such as "2026-04-21T18:00:00+02:00"`, fits: isMoment}
	aNumber   = &shape{wants: "a number, nought or more", fits: func(t json.Token) bool { v, ok := numberOf(t); return ok && v >= 0 }}
	aCount    = &shape{wants: "a whole number, nought or more", fits: isCount}
	degrees   = &shape{wants: "degrees Celsius, -60 to 60", fits: func(t json.Token) bool { v, ok := numberOf(t); return ok && v >= -60 && v <= 60 }}
	someNames = &shape{wants: `a list of names, such as ["mat"]`, each: aText}

	aStation = &shape{wants: `an object such as {"station": "mats", "place": "room-a"}`, whose: "a station",
		fields: map[string]*shape{"station": aText, "place": aText, "dogs": aCount, "equipment": someNames, "celsius": degrees}}
	aDog = &shape{wants: `a name, or an object such as {"dog": "okapi", "turns": 2}`, fits: aText.fits, whose: "a dog",
		fields: map[string]*shape{"dog": aText, "handler": aText, "turns": aCount}}
	aClass = &shape{wants: "an object, in braces", whose: "a class day", fields: map[string]*shape{
		"at": aMoment, "turns": aCount, "minutes": aNumber, "change": aNumber,
		"stations":  {wants: "a list of stations, in square brackets", each: aStation},
		"dogs":      {wants: "a list of dogs, in square brackets", each: aDog},
		"apart":     {wants: `a list of groups, such as [["okapi", "bisk"]]`, each: &shape{wants: `a group of dogs, such as ["okapi", "bisk"]`, each: aText}},
		"equipment": {wants: `an object such as {"platform": 1}`, each: aCount, free: true},
	}}
)

func isMoment(t json.Token) bool {
	s, ok := t.(string)
	if ok {
		_, err := time.Parse(time.RFC3339, s)
		ok = err == nil
	}
	return ok
}

func isCount(t json.Token) bool {
	v, ok := numberOf(t)
	return ok && v >= 0 && v <= 1e6 && v == math.Trunc(v)
}

func numberOf(t json.Token) (float64, bool) {
	n, ok := t.(json.Number)
	if !ok {
		return 0, false
	}
	v, err := n.Float64()
	return v, err == nil
}

// classReader walks through a file and gathers what is wrong.
type classReader struct {
	b      []byte
	dec    *json.Decoder
	faults []ClassFault
}

func (c *classReader) fault(at int, format string, args ...any) {
	before := c.b[:min(at, len(c.b))]
	start := bytes.LastIndexByte(before, '\n') + 1
	c.faults = append(c.faults, ClassFault{bytes.Count(before, []byte("\n")) + 1, utf8.RuneCount(before[start:]) + 1, fmt.Sprintf(format, args...)})
}

// start is where the next token begins.
func (c *classReader) start() int {
	at := int(c.dec.InputOffset())
	for at < len(c.b) && strings.IndexByte(" \t\r\n,:", c.b[at]) >= 0 {
		at++
	}
	return at
}

func (c *classReader) file() {
	if !c.value("the file", aClass, false) {
		return
	}
	if at := c.start(); at < len(c.b) {
		c.fault(at, "nothing may follow the class day")
	}
}

// token is the next token; ok is false where the JSON breaks off, which is then said.
func (c *classReader) token() (t json.Token, at int, ok bool) {
	at = c.start()
	t, err := c.dec.Token()
	if err == nil {
		return t, at, true
	}
	var bad *json.SyntaxError
	switch {
	case len(bytes.TrimSpace(c.b)) == 0:
		c.fault(0, "the file is empty")
	case errors.As(err, &bad) && int(bad.Offset) < len(c.b):
		c.fault(max(int(bad.Offset)-1, 0), "the JSON breaks here: a comma, a quotation mark or a bracket is missing or too many, here or just before")
	default:
		c.fault(len(c.b), "the file ends too early: a bracket or a quotation mark is still open")
	}
	return nil, at, false
}

// value reads one value of a name; false where the JSON breaks off. What may be missing may be null as well.
func (c *classReader) value(name string, s *shape, mayMiss bool) bool {
	t, at, ok := c.token()
	if !ok {
		return false
	}
	d, opens := t.(json.Delim)
	switch {
	case opens && d == '{' && s.fields != nil:
		return c.object(s)
	case opens && (d == '[' && s.each != nil && !s.free || d == '{' && s.free):
		return c.all(name, s)
	case mayMiss && t == nil:
		return true
	case !opens && s.fits != nil && s.fits(t):
		return true
	}
	c.fault(at, "%s must be %s", name, s.wants)
	return !opens || c.skip()
}

// object reads the members of an object behind its brace.
func (c *classReader) object(s *shape) bool {
	var given []string
	for c.dec.More() {
		t, at, ok := c.token()
		if !ok {
			return false
		}
		name, _ := t.(string)
		field := s.fields[name]
		switch {
		case slices.Contains(given, name):
			c.fault(at, "%q is given twice", name)
			field = nil
		case field == nil:
			c.fault(at, "%s has no field %q%s", s.whose, name, s.instead(name))
		}
		given = append(given, name)
		if field == nil {
			ok = c.any()
		} else {
			ok = c.value(name, field, true)
		}
		if !ok {
			return false
		}
	}
	_, _, ok := c.token()
	return ok
}

// instead names the field that was probably meant, or all there are.
func (s *shape) instead(name string) string {
	var known []string
	for f := range s.fields {
		known = append(known, f)
	}
	slices.Sort(known)
	if near := curriculum.Nearest(name, known); near != "" {
		return "; did you mean " + near + "?"
	}
	return "; it has " + list(known)
}

// all reads the values of a list, or of an object whose names are free.
func (c *classReader) all(name string, s *shape) bool {
	for c.dec.More() {
		of := "each of " + name
		if s.free {
			t, _, ok := c.token()
			if !ok {
				return false
			}
			of = fmt.Sprintf("the number of %v", t)
		}
		if !c.value(of, s.each, false) {
			return false
		}
	}
	_, _, ok := c.token()
	return ok
}

// any passes over one value.
func (c *classReader) any() bool {
	t, _, ok := c.token()
	if _, opens := t.(json.Delim); opens && ok {
		return c.skip()
	}
	return ok
}

// skip passes over the rest of an object or list.
func (c *classReader) skip() bool {
	for depth := 1; depth > 0; {
		t, _, ok := c.token()
		if !ok {
			return false
		}
		switch t {
		case json.Delim('{'), json.Delim('['):
			depth++
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
	}
	return true
}
