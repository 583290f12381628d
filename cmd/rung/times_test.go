package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestTimesWithAndWithoutOffset(t *testing.T) {
	berlin, err := parseZone("Europe/Berlin")
	require.NoError(t, err)
	for said, want := range map[string]string{
		"2026-03-02T17:10:05Z":      "2026-03-02T17:10:05Z",
		"2026-03-02T17:10:05+05:30": "2026-03-02T17:10:05+05:30",
		"2026-03-02 17:10":          "2026-03-02T17:10:00+01:00",
		"2026-07-02 17:10:09":       "2026-07-02T17:10:09+02:00",
		"2026-03-02T17:10":          "2026-03-02T17:10:00+01:00",
		"2026-03-02":                "2026-03-02T00:00:00+01:00",
	} {
		at, err := parseTime(said, berlin)
		require.NoError(t, err, said)
		require.Equal(t, want, at.Format(time.RFC3339), said)
	}
	for _, said := range []string{"", "today", "02.03.2026", "2026-02-30", "17:10"} {
		_, err := parseTime(said, berlin)
		require.ErrorContains(t, err, "is no time", said)
	}
}

func TestZonesByNameAndOffset(t *testing.T) {
	for said, hours := range map[string]int{"": 0, "UTC": 0, "+05:30": 5, "-08:00": -8, "Asia/Tokyo": 9} {
		zone, err := parseZone(said)
		require.NoError(t, err, said)
		_, offset := time.Date(2026, 1, 1, 0, 0, 0, 0, zone).Zone()
		require.Equal(t, hours, offset/3600, said)
	}
	_, err := parseZone("Pindrift")
	require.ErrorContains(t, err, "no time zone")
}
