package main

import (
	"time"
	_ "time/tzdata" // --zone works on machines without a zone database
)

// stamp is how times are written for people; the offset is added where a whole answer is dated.
const stamp = "2006-01-02 15:04"

// dated is a time with its offset.
func dated(t time.Time) string {
	if _, offset := t.Zone(); offset == 0 {
		return t.Format(stamp) + " UTC"
	}
	return t.Format(stamp + " -07:00")
}

// parseTime reads --at: with an offset as logs have it, or without one in the zone given.
func parseTime(s string, zone *time.Location) (time.Time, error) {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t, nil
	}
	for _, layout := range []string{stamp, "2006-01-02T15:04", time.DateTime, "2006-01-02T15:04:05", time.DateOnly} {
		if t, err := time.ParseInLocation(layout, s, zone); err == nil {
			return t, nil
		}
	}
	return time.Time{}, usagef("Write 2026-03-02T17:10:00+01:00, or 2026-03-02 17:10 with --zone.", "%q is no time", s)
}

// parseZone reads --zone: a name such as Europe/Berlin, an offset such as +01:00, UTC or local.
func parseZone(s string) (*time.Location, error) {
	switch s {
	case "", "UTC", "utc", "Z":
		return time.UTC, nil
	case "local", "Local":
		return time.Local, nil
	}
	if t, err := time.Parse("-07:00", s); err == nil {
		_, offset := t.Zone()
		return time.FixedZone(s, offset), nil
	}
	zone, err := time.LoadLocation(s)
	if err != nil {
		return nil, usagef("Write a name such as Europe/Berlin, an offset such as +01:00, or local.", "there is no time zone %q", s)
	}
	return zone, nil
}
