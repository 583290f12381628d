package dsl

// paidSpellings are words that people write for whether a trial was paid.
var paidSpellings = map[string]string{"paid": "rewarded", "reward": "rewarded", "unpaid": "unrewarded"}

// paid mends what stands for rewarded or unrewarded in the brackets behind a tally mark.
func (m *mender) paid() bool {
	n, wrote := 1, m.ahead(0).Value
	right := paidSpellings[wrote]
	if m.is(0, "not") && m.is(1, "rewarded", "paid") {
		n, right, wrote = 2, "unrewarded", "not "+m.ahead(1).Value
	}
	if next := m.ahead(n).Value; right == "" || next != ")" && next != "," {
		return false
	}
	k := -1
	for m.ahead(k).Type != tEnd && m.ahead(k).Value != "(" && m.ahead(k).Value != ")" {
		k--
	}
	if m.ahead(k).Value != "(" || m.ahead(k-1).Type != tMark {
		return false
	}
	m.say("word-spelled", n, right, right, wrote)
	m.put(tName, right, n)
	return true
}
