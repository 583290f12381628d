package examples_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/rung/engine"
	"example.com/rung/engine/plan"
)

// browser is what RUNG_BROWSER names: chromium or a relative. `.ci/run browser` sets it.
func browser() string { return os.Getenv("RUNG_BROWSER") }

// run starts the browser with a profile of its own and returns what it printed.
func run(t *testing.T, args ...string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	c := exec.CommandContext(ctx, browser(), append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir=" + t.TempDir()}, args...)...)
	var out, noise bytes.Buffer
	c.Stdout, c.Stderr = &out, &noise
	require.NoError(t, c.Run(), noise.String())
	return out.String()
}

// probe sets a page as it is printed, as wide as A4 between its margins (Letter is wider), and writes into its title how
// tall it is in millimetres, which elements stick out, and which are smaller than they may be: in points what is read
// while the dog works 10, what is read before it 9, all else 8.5; in millimetres boxes to tick 5.
const probe = `<style>html, body { width: 196mm; margin: 0; padding: 0; }</style><script>
const edge = document.body.getBoundingClientRect(), out = [], tiny = [], mm = px => px / 96 * 25.4;
const floor = e => e.closest("article :is(h3 b, .right, .cue, .boxes, .card), .first, .stop ul:not(.general)") && !e.closest(".small") ? 10 : e.closest(".detail") ? 9 : 8.5;
for (const e of document.querySelectorAll("body *:not(.unseen)")) {
  const r = e.getBoundingClientRect(), own = [...e.childNodes].some(n => n.nodeType == 3 && n.textContent.trim());
  if (r.right > edge.right + 1 || r.left < edge.left - 1) out.push(e.tagName + " " + e.textContent.slice(0, 30));
  if (own && e.tagName != "SCRIPT" && parseFloat(getComputedStyle(e).fontSize) * .75 < floor(e) - .01) tiny.push(e.tagName + " " + e.textContent.slice(0, 30));
  if (e.matches(".boxes i, .mood i") && (mm(r.width) < 4.99 || mm(r.height) < 4.99)) tiny.push("box");
}
document.title = "TALL " + mm(edge.height).toFixed(1) + " OUT " + out.join("; ") + " TINY " + tiny.join("; ") + " END";
</script></body>`

var (
	screenRules = regexp.MustCompile(`(?m)^@media screen.*$`)
	probed      = regexp.MustCompile(`TALL ([0-9.]+) OUT (.*?) TINY (.*?) END`)
)

// letterHeight is Letter between margins of 7 mm, in millimetres; A4 is taller.
const letterHeight = 279.4 - 14

// onOneSide prints a page in the browser on both papers, and looks at it.
func onOneSide(t *testing.T, page string) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "sheet.html")
	set := strings.Replace(screenRules.ReplaceAllString(page, ""), "</body>", probe, 1)
	require.NoError(t, os.WriteFile(file, []byte(set), 0o644))
	var tall float64
	m := probed.FindStringSubmatch(run(t, "--dump-dom", "file://"+file))
	require.NotNil(t, m)
	_, err := fmt.Sscan(m[1], &tall)
	require.NoError(t, err)
	require.LessOrEqual(t, tall, letterHeight)
	require.Empty(t, m[2], "something sticks out")
	require.Empty(t, m[3], "something is too small to be read or ticked")

	for paper, size := range map[string]string{"A4": "210mm 297mm", "Letter": "8.5in 11in"} {
		sized := strings.Replace(page, "@page {", "@page { size: "+size+";", 1)
		require.NoError(t, os.WriteFile(file, []byte(sized), 0o644))
		pdf := filepath.Join(t.TempDir(), paper+".pdf")
		run(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+file)
		printed, err := os.ReadFile(pdf)
		require.NoError(t, err)
		require.Len(t, regexp.MustCompile(`/Type\s*/Page\b`).FindAll(printed, -1), 1, "sides of %s", paper)
	}
}

// reflows looks at a page on a screen 320 px wide, which is what 400 % of 1280 px comes to: nothing may have to be
// scrolled sideways (WCAG 2.2, success criterion 1.4.10).
func reflows(t *testing.T, page string) {
	t.Helper()
	dir := t.TempDir()
	inner := strings.Replace(page, "</body>", `<script>addEventListener("load", () => parent.postMessage("WIDE " + document.documentElement.scrollWidth + " OF " + document.documentElement.clientWidth + " END", "*"))</script></body>`, 1)
	outer := `<title>none</title><script>addEventListener("message", e => document.title = e.data)</script><iframe width="320" height="800" style="border: 0" src="inner.html"></iframe>`
	require.NoError(t, os.WriteFile(filepath.Join(dir, "inner.html"), []byte(inner), 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "outer.html"), []byte(outer), 0o644))
	m := regexp.MustCompile(`WIDE ([0-9]+) OF ([0-9]+) END`).FindStringSubmatch(run(t, "--virtual-time-budget=4000", "--dump-dom", "file://"+filepath.Join(dir, "outer.html")))
	require.NotNil(t, m)
	require.Equal(t, m[2], m[1])
}

func TestEveryDogsSheetPrintsOnOneSide(t *testing.T) {
	if browser() == "" {
		t.Skip("name a chromium in RUNG_BROWSER to see the sheets printed")
	}
	program := house(t)
	for _, dog := range []string{"okapi", "sorrel", "thimble", "gantry", "pewter", "bisk"} {
		for _, voice := range []engine.Voice{engine.ForTrainer, engine.ForOwner} {
			t.Run(fmt.Sprintf("%s, for the %s", dog, voice), func(t *testing.T) {
				t.Parallel()
				p := planFor(t, program, dog, now(t), plan.Request{Place: "room-b"})
				var b strings.Builder
				require.NoError(t, p.WriteHTML(&b, voice))
				onOneSide(t, b.String())
				reflows(t, b.String())
			})
		}
	}
}

func TestAWeekPrintsOnOneSide(t *testing.T) {
	if browser() == "" {
		t.Skip("name a chromium in RUNG_BROWSER to see the days printed")
	}
	program := house(t)
	for _, dog := range []string{"okapi", "gantry", "pewter"} {
		for _, voice := range []engine.Voice{engine.ForTrainer, engine.ForOwner} {
			t.Run(fmt.Sprintf("%s, for the %s", dog, voice), func(t *testing.T) {
				t.Parallel()
				days, err := plan.Ahead(program, program.Replay(until(t, dog, now(t)), now(t), dogs(t)...), plan.Request{Dog: dog, At: now(t)}, 7, 0)
				require.NoError(t, err)
				var b strings.Builder
				require.NoError(t, days.WriteHTML(&b, voice))
				onOneSide(t, b.String())
				reflows(t, b.String())
			})
		}
	}
}
