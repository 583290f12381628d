package engine

import "time"

// Why says why a dog stands where it does in one behaviour, and what would move it.
type Why struct {
	Dog       string `json:"dog"`
	Behaviour string `json:"behaviour"`
	State     string `json:"state"`
	Place     Place  `json:"place"`
}

// Why explains a dog's standing in one behaviour at now.
func (f *Fold) Why(dog, behaviour string, now time.Time) (*Why, error) { return nil, nil }

// Text is the explanation for people, wrapped at 80 columns.
func (w *Why) Text() string { return "" }
