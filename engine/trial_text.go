package engine

import (
	"strconv"
	"strings"
	"time"
)

// TrialText is a trial's id as people read it. An id that somebody wrote stays as it is; one that was made for a line
// without, of dog, behaviour, time and a digest, is the time.
func TrialText(id string) string {
	if at, again, ok := madeID(id); ok {
		return at.Format(time.DateTime) + again
	}
	return id
}

// madeID is the time in an id that was made, and what tells it from others alike.
func madeID(id string) (at time.Time, again string, ok bool) {
	parts := strings.Split(id, "/")
	if len(parts) != 4 {
		return at, "", false
	}
	digest, again, more := strings.Cut(parts[3], "#")
	if _, err := strconv.ParseUint(digest, 16, 24); err != nil || len(digest) != 6 {
		return at, "", false
	}
	at, err := time.Parse(time.RFC3339Nano, parts[2])
	if more {
		again = " #" + again
	}
	return at, again, err == nil
}

// trialsText lists trials; a date is said once for those that follow on it.
func trialsText(ids []string) string {
	var out []string
	day, unnamed := "", 0
	for _, id := range ids {
		if id == "" {
			unnamed++
			continue
		}
		text := TrialText(id)
		if at, _, ok := madeID(id); !ok {
			day = ""
		} else if d := at.Format(time.DateOnly); d == day {
			text = strings.TrimPrefix(text, d+" ")
		} else {
			day = d
		}
		out = append(out, text)
	}
	if unnamed > 0 {
		out = append(out, count(unnamed, "trial")+" without an id")
	}
	return strings.Join(out, ", ")
}

// notCountText lists trials that do not count, those with one reason together.
func notCountText(list []NotCount) string {
	var reasons []string
	of := map[string][]string{}
	for _, n := range list {
		if of[n.Why] == nil {
			reasons = append(reasons, n.Why)
		}
		of[n.Why] = append(of[n.Why], n.Trial)
	}
	for i, why := range reasons {
		reasons[i] = trialsText(of[why]) + " (" + why + ")"
	}
	return strings.Join(reasons, "; ")
}
