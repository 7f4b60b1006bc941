package yours

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// dozen is what a careful reader puts in.
const dozen = `truck.Name = "Bramble"
truck.Tyre = tyreSize("33x12.50R15LT", truck.Tyre)
truck.Tyre.LoadedRadius = normal(402*mm, 3*mm/1.96)
truck.Tyre.Mass = 26.5*kg
truck.Tyre.Pressure = 32*psi
truck.Mass = 4410*lb
truck.FrontShare = 56*percent
truck.Both.Lift = 3*inch
truck.Steering.RackPerTurn = 44.5*mm
truck.Spring.Rate = 105*N/mm
truck.Front.Camber = -0.35*deg
truck.Front.UpperBall = at(-22.4*mm, 668.1*mm, 643.7*mm)
`

func TestPack(t *testing.T) {
	c, faults := Parse("truck", dozen)
	require.Empty(t, faults)
	require.Len(t, c.List, 12)
	packed := c.Pack()
	t.Logf("%d changes of %d bytes in %d characters", len(c.List), len(dozen), len(packed))
	require.Less(t, len(packed), 500)
	require.Regexp(t, `^[A-Za-z0-9_-]+$`, packed)
	again, faults := Unpack("truck", packed)
	require.Empty(t, faults)
	require.Equal(t, strings.ReplaceAll(strings.ReplaceAll(c.Text(), "mm, ", "mm,"), "\", ", "\","), strings.ReplaceAll(strings.ReplaceAll(again.Text(), "mm, ", "mm,"), "\", ", "\","))
	require.Empty(t, Changes{Name: "truck"}.List)
}

// Links that are about must be read by later programs too.
func TestOldLinks(t *testing.T) {
	c, faults := Unpack("truck", oldLink)
	require.Empty(t, faults)
	require.Equal(t, "truck.Mass = 4410*lb\ntruck.Both.Lift = 3*inch\n", c.Text())
}

// A link that is broken, or made to break something, gives nothing but a mistake.
func TestUnpackRefuses(t *testing.T) {
	pack := func(text string) string {
		var out bytes.Buffer
		w, _ := flate.NewWriterDict(&out, flate.BestCompression, []byte(packWords))
		_, _ = w.Write([]byte(text))
		_ = w.Close()
		return version + base64.RawURLEncoding.EncodeToString(out.Bytes())
	}
	for _, packed := range []string{
		"", "a", "b", "a!", "z" + Changes{}.Pack()[1:], pack(strings.Repeat("\n", 1<<20)), // which packs into a few kilobytes
		pack("Mass=use(\"x\").y\n"), pack("Body=1\n"), pack("Mass=1*kg; other := 2\n"), pack("<script>\n"), pack("Mass\n"), pack("=\n"), pack("Name=\"\u202e\"\n"),
	} {
		c, faults := Unpack("truck", packed)
		require.NotEmpty(t, faults, packed)
		require.LessOrEqual(t, len(c.List), 1)
		for _, one := range c.List {
			require.Equal(t, "Mass", one.Path)
		}
	}
}

func FuzzUnpack(f *testing.F) {
	c, _ := Parse("truck", dozen)
	f.Add(c.Pack())
	f.Add(oldLink)
	f.Fuzz(func(t *testing.T, packed string) {
		c, _ := Unpack("truck", packed)
		again, faults := Unpack("truck", c.Pack())
		if len(faults) > 0 || len(again.List) != len(c.List) {
			t.Fatalf("%q: %q comes to %q, %v", packed, c.Text(), again.Text(), faults)
		}
	})
}

const oldLink = "aAhtiYmJoAEo2COcZQxITIAAA__8"
