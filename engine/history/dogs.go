package history

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
)

// maxProfiles limits a file of profiles: a profile is some hundred bytes, so more is another kind of file.
const maxProfiles = 16 << 20

// ReadDogs reads dogs' profiles: a JSON list of objects such as
//
//	{"dog":"okapi","born":"2025-12-20","weight_kg":4.2,"adult_weight_kg":11,"neutered":false,"daily_kcal":420,
//	 "avoid":["chicken"],"clearances":["hips"],"equipment":["platform"],"cues":["word","hand"],"notes":"...",
//	 "limits":{"minutes":5,"trials":20,"impact_a_day":8,"lively_celsius":16,"behaviours":{"pivot-left":{"never":true,"because":"...","trials":3,"level":{"turn":"90 deg"}}}}}
//
// Only dog is needed. Weights are from 0.05 (of an adult 0.5) to 150 kg, a day's energy from 10 to 10,000 kcal. Unknown
// fields are mentioned; a field that cannot be used, or whose name is plainly meant for one of these, makes the whole
// profile unusable, and it is not among the dogs: a plan made without a limit that somebody wrote down could hurt, so a
// caller should not plan while a report says Unusable. The error is for reading alone.
func ReadDogs(r io.Reader, source string) ([]curriculum.Dog, []engine.Report, error) {
	b, err := io.ReadAll(io.LimitReader(given(r), maxProfiles+1))
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", source, err)
	}
	p := profiles{sink: &sink{source: source}, first: map[string]int{}}
	switch {
	case len(b) > maxProfiles:
		p.unusable(0, 0, codeLong, "the file is longer than a file of profiles may be (16 MiB); nothing of it was read")
		return nil, p.all(), nil
	case notText(b) != "":
		p.unusable(1, 0, codeNotText, notText(b))
		return nil, p.all(), nil
	}
	p.s.reset(bytes.TrimPrefix(b, bom))
	p.read()
	return p.dogs, p.all(), nil
}

type profiles struct {
	*sink
	s     scanner
	names interner
	dogs  []curriculum.Dog
	first map[string]int // line of each dog's profile
	bad   bool           // the profile being read cannot be used
}

// read reads the whole list. After a fault in a field it goes on with the next one; after one in the JSON it cannot.
func (p *profiles) read() {
	s := &p.s
	s.space()
	if s.peek() != '[' {
		p.fault(s.i, codeJSON, "a file of profiles is a list of objects, in square brackets")
		return
	}
	ok := s.list(func() bool {
		if s.peek() != '{' {
			p.fault(s.i, codeType, "a profile is an object, in braces")
			return s.skip(0)
		}
		return p.profile()
	})
	if ok {
		if s.space(); s.i < len(s.b) {
			ok = s.fail(s.i, codeJSON, "nothing may follow the list")
		}
	}
	if !ok {
		p.fault(s.bad.at, s.bad.code, "%s; from here on the file was not read", s.bad.text)
	}
}

// fault reports something unusable at a byte offset.
func (p *profiles) fault(at int, code, format string, args ...any) {
	line, column := p.place(at)
	p.unusable(line, column, code, fmt.Sprintf(format, args...))
	p.bad = true
}

// place is the line and column of a byte offset.
func (p *profiles) place(at int) (line, column int) {
	before := p.s.b[:min(at, len(p.s.b))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte("\n")) + 1, columnOf(p.s.b[start:], at-start)
}

