package history

import (
	"bytes"

	"example.com/rung/curriculum"
)

// string reads a text, blaming the field where the value is another kind of thing.
func (j *jsonLines) string(field, wants string) ([]byte, bool) {
	if j.s.peek() != '"' {
		return nil, j.s.wrongType(field, wants)
	}
	return j.s.text()
}

// nameInto reads a name; an empty text is a field that is not there.
func (j *jsonLines) nameInto(f field, to *string) bool {
	at := j.s.i
	// most lines say what the line before said: the same bytes, up to the closing quotation mark, are the same text
	if t := j.tokens[f]; len(t) > 0 && bytes.HasPrefix(j.s.b[at:], t) {
		j.s.i += len(t)
		*to = j.before[f]
		j.d.given.add(f)
		return true
	}
	b, ok := j.string(f.String(), "a text")
	if !ok {
		return false
	}
	if len(b) == 0 {
		return true
	}
	s, bad := j.names.name(b)
	if bad != "" {
		return j.s.fail(at, codeName, "%s %s: %s", f, bad, quoteShort(b))
	}
	j.before[f], *to = s, s
	j.tokens[f] = append(j.tokens[f][:0], j.s.b[at:j.s.i]...)
	j.d.given.add(f)
	return true
}

func (j *jsonLines) id(to *string) bool {
	at := j.s.i
	b, ok := j.string("id", "a text")
	if !ok {
		return false
	}
	for _, c := range b {
		if c <= ' ' || c >= 0x7f {
			if bad := badName(b); bad != "" {
				return j.s.fail(at, codeName, "id %s: %s", bad, quoteShort(b))
			}
			break
		}
	}
	*to = j.names.unique(b)
	return true
}

func (j *jsonLines) note(t *curriculum.Trial) bool {
	b, ok := j.string("note", "a text")
	if ok {
		t.Note = j.names.unique(b)
	}
	return ok
}

func (j *jsonLines) at(t *curriculum.Trial) bool {
	at := j.s.i
	b, ok := j.string("at", `a time such as "2026-03-02T17:10:05Z"`)
	if !ok {
		return false
	}
	var hint string
	if t.At, hint = j.clock.rfc3339(b); hint != "" {
		return j.s.fail(at, codeTime, "at cannot be read as a time, %s: %s", quoteShort(b), hint)
	}
	j.d.given.add(fAt)
	return true
}

func (j *jsonLines) outcome(t *curriculum.Trial) bool {
	at := j.s.i
	b, ok := j.string("outcome", "a text")
	if !ok {
		return false
	}
	var bad *slip
	if t.Outcome, bad = outcomeOf(b, at); bad != nil {
		j.s.bad = bad
		return false
	}
	j.d.given.add(fOutcome)
	return true
}

func (j *jsonLines) event() bool {
	at := j.s.i
	b, ok := j.string("event", "a text")
	if !ok {
		return false
	}
	var bad *slip
	if j.d.kind, bad = eventKind(b, at); bad != nil {
		j.s.bad = bad
		return false
	}
	j.d.given.add(fEvent)
	return true
}

// help reads a word or a list of words.
func (j *jsonLines) help(t *curriculum.Trial) bool {
	const wants = "a word or a list of words"
	s := &j.s
	switch s.peek() {
	case '"':
		at := s.i
		b, ok := s.text()
		if !ok || len(b) == 0 {
			return ok
		}
		return j.helpWord(t, b, at)
	case '[':
		return s.list(func() bool {
			at := s.i
			if s.peek() != '"' {
				return s.wrongType("help", wants)
			}
			b, ok := s.text()
			return ok && j.helpWord(t, b, at)
		})
	}
	return s.wrongType("help", wants)
}

func (j *jsonLines) helpWord(t *curriculum.Trial, b []byte, at int) bool {
	w, bad := j.names.name(b)
	if len(b) == 0 {
		bad = "is empty"
	}
	if bad != "" {
		return j.s.fail(at, codeName, "a help word %s: %s", bad, quoteShort(b))
	}
	t.Help = append(t.Help, w)
	j.d.given.add(fHelp)
	return true
}

func (j *jsonLines) truth(f field, to *bool) bool {
	switch j.s.peek() {
	case 't':
		*to = true
		j.d.given.add(f)
		return j.s.word("true")
	case 'f':
		// early or kept written out as false say nothing
		if f == fRewarded {
			j.d.given.add(f)
		}
		return j.s.word("false")
	}
	return j.s.wrongType(f.String(), "true or false")
}

// measure reads one member of measures.
func (j *jsonLines) measure(key []byte, at int) bool {
	name, bad := j.names.name(key)
	if len(key) == 0 {
		bad = "is empty"
	}
	if bad != "" {
		return j.s.fail(at, codeName, "a measure's name %s: %s", bad, quoteShort(key))
	}
	return j.measureInto(name)
}

func (j *jsonLines) measureInto(name string) bool {
	at := j.s.i
	if c := j.s.peek(); c != '-' && c-'0' > 9 {
		return j.s.wrongType(name, "a number")
	}
	v, ok := j.s.number()
	if !ok {
		return false
	}
	if bad := addMeasure(&j.e.Trial, name, v, at); bad != nil {
		j.s.bad = bad
		return false
	}
	return true
}

// levelValue reads one member of level.
func (j *jsonLines) levelValue(key []byte, at int) bool {
	of, bad := j.before[fLevel], ""
	if of != string(key) {
		of, bad = j.names.name(key)
	}
	if len(key) == 0 {
		bad = "is empty"
	}
	if bad != "" {
		return j.s.fail(at, codeName, "a ramp's name %s: %s", bad, quoteShort(key))
	}
	at = j.s.i
	if j.s.peek() != '"' {
		return j.s.wrongType("the level's "+of, `a text such as "30 deg"`)
	}
	b, ok := j.s.text()
	if !ok {
		return false
	}
	if slip := addLevel(&j.names, &j.e.Trial, of, b, at); slip != nil {
		j.s.bad = slip
		return false
	}
	j.before[fLevel] = of
	j.d.given.add(fLevel)
	return true
}
