package plan_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func brokenItem(rules *curriculum.Session, b *engine.BehaviourView, v *engine.DogView, r plan.Request, i int, p *sheet) (faults []string) {
	it := p.Items[i]
	say := func(format string, a ...any) {
		faults = append(faults, it.Behaviour+": "+fmt.Sprintf(format, a...))
	}
	st := b.Behaviour.Steps[b.Behaviour.Step(it.Step)]
	own := v.Dog.Limits.Behaviours[it.Behaviour]
	paid := 0
	for _, y := range it.Rewarded {
		if y {
			paid++
		}
	}
	inside := 0
	for _, at := range it.PayAt {
		inside += len(at)
	}
	watch, spare := strings.HasSuffix(strings.SplitN(it.Schedule+" x", " ", 3)[1], "interval"), 0
	if watch && it.Pieces > paid {
		spare = 1 // for a time that falls due beyond those expected
	}
	switch {
	case it.Trials < 1 || len(it.Rewarded) != it.Trials:
		say("%d trials, %d in the list", it.Trials, len(it.Rewarded))
	case it.PayAt == nil && paid+spare != it.Pieces, it.PayAt != nil && (inside != it.Pieces || len(it.PayAt) != it.Trials):
		say("%d pieces, %d in the list", it.Pieces, paid)
	case watch && len(it.PayAfter) != min(paid+1, it.Trials):
		say("%d intervals for %d rewards", len(it.PayAfter), paid)
	case it.Step != b.Behaviour.Steps[b.Step].Name:
		say("at %s, stands at %s", it.Step, b.Behaviour.Steps[b.Step].Name)
	case b.Locked, b.Stopped, own.Never, v.SessionEnded, b.State == curriculum.Waiting, b.State == curriculum.Paused:
		say("must not be planned")
	case len(st.Places) > 0 && !slices.Contains(st.Places, r.Place):
		say("is not trained in %q", r.Place)
	case it.Reason == "":
		say("no reason")
	}
	for _, most := range []int{rules.LivelyUpTo, v.Dog.Limits.LivelyUpTo} {
		if most > 0 && r.Celsius != nil && *r.Celsius > float64(most) && slices.Contains(b.Behaviour.Kinds, curriculum.Lively) {
			say("lively at %v degrees, %d allowed", *r.Celsius, most)
		}
	}
	for _, l := range v.Locked {
		if len(l.Behaviours) == 0 {
			say("everything is locked")
		}
	}
	if r.Equipment != nil {
		for _, e := range append(slices.Clone(b.Behaviour.Sheet.Equipment), st.Sheet.Equipment...) {
			if !slices.Contains(r.Equipment, e) {
				say("%s is not at hand", e)
			}
		}
	}
	if len(v.Dog.Cues) > 0 {
		declared := len(b.Behaviour.Sheet.Cues)+len(st.Sheet.Cues) > 0 || slices.Contains(st.Prompts, curriculum.WordCue)
		if declared && len(it.Cues) == 0 {
			say("no cue")
		}
		for _, q := range it.Cues {
			if !slices.Contains(v.Dog.Cues, q.Kind) {
				say("cue of kind %s", q.Kind)
			}
		}
	}
	for _, most := range own.Level {
		if t := it.Level[most.Of]; t == "180 deg" || t == "90 deg" || t == "dogs" {
			say("level %s beyond the profile's %s", t, own.Level)
		}
	}
	return faults
}

// slowly is the least seconds of an item by the documented parts, a trial at a time.
func slowly(v *engine.BehaviourView, step string, level map[string]string, rewarded []bool, at [][]float64, f curriculum.Food) float64 {
	sh := v.Behaviour.SheetOf(v.Behaviour.Step(step))
	eat := 2.0
	if !f.EatenIn.IsZero() {
		eat = f.EatenIn.Float()
	}
	hold := 0.0
	for _, of := range []string{"pause", "duration"} {
		if q, ok := curriculum.ParseQuantity(level[of]); ok {
			hold += q.Float()
		}
	}
	// the dog's own pace, mixed with ten trials as the text or the constants have them
	mixed := func(stated, own float64) float64 {
		if n := float64(v.Pace.Cycles); n >= 5 {
			return (n*own + 10*stated) / (n + 10) / stated
		}
		return 1
	}
	if !sh.Takes.IsZero() {
		return sh.Takes.Float() * float64(len(rewarded)) * mixed(sh.Takes.Float(), v.Pace.Seconds+hold)
	}
	ratio := mixed(4.3+1+math.Ceil(eat*10-1e-9)/10, v.Pace.Seconds)
	sum := 0.0
	for i, y := range rewarded {
		sum += 4.3*ratio + hold
		if at != nil && level["duration"] == "" {
			sum += at[i][0]
		}
		if y {
			sum += (1 + eat) * ratio
		}
	}
	return sum
}
