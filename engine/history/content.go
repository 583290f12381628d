package history

import (
	"encoding/binary"
	"math"
	"time"

	"example.com/rung/curriculum"
)

// appendContent appends all that a line says but its id and where it was read, in a form of our own that is only ever
// compared or digested. Each text ends in a nought byte, each list begins with its length.
func appendContent(b []byte, e *curriculum.Entry) []byte {
	if e.IsEvent {
		v := &e.Event
		b = append(b, 'e')
		b = appendTexts(b, v.Dog, v.Behaviour, string(v.Kind), v.Session, v.Sign, v.Step, v.By, v.Note)
		b = appendTime(b, v.At)
		b = append(b, truthByte(v.Kept))
		return appendLevel(b, v.Level)
	}
	t := &e.Trial
	b = append(b, 't')
	b = appendTexts(b, t.Dog, t.Behaviour, t.Session, t.Place, t.Handler, t.Step, t.Failed, t.Note)
	b = appendTime(b, t.At)
	b = append(b, byte(t.Outcome), truthByte(t.Early), byte(t.Rewarded), byte(len(t.Help)))
	for _, h := range t.Help {
		b = appendTexts(b, h)
	}
	b = append(b, byte(len(t.Measures)))
	for _, m := range t.Measures {
		b = appendTexts(b, m.Name)
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(m.Value))
	}
	return appendLevel(b, t.Level)
}

func appendTexts(b []byte, texts ...string) []byte {
	for _, t := range texts {
		b = append(append(b, t...), 0)
	}
	return b
}

// appendTime keeps the offset too: it decides the day.
func appendTime(b []byte, t time.Time) []byte {
	_, offset := t.Zone()
	b = binary.LittleEndian.AppendUint64(b, uint64(t.Unix()))
	b = binary.LittleEndian.AppendUint32(b, uint32(t.Nanosecond()))
	return binary.LittleEndian.AppendUint32(b, uint32(offset))
}

func appendLevel(b []byte, l curriculum.LevelRef) []byte {
	b = append(b, byte(len(l)))
	for i := range l {
		v := &l[i]
		b = appendTexts(b, v.Of, v.Name, string(v.Quantity.Unit))
		b = binary.LittleEndian.AppendUint64(b, uint64(v.Quantity.Num))
		b = binary.LittleEndian.AppendUint64(b, uint64(v.Quantity.Den))
		if v.Thin != nil {
			b = appendTexts(b, v.Thin.String())
		}
	}
	return b
}

func truthByte(yes bool) byte {
	if yes {
		return 1
	}
	return 0
}
