package plan_test

import (
	"encoding/xml"
	"fmt"
	"html/template"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/rung/curriculum"
	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

func htmlOf(t *testing.T, p *plan.Plan, v engine.Voice) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, p.WriteHTML(&b, v))
	return b.String()
}

// elements reads a page strictly but for what HTML leaves open, so that a tag that is not closed is an error.
func elements(t *testing.T, page string) (all []xml.StartElement) {
	t.Helper()
	page = regexp.MustCompile(`(?s)<style>.*?</style>`).ReplaceAllString(page, "")
	page = regexp.MustCompile(`<(meta[^>]*|col [^>]*|!DOCTYPE html)>`).ReplaceAllString(page, "") // what HTML never closes
	d := xml.NewDecoder(strings.NewReader(page))
	d.Entity = xml.HTMLEntity
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return all
		}
		require.NoError(t, err)
		if s, ok := tok.(xml.StartElement); ok {
			all = append(all, s.Copy())
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func TestThePageIsAccessible(t *testing.T) {
	c := yard()
	for _, v := range []engine.Voice{engine.ForTrainer, engine.ForOwner} {
		page := htmlOf(t, planned(t, gantry(c), plan.Request{Place: "yard", Seed: 7}), v)
		count := accessible(t, page)
		require.Positive(t, count["article"])
		require.Equal(t, count["article"], count["h3"], "every item has its heading")
	}
}

// accessible holds a page to what WCAG 2.2 asks of its structure (https://www.w3.org/TR/WCAG22/): a language (3.1.1), a
// title (2.4.2), headings in order and labels that are there (1.3.1), table headings with their scope (1.3.1, technique
// H63), text for what is only drawn (1.1.1), no scripts, and nothing to focus, so nothing to lose the focus in. It
// counts the elements.
func accessible(t *testing.T, page string) map[string]int {
	t.Helper()
	require.NotContains(t, page, "<script")
	require.NotRegexp(t, `(src|href|tabindex|onclick)=`, page, "nothing is fetched, nothing is focused")
	require.NotRegexp(t, `font-size: [0-7](\.[0-9]+)?pt|user-scalable|maximum-scale`, page, "nothing is tiny, and nothing stops it from being made bigger (1.4.4)")
	count, ids, asked, level := map[string]int{}, map[string]bool{}, []string{}, 1
	for _, e := range elements(t, page) {
		name := e.Name.Local
		count[name]++
		if id := attr(e, "id"); id != "" {
			require.False(t, ids[id], "id %s twice", id)
			ids[id] = true
		}
		if l := attr(e, "aria-labelledby"); l != "" {
			asked = append(asked, l)
		}
		if len(name) == 2 && name[0] == 'h' && name[1] >= '1' && name[1] <= '6' {
			n := int(name[1] - '0')
			require.LessOrEqual(t, n, level+1, "a heading level is passed over")
			level = n
		}
		switch name {
		case "html":
			require.Equal(t, "en", attr(e, "lang"))
		case "th":
			require.Contains(t, []string{"row", "col"}, attr(e, "scope"))
		}
		if attr(e, "role") == "img" {
			require.NotEmpty(t, attr(e, "aria-label"), "boxes are said")
		}
	}
	require.Equal(t, 1, count["h1"])
	require.Equal(t, 1, count["main"])
	require.Equal(t, 1, count["title"])
	for _, id := range asked {
		require.True(t, ids[id], "nothing has the id %s", id)
	}
	return count
}

// Relative luminance and contrast as WCAG 2.2 defines them (https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio, from
// memory); success criterion 1.4.3 asks for 4.5, 1.4.6 for 7.
func contrast(a, b string) float64 {
	lum := func(hex string) float64 {
		hex = strings.TrimPrefix(hex, "#")
		if len(hex) == 3 {
			hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
		}
		var sum float64
		for i, w := range []float64{.2126, .7152, .0722} {
			n, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
			c := float64(n) / 255
			if c <= .04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+.055)/1.055, 2.4)
			}
			sum += w * c
		}
		return sum
	}
	x, y := lum(a), lum(b)
	return (max(x, y) + .05) / (min(x, y) + .05)
}

