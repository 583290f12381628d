package proof

import "fmt"

const (
	codeDeadDoor     = "dead-door"
	codeNeverPrinted = "never-printed"
)

var dogCodes = []codeEntry{
	{
		Code: codeDeadDoor, Severity: Error, Title: "a door that opens to no dog",
		Means:    "The need asks for a dog that cannot be, such as one that is older than a year and younger than six months. The behaviour never begins. What several needs ask for counts together, and so does what other behaviours ask for that have to come before: a dog never grows younger. Dogs of all ages up to 25 years and of all weights around the numbers written are tried.",
		Faulty:   "rung 1\nbehaviour hop {\n  needs dog { age_months >= 12 and age_months < 6 }\n" + cueTail,
		Repaired: "rung 1\nbehaviour hop {\n  needs dog { age_months >= 12 }\n" + cueTail,
	},
	{
		Code: codeNeverPrinted, Severity: Warning, Title: "a caution that is printed for no dog",
		Means:    "The caution's condition holds of no dog, so nobody ever reads it. Dogs of all ages up to 25 years and of all weights around the numbers written are tried.",
		Faulty:   "rung 1\ncaution old \"Warm up first.\" when { dog.age_months >= 96 and dog.age_months < 12 }\nbehaviour settle {\n  caution old\n" + cueTail,
		Repaired: "rung 1\ncaution old \"Warm up first.\" when { dog.age_months >= 96 }\nbehaviour settle {\n  caution old\n" + cueTail,
	},
}

var dogChecks = []check{
	{[]string{codeDeadDoor}, (*subject).deadDoors},
	{[]string{codeDeadDoor, codeNever}, (*subject).joinedDogs},
	{[]string{codeNeverPrinted}, (*subject).neverPrinted},
}

func (s *subject) deadDoors() {
	for _, b := range s.c.Behaviours {
		for _, n := range b.Needs {
			if n.Dog == nil || !s.noDog(n.Dog) {
				continue
			}
			s.report(Finding{
				Code: codeDeadDoor, Pos: n.Pos, Behaviour: b.Name, Answer: Disproved,
				Text: fmt.Sprintf("no dog meets %s, so %s never begins", dogText(n.Dog), b.Name), Help: turnRound,
			})
		}
	}
}

func (s *subject) neverPrinted() {
	for _, k := range s.c.Cautions {
		if k.When != nil && s.noDog(k.When) {
			s.report(Finding{
				Code: codeNeverPrinted, Pos: k.Pos, Answer: Disproved,
				Text: fmt.Sprintf("no dog meets %s, so %s is never printed", dogText(k.When), k.Name), Help: turnRound,
			})
		}
	}
}
