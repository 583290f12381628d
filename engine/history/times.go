package history

import "time"

// clock reads times and keeps the offsets it has met, so that a line costs no allocation.
type clock struct {
	zones map[int]*time.Location
	day   [10]byte // the date read last, and its midnight in UTC
	unix  int64
}

// zone is the location of an offset in seconds; UTC for nought.
func (c *clock) zone(offset int) *time.Location {
	if offset == 0 {
		return time.UTC
	}
	z := c.zones[offset]
	if z == nil {
		if c.zones == nil {
			c.zones = map[int]*time.Location{}
		}
		z = time.FixedZone("", offset)
		c.zones[offset] = z
	}
	return z
}

// rfc3339 reads 2026-03-02T17:10:05Z, with or without a fraction, with an offset. hint says what is wrong.
func (c *clock) rfc3339(b []byte) (t time.Time, hint string) {
	if len(b) < 10 {
		return t, "a time is written as 2026-03-02T17:10:05Z"
	}
	if [10]byte(b) != c.day {
		y, mo, d, ok := date(b)
		if !ok {
			return t, "there is no such date; write it as 2026-03-02"
		}
		c.unix = time.Date(y, time.Month(mo), d, 0, 0, 0, 0, time.UTC).Unix()
		c.day = [10]byte(b)
	}
	if len(b) == 10 {
		return t, "the time of day is missing, as in 2026-03-02T17:10:05Z"
	}
	if b[10] != 'T' && b[10] != 't' {
		return t, "a T stands between date and time, as in 2026-03-02T17:10:05Z"
	}
	b = b[11:]
	if len(b) < 8 || b[2] != ':' || b[5] != ':' {
		return t, "hours, minutes and seconds are written as 17:10:05"
	}
	h, m, s := two(b), two(b[3:]), two(b[6:])
	if h < 0 || h > 23 || m < 0 || m > 59 || s < 0 || s > 59 {
		return t, "there is no such time of day"
	}
	b = b[8:]
	nanos := int64(0)
	if len(b) > 0 && b[0] == '.' {
		n := 1
		for scale := int64(100_000_000); n < len(b) && b[n]-'0' <= 9; n++ {
			nanos += int64(b[n]-'0') * scale // digits beyond the ninth count for nothing
			scale /= 10
		}
		if n == 1 {
			return t, "digits are missing behind the point"
		}
		b = b[n:]
	}
	offset, ok := parseOffset(b)
	if !ok {
		return t, "the time zone's offset is missing or broken: end with Z or with +01:00"
	}
	sec := c.unix + int64(h*3600+m*60+s-offset)
	return time.Unix(sec, nanos).In(c.zone(offset)), ""
}

// parseOffset reads Z, +01:00 or -03:30 as seconds east of UTC.
func parseOffset(b []byte) (int, bool) {
	if len(b) == 1 && b[0]|0x20 == 'z' {
		return 0, true
	}
	if len(b) != 6 || b[0] != '+' && b[0] != '-' || b[3] != ':' {
		return 0, false
	}
	h, m := two(b[1:]), two(b[4:])
	if h < 0 || h > 23 || m < 0 || m > 59 {
		return 0, false
	}
	if b[0] == '-' {
		return -(h*3600 + m*60), true
	}
	return h*3600 + m*60, true
}

// date reads 2026-03-02 and refuses days that do not exist.
func date(b []byte) (y, m, d int, ok bool) {
	if len(b) < 10 || b[4] != '-' || b[7] != '-' {
		return 0, 0, 0, false
	}
	c, x, m, d := two(b), two(b[2:]), two(b[5:]), two(b[8:])
	if c < 0 || x < 0 || m < 1 || m > 12 || d < 1 {
		return 0, 0, 0, false
	}
	y = c*100 + x
	return y, m, d, d <= time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// two is the number of the first two digits, -1 where they are none.
func two(b []byte) int {
	if len(b) < 2 || b[0]-'0' > 9 || b[1]-'0' > 9 {
		return -1
	}
	return int(b[0]-'0')*10 + int(b[1]-'0')
}

// local is a date and time of day in a location, with the location's offset at that moment; ok is false where clocks
// were put forward over it, so that it never was.
func (c *clock) local(y, mo, d, h, m, s int, loc *time.Location) (time.Time, bool) {
	if loc == nil {
		loc = time.UTC
	}
	t := time.Date(y, time.Month(mo), d, h, m, s, 0, loc)
	ok := t.Hour() == h && t.Minute() == m
	_, offset := t.Zone()
	return t.In(c.zone(offset)), ok
}
