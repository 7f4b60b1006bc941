package site

import (
	"context"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"turnplate/site/starter"
)

// TestStarterWithOtherTrucks changes the starter's truck into others, as its reader would, and nothing on the other
// pages: no mistake, no doubt, and every claim holds.
func TestStarterWithOtherTrucks(t *testing.T) {
	page, err := fs.ReadFile(starter.FS, "vehicles/truck.md")
	require.NoError(t, err)
	lines := func(more ...string) func(string) string {
		return func(text string) string {
			return strings.Replace(text, "now := Alignment", strings.Join(more, "\n")+"\nnow := Alignment", 1)
		}
	}
	for name, change := range map[string]func(string) string{
		"as it comes":               lines(),
		"without cams":              lines("truck.Front.Adjust.CamLimit = 0*deg"),
		"small cams":                lines("truck.Front.Adjust.CamOffset = 2*mm"),
		"cams turned":               lines("truck.Front.Adjust.CamFront = 40*deg", "truck.Front.Adjust.CamRear = -70*deg"),
		"cams turned when measured": lines("truck.Front.Adjust.CamFrontMeasured = 40*deg", "truck.Front.Adjust.CamFront = 40*deg"),
		"the rack behind":           lines("truck.Front.TieInner = at(-150, 350, 292)*mm", "truck.Front.TieOuter = at(-140, 706, 284)*mm"),
		"lifted":                    lines("truck.Both.Lift = 60*mm", "truck.RearLift = 60*mm"),
		"a narrow joint":            lines("truck.Front.JointLimit = 20*deg"),
		"two sides":                 lines("truck.Right = Corner{UpperFront: at(107, 430, 634)*mm, UpperRear: at(-133, 441, 603)*mm, UpperBall: at(-18, 669, 642)*mm, LowerFront: at(203, 320, 262)*mm, LowerRear: at(-197, 331, 272)*mm, LowerBall: at(16, 744, 245)*mm, TieInner: at(150, 352, 301)*mm, TieOuter: at(148, 715, 291)*mm, WheelCentre: at(2, 805, 384)*mm, Camber: -0.4*deg, Adjust: truck.Front.Adjust}"),
		"taller tyres":              lines("truck.Tyre.Radius = 444*mm", "truck.Tyre.LoadedRadius = 425*mm", "truck.Tyre.Mass = 29*kg"),
		"upright":                   lines("truck.Front.UpperBall = at(20, 660, 640)*mm"),
		"a larger truck":            scaledPoints(1.12),
		"a smaller one":             scaledPoints(0.9),
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			_, err := Begin(filepath.Join(dir, "notes"))
			require.NoError(t, err)
			text := change(string(page))
			text = strings.Replace(text, "printed := 3.6*deg", "printed := now.Caster", 1) // this truck's own printout
			require.NoError(t, os.WriteFile(filepath.Join(dir, "notes", "vehicles", "truck.md"), []byte(text), 0o644))
			o, err := Verify(context.Background(), filepath.Join(dir, "notes"), nil)
			require.NoError(t, err)
			assert.Empty(t, o.Faults)
			assert.Empty(t, o.Doubts)
			for _, c := range o.Claims {
				assert.True(t, c.Holds, "%s: %s: %s", c.File, c.Says, c.Detail)
			}
		})
	}
}

// scaledPoints makes every point, and the lengths that go with them, larger by one factor.
func scaledPoints(by float64) func(string) string {
	number := regexp.MustCompile(`-?\d+`)
	line := regexp.MustCompile(`(?m)(at\([^)]*\)|Radius: +\d+|Wheelbase: +\d+|RearTrack: +\d+|CentreHeight: +\d+)\*mm`)
	return func(text string) string {
		return line.ReplaceAllStringFunc(text, func(part string) string {
			return number.ReplaceAllStringFunc(part, func(n string) string {
				x, _ := strconv.ParseFloat(n, 64)
				return strconv.FormatFloat(x*by, 'f', 1, 64)
			})
		})
	}
}
