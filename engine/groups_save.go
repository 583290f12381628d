package engine

import (
	"errors"
	"fmt"
)

// resumeDivision is what is kept of a criterion that is looked at inside sessions, places, handlers or days.
type resumeDivision struct {
	Key    string        `json:"of"`
	Groups []resumeGroup `json:"groups"`
}

type resumeGroup struct {
	Name    string           `json:"name,omitempty"`
	Number  int              `json:"number,omitempty"` // of a session or a day
	Came    bool             `json:"came,omitempty"`
	Because []resumeMark     `json:"because,omitempty"`
	Last    uint32           `json:"last,omitempty"`
	Tracks  []resumeTrack    `json:"tracks,omitempty"`
	Inside  []resumeDivision `json:"inside,omitempty"`
}

func saveDivisions(divisions []*division, groups [][]group) []resumeDivision {
	var out []resumeDivision
	for i, v := range divisions {
		if len(groups[i]) == 0 {
			continue
		}
		r := resumeDivision{Key: v.key}
		for _, g := range groups[i] {
			o := resumeGroup{Name: g.key.name, Number: g.key.n, Came: g.came, Last: g.last, Tracks: saveTracks(v.tracks, g.slots, g.marks), Inside: saveDivisions(v.inner, g.inner)}
			for _, m := range g.because {
				o.Because = append(o.Because, resumeMark{m.id, m.seq})
			}
			r.Groups = append(r.Groups, o)
		}
		out = append(out, r)
	}
	return out
}

func loadDivisions(divisions []*division, saved []resumeDivision, into [][]group) error {
	for _, r := range saved {
		at := -1
		for i, v := range divisions {
			if v.key == r.Key && into[i] == nil {
				at = i
				break
			}
		}
		if at < 0 || len(r.Groups) == 0 {
			return fmt.Errorf("unknown history %q", r.Key)
		}
		v := divisions[at]
		for _, o := range r.Groups {
			key := groupKey{o.Name, o.Number}
			if find(into[at], key) != nil {
				return errors.New("a group that is there twice")
			}
			g := v.fresh(key)
			g.came, g.last = o.Came, o.Last
			for _, m := range o.Because {
				g.because = append(g.because, mark{m.ID, m.Seq})
			}
			if _, err := loadTracks(v.tracks, o.Tracks, g.slots, g.marks); err != nil {
				return err
			}
			if err := loadDivisions(v.inner, o.Inside, g.inner); err != nil {
				return err
			}
			into[at] = append(into[at], g)
		}
	}
	return nil
}
