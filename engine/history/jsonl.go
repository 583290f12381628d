package history

import (
	"bytes"
	"io"
	"strings"

	"example.com/rung/curriculum"
)

// jsonLines reads one JSON object a line. Unknown fields are mentioned once a source; everything else that is not as it
// should be makes the line unusable. null stands for a field that is not there.
type jsonLines struct {
	*sink
	in    *lines
	s     scanner
	names interner
	clock clock

	e       *curriculum.Entry // what the line goes into
	d       draft
	seen    fields          // by name, also those that are null
	before  [fBy + 1]string // each field's name on the line read last that had one
	tokens  [fBy + 1][]byte // and the bytes it was written in, quotation marks and all
	after   [fBy + 1]field  // the field that came behind each the last time
	line    int
	unknown []unknownKey           // names met on this line that are no fields
	onLevel func([]byte, int) bool // made once, so that a line does not allocate
	onMeas  func([]byte, int) bool
}

func newJSONLines(k *sink, in *lines) *jsonLines {
	j := &jsonLines{sink: k, in: in}
	j.onLevel, j.onMeas = j.levelValue, j.measure
	return j
}

func (j *jsonLines) next(e *curriculum.Entry) error {
	for {
		b, long, ok := j.in.next()
		if !ok {
			return j.in.err
		}
		if long {
			if err := j.tooLong(j.in.line); err != nil {
				return err
			}
			continue
		}
		if len(bytes.TrimSpace(b)) == 0 {
			continue
		}
		bad := j.decode(b, j.in.line, e)
		if bad == nil {
			return nil
		}
		if err := j.unusable(j.in.line, columnOf(b, bad.at), bad.code, bad.text); err != nil {
			return err
		}
	}
}

// decode reads one line into e.
func (j *jsonLines) decode(b []byte, line int, e *curriculum.Entry) *slip {
	s := &j.s
	s.reset(b)
	blank(e)
	j.e, j.d, j.seen, j.line, j.unknown = e, draft{}, 0, line, j.unknown[:0]
	s.space()
	switch s.peek() {
	case '{':
	case '[':
		return slipf(s.i, codeJSON, "a history is one JSON object a line, without a list around them")
	default:
		return slipf(s.i, codeJSON, "a line is one JSON object, in braces")
	}
	if !j.members() {
		return s.bad
	}
	if s.space(); s.i < len(b) {
		return slipf(s.i, codeJSON, "nothing may follow the object on its line; is a line break missing?")
	}
	bad := j.d.finish(j.sink, line, e)
	for _, k := range j.unknown {
		if bad == nil {
			j.mentionUnknown(line, columnOf(b, k.at), k.name)
		} else if lacks, is := strings.CutSuffix(bad.text, " is missing"); is && nearest(k.name, []string{lacks}) != "" {
			// one slip, one report
			return slipf(k.at, codeMissing, "%s is missing; is %s meant for it?", lacks, quoteShort(k.name))
		}
	}
	return bad
}

// unknownKey is a name on the line that is no field, and its place.
type unknownKey struct {
	name string
	at   int
}

// blank empties an entry but keeps its slices' room. An event that is empty already (each has a dog) is not written to:
// where another processor has it in its cache, that would cost more than all the rest.
func blank(e *curriculum.Entry) {
	if e.IsEvent || e.Event.Dog != "" {
		e.IsEvent, e.Event = false, curriculum.Event{}
	}
	t := &e.Trial
	*t = curriculum.Trial{Help: t.Help[:0], Measures: t.Measures[:0], Level: t.Level[:0]}
}

// keyTexts are the fields' names as they usually stand in a line.
var keyTexts = func() (t [fBy + 1]string) {
	for f := range t {
		t[f] = `"` + fieldNames[f] + `":`
	}
	return t
}()

