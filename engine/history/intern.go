package history

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// interner gives one string to all the times a name is met, so that a line costs no allocation. It forgets what it knows
// when it has met very many names, so that memory stays flat.
type interner struct {
	names  map[string]string
	levels map[string]curriculum.LevelValue
	key    []byte
	last   struct { // the level read last: most lines say the same again
		of, text string
		value    curriculum.LevelValue
	}
	slab strings.Builder
}

const maxInterned = 1 << 16

// name is b as a string. bad says why b is no name, for the message.
func (n *interner) name(b []byte) (s, bad string) {
	if s, ok := n.names[string(b)]; ok {
		return s, ""
	}
	if bad = badName(b); bad != "" {
		return "", bad
	}
	if n.names == nil || len(n.names) >= maxInterned {
		n.names = make(map[string]string, 64)
	}
	s = string(b)
	n.names[s] = s
	return s, ""
}

// badName says why b is no name: it would look like another in every list.
func badName(b []byte) string {
	for i := 0; i < len(b); {
		r, w := utf8.DecodeRune(b[i:])
		if unicode.IsControl(r) {
			return "holds a control character"
		}
		if unicode.IsSpace(r) && (i == 0 || i+w == len(b)) {
			return "begins or ends with white space"
		}
		i += w
	}
	return ""
}

// unique is b as a string that is not expected again, such as an id. Strings of this kind share blocks of 1 KiB, which
// makes one allocation of about a hundred and holds at most that much for one id kept by somebody.
func (n *interner) unique(b []byte) string {
	if len(b) > 256 {
		return string(b)
	}
	if n.slab.Cap()-n.slab.Len() < len(b) {
		n.slab = strings.Builder{}
		n.slab.Grow(1024)
	}
	at := n.slab.Len()
	n.slab.Write(b)
	return n.slab.String()[at:]
}

// level is a ramp's value from its text.
func (n *interner) level(of string, text []byte) (curriculum.LevelValue, bool) {
	if n.last.text == string(text) && n.last.of == of {
		return n.last.value, len(text) > 0
	}
	n.key = append(append(append(n.key[:0], of...), 0), text...)
	if v, ok := n.levels[string(n.key)]; ok {
		n.last.of, n.last.text, n.last.value = of, string(text), v
		return v, true
	}
	v, ok := curriculum.ParseLevelValue(of, string(text))
	if !ok {
		return v, false
	}
	if n.levels == nil || len(n.levels) >= maxInterned {
		n.levels = make(map[string]curriculum.LevelValue, 64)
	}
	n.levels[string(n.key)] = v
	return v, true
}