func TestEveryLetterStandsOutFromItsGround(t *testing.T) {
	require.InDelta(t, 21, contrast("#000", "#fff"), 1e-9)
	require.InDelta(t, 4.54, contrast("#767676", "#ffffff"), .01, "the least grey on white that passes, as is well known")
	page := htmlOf(t, planned(t, gantry(yard()), plan.Request{Place: "yard"}), engine.ForTrainer)
	inks := regexp.MustCompile(`[ ;{]color: (#[0-9a-f]+)`).FindAllStringSubmatch(page, -1)
	grounds := regexp.MustCompile(`background: (#[0-9a-f]+)`).FindAllStringSubmatch(page, -1)
	require.NotEmpty(t, inks)
	require.GreaterOrEqual(t, len(grounds), 2)
	for _, i := range inks {
		for _, g := range grounds {
			require.GreaterOrEqual(t, contrast(i[1], g[1]), 7.0, "%s on %s", i[1], g[1])
		}
	}
}

func TestNothingInAFileBecomesMarkup(t *testing.T) {
	c := yard()
	nasty := `<script>alert("x")</script> & </style><img src=x>`
	for _, b := range c.Behaviours {
		b.Text, b.Sheet.Do, b.Sheet.Success, b.Sheet.Pay = nasty, nasty, nasty, nasty
	}
	c.Name = nasty
	v := gantry(c)
	v.Dog.Notes = nasty
	page := htmlOf(t, planned(t, v, plan.Request{Place: "yard"}), engine.ForTrainer)
	require.NotContains(t, page, "<script")
	require.NotContains(t, page, "<img")
	require.Contains(t, page, "&lt;script&gt;")
}

func TestSuccessesThatArePaidAreShaded(t *testing.T) {
	p := planned(t, gantry(yard()), plan.Request{Place: "yard", Seed: 7})
	it := &p.Items[0]
	it.Trials, it.Rewarded = 5, []bool{true, false, false, true, false}
	page := htmlOf(t, p, engine.ForOwner)
	require.Contains(t, page, `aria-label="Right ones: 5 boxes; feed at 1 and 4"><b>Right ones</b>`+
		`<span><i class="paid"></i></span><span><i></i></span><span><i></i></span><span><i class="paid"></i></span><span><i></i></span></div>`)
	require.Contains(t, page, "when you tick a shaded box; kind words at the others")
	require.NotContains(t, page, "star", "stars are for the text form")
	it.Rewarded = []bool{true, true, true, true, true}
	require.NotContains(t, htmlOf(t, p, engine.ForOwner), "Right ones", "where every success is paid there is nothing to look up")
}

func TestVariedValuesStandAboveTheirBoxes(t *testing.T) {
	p := planned(t, gantry(yard()), plan.Request{Place: "yard", Seed: 7})
	it := &p.Items[0]
	it.Trials, it.Rewarded = 3, []bool{true, true, true}
	it.Asked = []plan.Asked{{Of: "duration", Values: []string{"2 s", "1.5 s", "3 s"}, Full: "3 s", Set: []string{"1.5 s", "2 s", "3 s"}, Mean: "2.2 s"}}
	page := htmlOf(t, p, engine.ForTrainer)
	require.Contains(t, page, `aria-label="Tries: 3 boxes, for 2 s, 1.5 s, 3 s"><b>Tries</b><span><b>2</b><i></i></span><span><b>1.5</b><i></i></span><span><b>3</b><i></i></span></div>`)
	require.Contains(t, page, "above each box: duration in s (from 1.5, 2, 3 s; mean 2.2 s)")
	it.Asked = append(it.Asked, plan.Asked{Of: "distance", Values: []string{"1 m", "2 m", "1 m"}, Set: []string{"1 m", "2 m"}, Mean: "1.5 m"})
	require.Contains(t, htmlOf(t, p, engine.ForTrainer), "distance 1 m, 2 m, 1 m, in this order", "two at once are said in words")
}

// sizes is the type sizes of a page in points: what is read while the dog works, before it, and at leisure.
func sizes(t *testing.T, page string) (points, detail, small float64) {
	t.Helper()
	for pattern, to := range map[string]*float64{`font: ([0-9.]+)pt`: &points, `\.detail \{ font-size: ([0-9.]+)pt`: &detail, `\.small \{ font-size: ([0-9.]+)pt`: &small} {
		m := regexp.MustCompile(pattern).FindStringSubmatch(page)
		require.NotNil(t, m, pattern)
		_, err := fmt.Sscan(m[1], to)
		require.NoError(t, err)
	}
	return points, detail, small
}

