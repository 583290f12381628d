package proof

import "strings"

// A simple sound key for English spelling: one letter for each sound, near enough to tell whether two cue words differ
// by one sound. The rules are our own, of the kind that first reading books teach (a silent e makes the vowel before it
// long; an s after a vowel hums); no published alphabet of keys is meant. Spellings that break the rules get the key
// of their spelling.
//
// Capitals are the sounds that one letter does not spell: A E I O U as in day, me, my, no, you; C chin, S shin, T thin,
// N ring, J jam, R her, W now, Q boy, L law, H car.

// soundRule spells Sound as Text, where Text stands Before the end of the word or After its beginning.
type soundRule struct {
	text  string
	sound string
	start bool // only at the beginning of a word
	end   bool // only at its end
}

// soundRules are tried in this order at each letter.
var soundRules = []soundRule{
	{text: "kn", sound: "n", start: true}, {text: "wr", sound: "r", start: true}, {text: "gn", sound: "n", start: true},
	{text: "ps", sound: "s", start: true}, {text: "gh", sound: "g", start: true}, {text: "who", sound: "hU", start: true},
	{text: "eigh", sound: "A"}, {text: "igh", sound: "I"}, {text: "ough", sound: "O"}, {text: "augh", sound: "L"},
	{text: "tch", sound: "C"}, {text: "dge", sound: "J"}, {text: "tion", sound: "Sn"}, {text: "sch", sound: "S"},
	{text: "ch", sound: "C"}, {text: "sh", sound: "S"}, {text: "th", sound: "T"}, {text: "ph", sound: "f"}, {text: "wh", sound: "w"},
	{text: "ck", sound: "k"}, {text: "ng", sound: "N"}, {text: "nk", sound: "Nk"}, {text: "qu", sound: "kw"}, {text: "x", sound: "ks"},
	{text: "gh", sound: ""}, {text: "mb", sound: "m", end: true},
	{text: "ee", sound: "E"}, {text: "ea", sound: "E"}, {text: "oo", sound: "U"}, {text: "ou", sound: "W"}, {text: "oa", sound: "O"},
	{text: "oe", sound: "O"}, {text: "ow", sound: "O", end: true}, {text: "ow", sound: "W"}, {text: "ai", sound: "A"}, {text: "ay", sound: "A"},
	{text: "ey", sound: "A"}, {text: "ei", sound: "A"}, {text: "ie", sound: "I", end: true}, {text: "ie", sound: "E"}, {text: "oi", sound: "Q"}, {text: "oy", sound: "Q"},
	{text: "au", sound: "L"}, {text: "aw", sound: "L"}, {text: "ew", sound: "U"}, {text: "ue", sound: "U"}, {text: "ui", sound: "U"},
	{text: "er", sound: "R"}, {text: "ir", sound: "R"}, {text: "ur", sound: "R"}, {text: "ar", sound: "H"}, {text: "or", sound: "Lr"}, {text: "all", sound: "Ll"},
	{text: "ce", sound: "s", end: true}, {text: "ge", sound: "J", end: true}, {text: "se", sound: "z", end: true},
	{text: "y", sound: "y", start: true}, {text: "y", sound: "E", end: true}, {text: "y", sound: "i"},
	{text: "j", sound: "J"},
}

const vowels = "aeiou"

func isVowel(c byte) bool { return strings.IndexByte(vowels, c) >= 0 }

// soundKey is the sounds of a cue: of all its words, run together.
func soundKey(cue string) string {
	var b strings.Builder
	for _, word := range letterWords(cue) {
		b.WriteString(wordKey(word))
	}
	return b.String()
}

// letterWords are the words of a text, in small letters a to z; other letters stay as they are.
func letterWords(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r < 'a' && r != '\'' || r > 'z' && r < 0x80 })
}

func wordKey(w string) string {
	w = strings.ReplaceAll(w, "'", "")
	var out []byte
	for i := 0; i < len(w); {
		if sound, n := soundAt(w, i); n > 0 {
			out = append(out, sound...)
			i += n
			continue
		}
		out = append(out, letterSound(w, i)...)
		i++
	}
	return undoubled(out)
}

func soundAt(w string, i int) (string, int) {
	if magic, n := longVowel(w, i); n > 0 {
		return magic, n
	}
	for _, r := range soundRules {
		if strings.HasPrefix(w[i:], r.text) && (!r.start || i == 0) && (!r.end || i+len(r.text) == len(w)) {
			if r.text == "y" && r.end && !strings.ContainsAny(w[:i], vowels) {
				return "I", 1 // by, my, fly
			}
			return r.sound, len(r.text)
		}
	}
	return "", 0
}

// longVowel reads a vowel that a silent e makes long (nose, named, takes), the consonant left for the next round.
func longVowel(w string, i int) (string, int) {
	if !isVowel(w[i]) || i+2 >= len(w) || isVowel(w[i+1]) || w[i+1] == 'w' || w[i+1] == 'x' || w[i+1] == 'y' || w[i+2] != 'e' || i > 0 && isVowel(w[i-1]) {
		return "", 0
	}
	if rest := w[i+3:]; rest != "" && rest != "s" && rest != "d" {
		return "", 0
	}
	return strings.ToUpper(w[i : i+1]), 1
}

// letterSound is the sound of a letter by itself.
func letterSound(w string, i int) string {
	c, first, last := w[i], i == 0, i == len(w)-1
	switch c {
	case 'c':
		if !last && strings.IndexByte("eiy", w[i+1]) >= 0 {
			return "s"
		}
		return "k"
	case 'q':
		return "k"
	case 's':
		between := !first && !last && isVowel(w[i-1]) && isVowel(w[i+1])
		hums := last && !first && strings.IndexByte("ptkfsc", w[i-1]) < 0 && w[i-1] != 'u' && w[i-1] != 'i'
		if between || hums {
			return "z"
		}
	case 'e':
		switch {
		case last && !first && strings.ContainsAny(w[:i], vowels+"y"):
			return "" // silent
		case last:
			return "E"
		case i == len(w)-2 && !first && (w[i+1] == 's' || w[i+1] == 'd') && strings.ContainsAny(w[:i], vowels) && !isVowel(w[i-1]):
			return ""
		}
	case 'o':
		if last {
			return "O"
		}
	case 'i':
		if last {
			return "E"
		}
	}
	return string(c)
}

// undoubled drops a sound that stands twice running.
func undoubled(b []byte) string {
	var out []byte
	for i, c := range b {
		if i == 0 || c != b[i-1] {
			out = append(out, c)
		}
	}
	return string(out)
}

// distance is how many signs must be put in, taken out or changed to make a word of another: the edit distance of
// Levenshtein (1966, from memory).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	row := make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
	for i := range x {
		before := row[0]
		row[0] = i + 1
		for j := range y {
			change := before
			if x[i] != y[j] {
				change++
			}
			before = row[j+1]
			row[j+1] = min(change, row[j+1]+1, row[j]+1)
		}
	}
	return row[len(y)]
}