func (p *profiles) profile() bool {
	var d curriculum.Dog
	at := p.s.i
	p.bad = false
	if !p.members("", map[string]func(string) bool{
		"dog":             func(f string) bool { return p.name(f, &d.Name) },
		"born":            func(f string) bool { return p.date(f, &d.Born) },
		"weight_kg":       func(f string) bool { return p.within(f, &d.WeightKg, 0.05, 150, "kg") },
		"adult_weight_kg": func(f string) bool { return p.within(f, &d.AdultWeightKg, 0.5, 150, "kg") },
		"daily_kcal":      func(f string) bool { return p.within(f, &d.DailyKcal, 10, 10_000, "kcal") },
		"neutered": func(f string) bool {
			var yes bool
			ok := p.truth(f, &yes)
			d.Neutered = yesNo(yes)
			return ok
		},
		"avoid":      func(f string) bool { return p.words(f, &d.Avoid) },
		"clearances": func(f string) bool { return p.words(f, &d.Clearances) },
		"equipment":  func(f string) bool { return p.words(f, &d.Equipment) },
		"cues":       func(f string) bool { return p.words(f, &d.Cues) },
		"limits":     func(f string) bool { return p.limits(f, &d.Limits) },
		"notes":      func(f string) bool { return p.text(f, &d.Notes) },
	}) {
		return false
	}
	line, _ := p.place(at)
	switch first := p.first[d.Name]; {
	case p.bad:
	case d.Name == "":
		p.fault(at, codeProfile, "dog is missing: a profile needs the dog's name")
	case first != 0:
		p.fault(at, codeDogTwice, "%s has a profile already, on line %d", d.Name, first)
	default:
		p.first[d.Name] = line
		p.dogs = append(p.dogs, d)
	}
	return true
}

// members reads an object whose members are known. A fault in one of them is reported, and reading goes on behind it.
func (p *profiles) members(of string, known map[string]func(string) bool) bool {
	given := map[string]bool{}
	return p.s.object(func(key []byte, at int) bool {
		name := string(key)
		read := known[name]
		switch {
		case given[name]:
			p.fault(at, codeTwice, "%s is given twice", quoteShort(name))
			return p.s.skip(0)
		case read == nil:
			p.unknown(of, name, slices.Sorted(maps.Keys(known)), at)
			given[name] = true
			return p.s.skip(0)
		}
		given[name] = true
		if p.s.isNull() {
			return true
		}
		return read(name)
	})
}

// otherwise is what people call a field, or the curriculum's language does, that a profile calls something else.
var otherwise = map[string]string{"senses": "cues", "avoids": "avoid", "allergies": "avoid", "allergy": "avoid", "allergic": "avoid",
	"allergic_to": "avoid", "intolerances": "avoid", "name": "dog", "birthday": "born", "birth": "born", "weight": "weight_kg",
	"kg": "weight_kg", "adult_weight": "adult_weight_kg", "kcal": "daily_kcal", "limit": "limits"}

// unknown reports a field that there is not. One that is plainly meant for another bars the profile: a plan must not be
// made without the allergy that somebody wrote down.
func (p *profiles) unknown(of, name string, known []string, at int) {
	what, meant := "a dog's profile has", otherwise[name]
	if of != "" {
		what, meant = "the limits of a profile have", ""
	}
	hint := didYouMean(name, known)
	if meant != "" {
		hint = fmt.Sprintf("; is %q meant?", meant)
	}
	text := fmt.Sprintf("%s no field %s%s", what, quoteShort(name), hint)
	if hint != "" {
		p.fault(at, codeUnknown, "%s", text)
		return
	}
	line, column := p.place(at)
	p.mention(line, column, codeUnknown, text)
}

// wrong reports a value of another kind than the field wants, and passes over it.
func (p *profiles) wrong(field, wants string) bool {
	if p.s.wrongType(field, wants) || p.s.bad.code != codeType {
		return false
	}
	p.fault(p.s.bad.at, codeType, "%s", p.s.bad.text)
	p.s.bad = nil
	return true
}

func (p *profiles) text(field string, to *string) bool {
	if p.s.peek() != '"' {
		return p.wrong(field, "a text")
	}
	b, ok := p.s.text()
	*to = string(b)
	return ok
}

func (p *profiles) name(field string, to *string) bool {
	at := p.s.i
	if !p.text(field, to) {
		return false
	}
	if bad := badName([]byte(*to)); bad != "" {
		p.fault(at, codeName, "%s %s", field, bad)
	}
	return true
}

func (p *profiles) date(field string, to *time.Time) bool {
	at, text := p.s.i, ""
	if !p.text(field, &text) {
		return false
	}
	if y, m, d, ok := date([]byte(text)); ok && len(text) == 10 {
		*to = time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	} else if text != "" {
		p.fault(at, codeTime, "%s is a date written as 2025-12-20, not %s", field, quoteShort(text))
	}
	return true
}