func TestABigSessionGetsSmallerLettersBeforeASecondSide(t *testing.T) {
	page := func(items int) string {
		p := planned(t, gantry(yard()), plan.Request{Place: "yard"})
		for len(p.Items) < items {
			p.Items = append(p.Items, p.Items[len(p.Items)%3])
		}
		p.Items = p.Items[:items]
		return htmlOf(t, p, engine.ForTrainer)
	}
	last, fell := 99.0, 0
	for items := 1; items <= 12; items++ {
		points, detail, small := sizes(t, page(items))
		require.GreaterOrEqual(t, points, 10.0)
		require.GreaterOrEqual(t, detail, 9.0)
		require.GreaterOrEqual(t, small, 8.5)
		if points < last {
			fell++
		}
		last = points
	}
	require.GreaterOrEqual(t, fell, 2)
	points, detail, _ := sizes(t, page(60))
	require.Equal(t, []float64{11, 11}, []float64{points, detail}, "what takes several sides anyway is set to be read")
}

func TestWhatAFullPageLeavesOutItSays(t *testing.T) {
	p := planned(t, gantry(yard()), plan.Request{Place: "yard"})
	require.NotContains(t, htmlOf(t, p, engine.ForTrainer), "More on the text sheet")
	for len(p.Items) < 9 {
		p.Items = append(p.Items, p.Items[len(p.Items)%3])
	}
	full := htmlOf(t, p, engine.ForTrainer)
	require.Contains(t, full, "More on the text sheet")
	require.NotContains(t, full, "Why these")
	for i := range p.Items {
		require.Contains(t, full, template.HTMLEscapeString(p.Items[i].Success), "what counts is never left out")
		for _, c := range p.Items[i].Cautions {
			require.Contains(t, full, template.HTMLEscapeString(c), "no caution is")
		}
	}
}

func TestALockedDogsPageSaysSoAndNothingElse(t *testing.T) {
	v := gantry(yard())
	v.Locked = []engine.Lock{{Sign: "growl", At: morning}}
	page := htmlOf(t, planned(t, v, plan.Request{Place: "yard"}), engine.ForOwner)
	require.Contains(t, page, "No training")
	require.NotContains(t, page, "<article")
	require.NotContains(t, page, "Tries")
}

func TestADeafDogIsShownItsMarker(t *testing.T) {
	c := yard()
	c.Markers = []curriculum.Marker{{Name: "nice", Text: "well done", Signals: []curriculum.Cue{{Kind: "hand", Text: "thumb up"}}}}
	c.Behaviour("hand-touch").Steps[0].Prompts, c.Behaviour("hand-touch").Steps[0].Help = []string{"word", "lure"}, []string{"word"}
	v := gantry(c)
	v.Dog.Cues = []string{"hand"}
	for _, voice := range []engine.Voice{engine.ForTrainer, engine.ForOwner} {
		p, err := plan.ForView(program(t, c), v, plan.Request{Dog: "gantry", At: morning, Place: "yard"})
		require.NoError(t, err)
		page := htmlOf(t, p, voice)
		require.Contains(t, page, "thumb up")
		require.NotContains(t, page, "well done")
		require.NotContains(t, page, "boop")
		require.NotRegexp(t, `\b(?i:say|word)\b`, sheetBody.ReplaceAllString(page, ""))
		for _, it := range p.Items {
			if it.Behaviour == "hand-touch" {
				require.Equal(t, []string{"cue", "lure"}, it.Prompts)
				require.Equal(t, []string{"cue"}, it.Help)
			}
		}
	}
}

// sheetBody is what of a page is style, or a line that asks for something written.
var sheetBody = regexp.MustCompile(`(?s)<style>.*</style>|Note in five words|In five words`)

func TestThePageSaysOnceWhyOthersAreLeftOutAndWhomToRing(t *testing.T) {
	c := yard()
	v := shown(c, curriculum.Dog{Name: "okapi"})
	p, err := plan.ForView(program(t, c), v, plan.Request{Dog: "okapi", At: morning, Place: "room-a"})
	require.NoError(t, err)
	page := htmlOf(t, p, engine.ForTrainer)
	require.Equal(t, 1, strings.Count(page, "1 new behaviour a session is the most"))
	for _, l := range p.LeftOut {
		require.Contains(t, page, l.Behaviour)
		require.Contains(t, page, l.Reason)
	}
	require.Contains(t, page, "<span>Senior trainer: <u></u></span><span>Veterinarian: <u></u></span>")
	owner := htmlOf(t, p, engine.ForOwner)
	require.Contains(t, owner, "<span>Your trainer: <u></u></span>")
	require.NotContains(t, owner, "is the most")
}
