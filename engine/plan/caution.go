package plan

import (
	"fmt"
	"strings"
	"time"

	"example.com/rung/curriculum"
	"example.com/rung/curriculum/expression"
	"example.com/rung/engine"
)

// The cautions every sheet carries. They say what good practice and the veterinary and behaviour professions agree on;
// they are no advice on any one dog.
const (
	cautionKind  = "Rewards only: no force, no jerking, no scolding, and no keeping back of food or water. When the dog says no, stop."
	cautionPain  = "A limp, stiffness, a yelp, or a sudden no to something well known: stop, let the dog rest, and see a veterinarian before going on."
	cautionFood  = "Soft pieces the size of a pea. Never xylitol (birch sugar), grapes or raisins, chocolate, onions, macadamia nuts or alcohol."
	cautionLaw   = "Outdoors: long line on a harness, and the local rules on leads and access. Warm days: shade, water, short; stop at heavy panting."
	cautionCare  = "The dog may leave at any moment: let go within a second, do not hold, follow or ask again. What is urgent is for a veterinarian, without this cue."
	cautionLoad  = "Slow, few, on ground that does not slip; stop at a stumble. A veterinarian's limits come first."
	cautionYoung = "Not grown yet: no jumping, no stairs for exercise, few tight turns."
)

// generalCautions is what every sheet carries.
var generalCautions = []string{cautionKind, cautionPain, cautionFood, cautionLaw}

// cautions writes those that head the sheet.
func (b *builder) cautions() {
	p := b.plan
	p.Cautions = append(p.Cautions, stopCautions(b.c)...)
	p.Cautions = append(p.Cautions, strangeCautions(b.v.Strange)...)
	if len(b.v.Dog.Avoid) > 0 {
		p.Cautions = append(p.Cautions, fmt.Sprintf("%s must not have: %s.", p.Dog, list(b.v.Dog.Avoid)))
	}
	if kinds := b.v.Dog.Cues; len(kinds) > 0 {
		p.Cautions = append(p.Cautions, fmt.Sprintf("%s takes these kinds of cue only: %s. Give one of those wherever a cue or the name is meant, mark with such a sign too, and never startle.", p.Dog, list(kinds)))
	}
	if t := b.warmCaution(); t != "" {
		p.Cautions = append(p.Cautions, t)
	}
	p.Cautions = append(p.Cautions, generalCautions...)
}

// stopCautions is at which signs to stop a session, and at which to leave an exercise.
func stopCautions(c *curriculum.Curriculum) (out []string) {
	var stop, end []string
	for _, s := range c.Signs {
		if s.Locks == curriculum.EndBehaviour {
			end = append(end, s.Name)
		} else {
			stop = append(stop, s.Name)
		}
	}
	if len(stop) > 0 {
		out = append(out, "Stop the session at: "+orList(stop)+". "+wordsTell.trainer)
	}
	if len(end) > 0 {
		out = append(out, "Go on to something easy, and leave this exercise for today, at: "+orList(end)+".")
	}
	return out
}

// strangeCautions is what was seen of a dog that no sign of the curriculum covers: nothing is locked by it, so the sheet
// has to speak until somebody has looked.
func strangeCautions(signs []engine.StrangeSign) []string {
	if len(signs) == 0 {
		return nil
	}
	var seen []string
	for _, s := range signs {
		seen = append(seen, s.SignText()+sighting(s.At, s.By, s.Note))
	}
	return []string{wordsStrange + strings.Join(seen, "; ") + ". " + wordsAsk.trainer}
}

// sighting is when a sign was seen, by whom, and what was noted.
func sighting(at time.Time, by, note string) string {
	t := " on " + day(at)
	if by != "" {
		t += ", noted by " + by
	}
	if note != "" {
		t += " (" + note + ")"
	}
	return t
}

// inVoice is cautions in somebody's words.
func inVoice(cautions []string, v engine.Voice) (out []string) {
	for _, c := range cautions {
		if v == engine.ForOwner {
			for _, w := range []said{wordsTell, wordsAsk} {
				c = strings.ReplaceAll(c, w.trainer, w.owner)
			}
		}
		out = append(out, c)
	}
	return out
}

// itemCautions is what is declared for an item, where it holds of the dog; where that leaves nothing, what its kind of
// work asks for.
func (b *builder) itemCautions(c *candidate) []string {
	out := []string{}
	for _, name := range c.sheet.Cautions {
		for _, k := range b.c.Cautions {
			if k.Name == name {
				if text := b.caution(k); text != "" {
					out = append(out, text)
				}
			}
		}
	}
	if len(out) > 0 {
		return out
	}
	if c.is(curriculum.Care) {
		out = append(out, cautionCare)
	}
	if c.is(curriculum.Impact) {
		out = append(out, cautionLoad)
		if months, _, _, ok := b.v.Dog.AgeAt(b.r.At); ok && months < 12 {
			out = append(out, cautionYoung)
		}
	}
	return out
}

// caution is the text of a declared caution if it holds of the dog. One whose facts are not on record is printed: it is
// better to warn for nothing.
func (b *builder) caution(k curriculum.Caution) string {
	if k.When == nil {
		return k.Text
	}
	e, err := expression.Compile(k.When.Text, expression.Env{Measures: b.c.Measures, Scope: expression.DogOnly})
	if err != nil {
		return k.Text
	}
	f := &expression.Facts{Dog: &b.v.Dog, Day: b.r.At}
	switch {
	case !e.Recorded(f):
		return k.Text + " (printed because the profile does not say whether it concerns this dog)"
	case e.Holds(f):
		return k.Text
	}
	return ""
}

// referral is what stands in place of a plan.
func referral(dog string, locks []engine.Lock) []string {
	var signs []string
	for _, l := range locks {
		signs = append(signs, l.SignText()+sighting(l.At, l.By, l.Note))
	}
	return []string{
		fmt.Sprintf("No training for %s for now. Seen: %s.", dog, strings.Join(signs, "; ")),
		"Give the dog room and rest. Do not scold, do not test, do not try once more.",
		"See a veterinarian first: pain and illness are a common cause of such signs.",
		"Where a veterinarian finds no cause, or the dog has threatened or bitten, ask a qualified behaviour professional. This tool does not judge signs and gives no plan for fear or aggression.",
		"Training goes on when a named person has looked at the dog and clears the sign in the log. Rules about dogs that have threatened or bitten differ from place to place: ask locally.",
	}
}
