package history_test

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/engine/history"
)

// Several logs, in whatever formats, are one stream in time order.
func ExampleOpen() {
	page := `
okapi 2026-03-02 17:10 yard owner
settle at follow: + - +(latency 1.2 s)
`
	h, err := history.Open([]string{"-"}, strings.NewReader(page), history.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer h.Close()
	var e curriculum.Entry
	for {
		err := h.Next(&e)
		if err == io.EOF {
			break
		}
		if err != nil {
			fmt.Println(err)
			return
		}
		latency, _ := e.Trial.Measure("latency")
		fmt.Println(e.Dog(), e.Trial.Behaviour, e.At().Format(time.TimeOnly), e.Trial.Outcome, latency)
	}
	for _, r := range h.Reports() {
		fmt.Println(history.ReportText(r))
	}
	// Output:
	// okapi settle 17:10:00 success 0
	// okapi settle 17:10:01 wrong 0
	// okapi settle 17:10:02 success 1.2
}

// Lines that cannot be used are reported with their place; the rest is read.
func ExampleReader() {
	log := `{"id":"t1","dog":"okapi","behaviour":"settle","at":"2026-03-02T17:10:00Z","outcome":"success"}
{"id":"t2","dog":"okapi","behaviour":"settle","at":"2026-03-02T17:10:20Z","outcome":"sucess"}
{"id":"t3","dog":"okapi","behaviour":"settle","at":"2026-03-02T17:10","outcome":"wrong"}
`
	r := history.NewReader(strings.NewReader(log), "okapi.jsonl", history.Options{})
	var e curriculum.Entry
	for r.Next(&e) == nil {
		fmt.Println("read", e.Trial.ID)
	}
	for _, report := range r.Reports() {
		fmt.Println(history.ReportText(report))
	}
	// Output:
	// read t1
	// okapi.jsonl:2:85: the outcome is success, wrong, silent, opt-out or void, not "sucess"; is "success" meant? [log-outcome]
	// okapi.jsonl:3:52: at cannot be read as a time, "2026-03-02T17:10": hours, minutes and seconds are written as 17:10:05 [log-time]
}

// A page of a tally book is read back in words, to be compared with the page.
func ExampleEcho() {
	page := `
thimble 2026-03-02 17:31 room-a owner
nail-file at touch-down duration 2 s: + + o! h(pause)
sign growl in nail-file by Dov note "at the file"
`
	h, err := history.OpenReader(strings.NewReader(page), "thimble.tally", history.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	entries, err := h.ReadAll()
	if err != nil {
		fmt.Println(err)
		return
	}
	history.Echo(os.Stdout, entries)
	// Output:
	// thimble.tally: thimble, Monday 2 March 2026, 17:31 +00:00, place room-a, handler owner
	//   line 3: nail-file at touch-down, duration 2 s: success, success, opt-out, helped late (pause)
	//   line 4: welfare sign seen: growl, in nail-file, by Dov: "at the file"
}

// One history in three spellings.
func ExampleWriteTally() {
	at := time.Date(2026, 3, 2, 17, 10, 0, 0, time.UTC)
	trial := curriculum.Trial{ID: "t1", Dog: "okapi", Behaviour: "settle", At: at, Place: "yard", Outcome: curriculum.Success}
	second := trial
	second.ID, second.At, second.Outcome = "t2", at.Add(15*time.Second), curriculum.Wrong
	entries := []curriculum.Entry{{Trial: trial}, {Trial: second}}
	_ = history.WriteJSONL(os.Stdout, entries)
	_ = history.WriteCSV(os.Stdout, entries)
	_ = history.WriteTally(os.Stdout, entries, nil)
	// Output:
	// {"id":"t1","dog":"okapi","behaviour":"settle","at":"2026-03-02T17:10:00Z","place":"yard","outcome":"success"}
	// {"id":"t2","dog":"okapi","behaviour":"settle","at":"2026-03-02T17:10:15Z","place":"yard","outcome":"wrong"}
	// id,dog,behaviour,at,place,outcome
	// t1,okapi,settle,2026-03-02T17:10:00Z,yard,success
	// t2,okapi,settle,2026-03-02T17:10:15Z,yard,wrong
	// okapi 2026-03-02 17:10 yard
	// settle: + -
}

// Profiles tighten what a curriculum allows; one that cannot be used is reported and left out.
func ExampleReadDogs() {
	profiles := `[
  {"dog":"pewter","born":"2016-02-01","weight_kg":14,"cues":["hand"],
   "limits":{"minutes":4,"behaviours":{"pivot-left":{"trials":3,"level":{"turn":"90 deg"}}}}},
  {"dog":"okapi","born":"20 December"}
]`
	dogs, reports, err := history.ReadDogs(strings.NewReader(profiles), "dogs.json")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range dogs {
		fmt.Println(d.Name, d.Born.Format(time.DateOnly), d.Cues, d.Limits.Behaviours["pivot-left"].Level)
	}
	for _, r := range reports {
		fmt.Println(history.ReportText(r))
	}
	// Output:
	// pewter 2016-02-01 [hand] turn 90 deg
	// dogs.json:4:25: born is a date written as 2025-12-20, not "20 December" [log-time]
}
