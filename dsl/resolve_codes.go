package dsl

// resolveCodes are the faults found when names are resolved and numbers worked out.
var resolveCodes = []codeEntry{}
