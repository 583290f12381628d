package history

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"
	"unicode/utf8"

	"example.com/rung/curriculum"
)

// WriteJSONL writes entries as JSON Lines. This format holds everything.
func WriteJSONL(w io.Writer, entries []curriculum.Entry) error {
	out := bufio.NewWriter(w)
	var b []byte
	var err error
	for i := range entries {
		if b, err = AppendJSON(b[:0], &entries[i]); err != nil {
			return fmt.Errorf("entry %d: %w", i+1, err)
		}
		b = append(b, '\n')
		if _, err := out.Write(b); err != nil {
			return err
		}
	}
	return out.Flush()
}

// AppendJSON appends one entry as a JSON object without a line's end. It fails for what JSON or a time stamp cannot
// hold: numbers that are not finite, years of more than four digits, offsets with seconds.
func AppendJSON(b []byte, e *curriculum.Entry) ([]byte, error) {
	if e == nil {
		return b, errors.New("there is no entry to write")
	}
	at, err := timeText(e.At())
	if err != nil {
		return b, err
	}
	o := object{b: append(b, '{')}
	if e.IsEvent {
		v := &e.Event
		o.texts(text{"id", v.ID}, text{"dog", v.Dog}, text{"behaviour", v.Behaviour}, text{"at", at}, text{"event", string(v.Kind)},
			text{"session", v.Session}, text{"sign", v.Sign}, text{"step", v.Step})
		o.level(v.Level)
		o.truth("kept", v.Kept)
		o.texts(text{"by", v.By}, text{"note", v.Note})
		return append(o.b, '}'), nil
	}
	t := &e.Trial
	o.texts(text{"id", t.ID}, text{"dog", t.Dog}, text{"behaviour", t.Behaviour}, text{"at", at}, text{"session", t.Session},
		text{"place", t.Place}, text{"handler", t.Handler}, text{"outcome", t.Outcome.String()})
	o.help(t.Help)
	o.truth("early", t.Early)
	if err := o.measures(t.Measures); err != nil {
		return b, err
	}
	o.texts(text{"step", t.Step})
	o.level(t.Level)
	if t.Rewarded != curriculum.NotSaid {
		o.key("rewarded")
		o.b = strconv.AppendBool(o.b, t.Rewarded == curriculum.Yes)
	}
	o.texts(text{"failed", t.Failed}, text{"note", t.Note})
	return append(o.b, '}'), nil
}

// timeText is a time as RFC 3339 with its own offset.
func timeText(t time.Time) (string, error) {
	if _, offset := t.Zone(); offset%60 != 0 {
		return "", fmt.Errorf("the offset of %v has seconds, which a time stamp cannot hold", t)
	}
	if y := t.Year(); y < 0 || y > 9999 {
		return "", fmt.Errorf("the year %d has not four digits", y)
	}
	return t.Format(time.RFC3339Nano), nil
}

type text struct{ key, value string }

// object appends members to a JSON object.
type object struct{ b []byte }

func (o *object) key(k string) {
	if o.b[len(o.b)-1] != '{' {
		o.b = append(o.b, ',')
	}
	o.b = append(appendJSONText(o.b, k), ':')
}

// texts writes those that are not empty.
func (o *object) texts(ts ...text) {
	for _, t := range ts {
		if t.value != "" {
			o.key(t.key)
			o.b = appendJSONText(o.b, t.value)
		}
	}
}

func (o *object) truth(k string, yes bool) {
	if yes {
		o.key(k)
		o.b = append(o.b, "true"...)
	}
}

func (o *object) help(words []string) {
	switch len(words) {
	case 0:
	case 1:
		o.texts(text{"help", words[0]})
	default:
		o.key("help")
		o.b = append(o.b, '[')
		for i, w := range words {
			if i > 0 {
				o.b = append(o.b, ',')
			}
			o.b = appendJSONText(o.b, w)
		}
		o.b = append(o.b, ']')
	}
}

// measures writes latency, duration and distance as fields of their own, the others under measures.
func (o *object) measures(ms []curriculum.MeasureValue) error {
	inner := object{}
	for _, m := range ms {
		to := o
		switch m.Name {
		case "latency", "duration", "distance":
		default:
			if inner.b == nil {
				inner.b = []byte{'{'}
			}
			to = &inner
		}
		if math.IsNaN(m.Value) || math.IsInf(m.Value, 0) {
			return fmt.Errorf("the measure %s is not finite", m.Name)
		}
		to.key(m.Name)
		to.b = appendNumber(to.b, m.Value)
	}
	if inner.b != nil {
		o.key("measures")
		o.b = append(append(o.b, inner.b...), '}')
	}
	return nil
}

func (o *object) level(l curriculum.LevelRef) {
	if len(l) == 0 {
		return
	}
	inner := object{b: []byte{'{'}}
	for _, v := range l {
		inner.texts(text{v.Of, v.LevelValue.String()})
	}
	o.key("level")
	o.b = append(append(o.b, inner.b...), '}')
}

// appendNumber is the shortest decimal that reads back as v.
func appendNumber(b []byte, v float64) []byte {
	form := byte('f')
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e21) {
		form = 'e'
	}
	return strconv.AppendFloat(b, v, form, -1, 64)
}

// appendJSONText appends a text with as few escapes as JSON allows. What is not UTF-8 becomes U+FFFD.
func appendJSONText(b []byte, s string) []byte {
	const hex = "0123456789abcdef"
	b = append(b, '"')
	for i := 0; i < len(s); {
		c := s[i]
		switch {
		case c == '"' || c == '\\':
			b = append(b, '\\', c)
		case c == '\n':
			b = append(b, `\n`...)
		case c == '\r':
			b = append(b, `\r`...)
		case c == '\t':
			b = append(b, `\t`...)
		case c < ' ':
			b = append(b, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		case c < utf8.RuneSelf:
			b = append(b, c)
		default:
			r, n := utf8.DecodeRuneInString(s[i:])
			b = utf8.AppendRune(b, r)
			i += n
			continue
		}
		i++
	}
	return append(b, '"')
}
