package dsl

var syntaxCodes = []codeEntry{}
