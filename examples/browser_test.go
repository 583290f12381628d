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
// tall it is in millimetres and which elements stick out.
const probe = `<style>html, body { width: 194mm; margin: 0; padding: 0; }</style><script>
const edge = document.body.getBoundingClientRect(), out = [];
for (const e of document.querySelectorAll("body *:not(.unseen)"))
  if (e.getBoundingClientRect().right > edge.right + 1 || e.getBoundingClientRect().left < edge.left - 1) out.push(e.tagName + " " + e.textContent.slice(0, 30));
document.title = "TALL " + (edge.height / 96 * 25.4).toFixed(1) + " OUT " + out.join("; ") + " END";
</script></body>`

var screenRules = regexp.MustCompile(`(?s)@media screen \{.*</style>`)

// letterHeight is Letter between margins of 8 mm, in millimetres; A4 is taller.
const letterHeight = 279.4 - 16

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
				file := filepath.Join(t.TempDir(), "sheet.html")

				set := strings.Replace(screenRules.ReplaceAllString(b.String(), "</style>"), "</body>", probe, 1)
				require.NoError(t, os.WriteFile(file, []byte(set), 0o644))
				var tall float64
				m := regexp.MustCompile(`TALL ([0-9.]+) OUT (.*?) END`).FindStringSubmatch(run(t, "--dump-dom", "file://"+file))
				require.NotNil(t, m)
				_, err := fmt.Sscan(m[1], &tall)
				require.NoError(t, err)
				require.LessOrEqual(t, tall, letterHeight)
				require.Empty(t, m[2], "something sticks out")

				for paper, size := range map[string]string{"A4": "210mm 297mm", "Letter": "8.5in 11in"} {
					page := strings.Replace(b.String(), "@page {", "@page { size: "+size+";", 1)
					require.NoError(t, os.WriteFile(file, []byte(page), 0o644))
					pdf := filepath.Join(t.TempDir(), paper+".pdf")
					run(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+file)
					printed, err := os.ReadFile(pdf)
					require.NoError(t, err)
					require.Len(t, regexp.MustCompile(`/Type\s*/Page\b`).FindAll(printed, -1), 1, "sides of %s", paper)
				}
			})
		}
	}
}