// members reads the line's object. It differs from scanner.object in guessing, from the line before, which key comes
// next: where the very bytes are there, they need not be read as a text.
func (j *jsonLines) members() bool {
	s := &j.s
	s.i++
	if s.space(); s.peek() == '}' {
		s.i++
		return true
	}
	last := fNone
	for {
		at := s.i
		f := j.after[last]
		if k := keyTexts[f]; f != fNone && len(s.b)-at >= len(k) && string(s.b[at:at+len(k)]) == k {
			s.i += len(k)
			if s.space(); !j.field(f, at) {
				return false
			}
		} else {
			if c := s.peek(); c-'0' <= 9 && last != fNone {
				return s.fail(at, codeJSON, "a field's name is expected here; if a decimal is meant, it has a point, 1.4")
			}
			key, ok := s.text()
			if !ok {
				return false
			}
			if s.space(); !s.want(':', "a colon") {
				return false
			}
			s.space()
			if f = fieldOf(key); f != fNone {
				j.after[last] = f
				ok = j.field(f, at)
			} else {
				ok = j.unknownField(key, at)
			}
			if !ok {
				return false
			}
		}
		last = f
		if s.space(); s.peek() != ',' {
			return s.want('}', "a comma or }")
		}
		s.i++
		s.space()
	}
}

// field reads the value of one field, whose key stands at at.
func (j *jsonLines) field(f field, at int) bool {
	s := &j.s
	if j.seen.has(f) {
		return s.fail(at, codeTwice, "%s is given twice", f)
	}
	j.seen.add(f)
	if s.isNull() {
		return true
	}
	t := &j.e.Trial
	switch f {
	case fID:
		return j.id(&t.ID)
	case fDog:
		return j.nameInto(f, &t.Dog)
	case fBehaviour:
		return j.nameInto(f, &t.Behaviour)
	case fAt:
		return j.at(t)
	case fSession:
		return j.nameInto(f, &t.Session)
	case fPlace:
		return j.nameInto(f, &t.Place)
	case fHandler:
		return j.nameInto(f, &t.Handler)
	case fOutcome:
		return j.outcome(t)
	case fHelp:
		return j.help(t)
	case fEarly:
		return j.truth(f, &t.Early)
	case fLatency, fDuration, fDistance:
		j.d.given.add(f)
		return j.measureInto(f.String())
	case fMeasures:
		j.d.given.add(f)
		if s.peek() != '{' {
			return s.wrongType("measures", `an object such as {"turn":90}`)
		}
		return s.object(j.onMeas)
	case fStep:
		return j.nameInto(f, &t.Step)
	case fLevel:
		if s.peek() != '{' {
			return s.wrongType("level", `an object such as {"turn":"30 deg"}`)
		}
		return s.object(j.onLevel)
	case fRewarded:
		var yes bool
		if !j.truth(f, &yes) {
			return false
		}
		t.Rewarded = yesNo(yes)
		return true
	case fFailed:
		return j.nameInto(f, &t.Failed)
	case fNote:
		return j.note(t)
	case fEvent:
		return j.event()
	case fSign:
		return j.nameInto(f, &j.d.sign)
	case fKept:
		return j.truth(f, &j.d.kept)
	default: // fBy, the last there is
		return j.nameInto(f, &j.d.by)
	}
}

func yesNo(yes bool) curriculum.YesNo {
	if yes {
		return curriculum.Yes
	}
	return curriculum.No
}

// unknownField mentions a field that a history does not have and passes over its value.
func (j *jsonLines) unknownField(key []byte, at int) bool {
	for _, k := range j.unknown {
		if k.name == string(key) {
			return j.s.fail(at, codeTwice, "%s is given twice", quoteShort(key))
		}
	}
	j.unknown = append(j.unknown, unknownKey{string(key), at})
	return j.s.skip(1)
}

// mentionUnknown says once a source that a name is no field.
func (k *sink) mentionUnknown(line, column int, name string) {
	hint := didYouMean(name, fieldNames[1:])
	if hint == "" {
		hint = "; a number measured in a trial goes into measures"
	}
	k.mentionOnce("unknown "+name, line, column, codeUnknown, "a history has no field "+quoteShort(name)+hint)
}

// tooLong reports a line beyond the limit.
func (k *sink) tooLong(line int) error {
	return k.unusable(line, 0, codeLong, "the line is longer than a history's line may be, and was passed over")
}

// stop reports what ends a source early and is the end.
func (k *sink) stop(line int, code, text string) error {
	if err := k.unusable(line, 0, code, text); err != nil {
		return err
	}
	return io.EOF
}
