package proof

// Findings by proof: the rules of a level as one machine.

var exactCodes []codeEntry

var exactChecks []check