func (p *profiles) truth(field string, to *bool) bool {
	switch p.s.peek() {
	case 't':
		*to = true
		return p.s.word("true")
	case 'f':
		*to = false
		return p.s.word("false")
	}
	return p.wrong(field, "true or false")
}

// positive reads a number above nought.
func (p *profiles) positive(field string, to *float64) bool {
	at := p.s.i
	if c := p.s.peek(); c != '-' && c-'0' > 9 {
		return p.wrong(field, "a number")
	}
	v, ok := p.s.number()
	switch {
	case !ok:
		return false
	case v <= 0:
		p.fault(at, codeNumber, "%s is a number above nought", field)
	}
	*to = v
	return true
}

// within reads a number that no dog lies outside of: a slip such as grams for kilograms would loosen what a day may hold.
func (p *profiles) within(field string, to *float64, least, most float64, unit string) bool {
	at := p.s.i
	if !p.positive(field, to) {
		return false
	}
	if *to > 0 && (*to < least || *to > most) {
		p.fault(at, codeNumber, "%s is %v, and no dog's is below %v or above %v; write it in %s", field, *to, least, most, unit)
	}
	return true
}

// count reads a whole number above nought.
func (p *profiles) count(field string, to *int) bool {
	at := p.s.i
	var v float64
	if !p.positive(field, &v) {
		return false
	}
	if v != math.Trunc(v) || v > 1e6 {
		p.fault(at, codeNumber, "%s is a whole number", field)
		return true
	}
	*to = int(v)
	return true
}

func (p *profiles) words(field string, to *[]string) bool {
	const wants = "a list of texts"
	if p.s.peek() != '[' {
		return p.wrong(field, wants)
	}
	return p.s.list(func() bool {
		if p.s.peek() != '"' {
			return p.wrong(field, wants)
		}
		var w string
		at := p.s.i
		if !p.name(field, &w) {
			return false
		}
		if w == "" {
			p.fault(at, codeName, "%s holds an empty text", field)
		}
		*to = append(*to, w)
		return true
	})
}

func (p *profiles) limits(field string, to *curriculum.Limits) bool {
	if p.s.peek() != '{' {
		return p.wrong(field, "an object")
	}
	return p.members(field, map[string]func(string) bool{
		"minutes":        func(f string) bool { return p.positive(f, &to.Minutes) },
		"trials":         func(f string) bool { return p.count(f, &to.Trials) },
		"impact_a_day":   func(f string) bool { return p.count(f, &to.ImpactADay) },
		"lively_celsius": func(f string) bool { return p.count(f, &to.LivelyUpTo) },
		"behaviours": func(f string) bool {
			if p.s.peek() != '{' {
				return p.wrong(f, `an object such as {"pivot-left":{"trials":3}}`)
			}
			to.Behaviours = map[string]curriculum.BehaviourLimits{}
			return p.s.object(func(key []byte, at int) bool {
				name := string(key)
				if _, twice := to.Behaviours[name]; twice {
					p.fault(at, codeTwice, "the limits name %s twice", quoteShort(name))
				}
				var l curriculum.BehaviourLimits
				ok := p.behaviourLimits(name, &l)
				to.Behaviours[name] = l
				return ok
			})
		},
	})
}

func (p *profiles) behaviourLimits(name string, to *curriculum.BehaviourLimits) bool {
	if p.s.peek() != '{' {
		return p.wrong("the limit of "+name, "an object")
	}
	return p.members(name, map[string]func(string) bool{
		"never":   func(f string) bool { return p.truth(f, &to.Never) },
		"because": func(f string) bool { return p.text(f, &to.Because) },
		"trials":  func(f string) bool { return p.count(f, &to.Trials) },
		"level": func(f string) bool {
			if p.s.peek() != '{' {
				return p.wrong(f, `an object such as {"turn":"90 deg"}`)
			}
			var t curriculum.Trial
			ok := p.s.object(func(key []byte, at int) bool {
				of, value := string(key), ""
				from := p.s.i
				if !p.text("the level's "+of, &value) {
					return false
				}
				if p.bad {
					return true
				}
				if slip := addLevel(&p.names, &t, of, []byte(value), from); slip != nil {
					p.fault(slip.at, slip.code, "%s", slip.text)
				}
				return true
			})
			to.Level = t.Level
			return ok
		},
	})
}
