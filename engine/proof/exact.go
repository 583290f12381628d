package proof

// Findings by proof: the rules of a level as one machine. What the limits of a session keep from ever holding is found
// in reach.go and said once: leave out the rules of which s.neverHolds, and steps without an advance rule. What cannot be
// reached because of such a rule is named in its finding. Findings about a ladder's rule should not speak of more than
// one behaviour by name: those of several behaviours then become one (see together).

var exactCodes []codeEntry

var exactChecks []check
