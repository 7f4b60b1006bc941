package site

import (
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/engine"
	"turnplate/site/page/browsertest"
	"turnplate/site/page/npmtest"
)

// The Nu HTML checker finds nothing against the pages of the demo, their style and their vector pictures.
func TestDemoIsValidHTML(t *testing.T) {
	browsertest.OnlySweeping(t)
	if _, err := exec.LookPath("java"); err != nil {
		npmtest.Missing(t, "the HTML checker needs Java: %v", err)
	}
	checker := npmtest.File(t, "vnu-jar", "26.9.27", "build/dist/vnu.jar")
	folder, files := demo(t)
	args := []string{"-jar", checker, "--format", "json", "--also-check-css", "--also-check-svg", "--exit-zero-always"}
	for name := range files {
		if ext := path.Ext(name); ext == ".html" || ext == ".css" || ext == ".svg" {
			args = append(args, filepath.Join(folder, filepath.FromSlash(name)))
		}
	}
	args = append(args, filledForm(t, files))
	out, err := exec.Command("java", args...).CombinedOutput()
	require.NoError(t, err, "%s", out)
	var report struct {
		Messages []struct {
			Type, URL, Message, Extract string
			LastLine                    int
		}
	}
	require.NoError(t, json.Unmarshal(out, &report), "%s", out)
	// The checker takes a page's own folder for another origin, and data for a script, as no browser does; and
	// it doesn't know the property paint-order (SVG 2, section 13.8).
	mistaken := regexp.MustCompile(`violates Content Security Policy|Property “paint-order” doesn't exist`)
	for _, m := range report.Messages {
		if !mistaken.MatchString(m.Message) {
			t.Errorf("%s:%d: %s: %s\n%s", path.Base(m.URL), m.LastLine, m.Type, m.Message, strings.TrimSpace(m.Extract))
		}
	}
	assert.NotEmpty(t, pagesOf(files))
}

// filledForm is a page with the form that readers of the demo fill in for their own truck, some of it filled in, some of it
// doubted and wrong.
func filledForm(t *testing.T, files map[string]string) string {
	t.Helper()
	packed := regexp.MustCompile("(?s)`(.*)`").FindStringSubmatch(files["turnplate/notebooks.js"])
	require.NotNil(t, packed)
	z, err := gzip.NewReader(base64.NewDecoder(base64.StdEncoding, strings.NewReader(packed[1])))
	require.NoError(t, err)
	bundle, err := io.ReadAll(z)
	require.NoError(t, err)
	var e engine.Engine
	require.NoError(t, e.Open(bundle))
	ask := func(request map[string]any) map[string]any {
		text, err := json.Marshal(request)
		require.NoError(t, err)
		return e.Answer(text)
	}
	made := ask(map[string]any{
		"Do": "page", "Page": "index.html", "Notebook": "vehicles/corrie", "Name": "truck",
		"Changes": "truck.Both.Lift = 30*mm\ntruck.Wheelbase = 5000*mm\n", "Command": map[string]string{"Do": "set", "Path": "Mass", "Text": "<heavy>"},
	})
	require.Contains(t, made["form"], "yours-Mass-notes")
	name := filepath.Join(t.TempDir(), "form.html")
	page := "<!DOCTYPE html>\n<html lang=\"en\"><head><title>The form</title></head><body><h1>The form</h1>" + made["form"].(string) + "</body></html>\n"
	require.NoError(t, os.WriteFile(name, []byte(page), 0o644))
	return name
}
