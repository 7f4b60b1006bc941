package collection

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/color/palette"
	"image/draw"
	"image/gif"
	"image/jpeg"
	pngs "image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	_ "golang.org/x/image/webp"
)

const secret = "56.34N 4.29W"

// stripes is a picture with an edge in it, so that no two places look alike.
func stripes() image.Image {
	m := image.NewNRGBA(image.Rect(0, 0, 37, 23))
	for y := range 23 {
		for x := range 37 {
			m.Set(x, y, color.NRGBA{uint8(7 * x), uint8(11 * y), uint8(x * y), 255})
		}
	}
	return m
}

func segment(marker byte, content string) string {
	return string(binary.BigEndian.AppendUint16([]byte{0xff, marker}, uint16(len(content)+2))) + content
}

// exifOf is an Exif block with an orientation and with something after it that nobody should read.
func exifOf(o uint16) string {
	tiff := binary.LittleEndian.AppendUint32([]byte("II*\x00"), 8)
	tiff = binary.LittleEndian.AppendUint16(tiff, 2)
	for _, entry := range [][2]uint16{{0x010f, 5}, {0x0112, o}} {
		tiff = binary.LittleEndian.AppendUint16(tiff, entry[0])
		tiff = binary.LittleEndian.AppendUint16(tiff, 3)
		tiff = binary.LittleEndian.AppendUint32(tiff, 1)
		tiff = binary.LittleEndian.AppendUint32(tiff, uint32(entry[1]))
	}
	return string(tiff) + secret
}

// kept is what of a picture is carried.
func kept(bare []byte, _ int) []byte { return bare }

func decoded(t *testing.T, data []byte) image.Image {
	t.Helper()
	m, _, err := image.Decode(bytes.NewReader(data))
	require.NoError(t, err)
	return m
}

// A photograph loses every word about where, when and by whom it was taken, and nothing else: its orientation,
// its colours and its pixels stay.
func TestBareJPEG(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, jpeg.Encode(&out, stripes(), nil))
	plain := out.String()
	profile := segment(0xe2, "ICC_PROFILE\x00\x01\x01colours")
	told := func(o uint16) []byte {
		return []byte(plain[:2] + segment(0xe0, "JFIF\x00\x01\x02\x00\x00\x01\x00\x01\x00\x00") + segment(0xe1, "Exif\x00\x00"+exifOf(o)) +
			segment(0xe1, "http://ns.adobe.com/xap/1.0/\x00"+secret) + profile + "\xff" + segment(0xed, "Photoshop 3.0\x00"+secret) +
			segment(0xe2, "MPF\x00"+secret) + segment(0xfe, secret) + segment(0xe7, secret) + plain[2:] + "\xff\xd8" + segment(0xe1, "Exif\x00\x00"+exifOf(3)) + "film " + secret)
	}
	for o := range uint16(10) {
		bare := kept(bareJPEG(told(o)))
		assert.NotContains(t, string(bare), secret)
		assert.Contains(t, string(bare), profile)
		assert.True(t, strings.HasSuffix(string(bare), plain[2:]), "the picture is the same bytes, and the last ones")
		assert.Equal(t, decoded(t, []byte(plain)), decoded(t, bare))
		assert.Equal(t, bare, kept(bareJPEG(bare)), "there is nothing left to leave out")
		config, err := jpeg.DecodeConfig(bytes.NewReader(bare))
		require.NoError(t, err)
		width, height, err := size("jpeg", told(o)) // which is what the page states
		require.NoError(t, err)
		if o > 4 && o < 9 {
			assert.Equal(t, []int{config.Height, config.Width}, []int{width, height}, "orientation %d", o)
		} else {
			assert.Equal(t, []int{config.Width, config.Height}, []int{width, height}, "orientation %d", o)
		}
		assert.Equal(t, o > 1 && o < 9, bytes.Contains(bare, []byte("Exif")), "orientation %d", o)
	}
	assert.Equal(t, plain, string(kept(bareJPEG([]byte(plain)))))
	second := plain[:2] + segment(0xe1, "Exif\x00\x00"+exifOf(1)) + segment(0xe1, "Exif\x00\x00"+exifOf(6)) + plain[2:]
	assert.Equal(t, plain, string(kept(bareJPEG([]byte(second)))), "no orientation but the first counts, here and where the size is read")
}

func chunk(kind, content string) string {
	c := string(binary.BigEndian.AppendUint32(nil, uint32(len(content)))) + kind + content
	return c + string(binary.BigEndian.AppendUint32(nil, crc32.ChecksumIEEE([]byte(kind+content))))
}

func TestBarePNG(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, pngs.Encode(&out, stripes()))
	plain := out.String()
	const head = 8 + 25 // signature and IHDR
	gamma := chunk("gAMA", "\x00\x00\xb1\x8f")
	for o := range uint16(10) {
		told := plain[:head] + gamma + chunk("eXIf", exifOf(o)) + chunk("tEXt", "Author\x00"+secret) + chunk("iTXt", "XML:com.adobe.xmp\x00\x00\x00\x00\x00"+secret) +
			chunk("zTXt", "a\x00"+secret) + chunk("caBX", secret) + plain[head:] + secret
		bare := kept(barePNG([]byte(told)))
		assert.NotContains(t, string(bare), secret)
		assert.Contains(t, string(bare), gamma)
		assert.Equal(t, decoded(t, []byte(plain)), decoded(t, bare))
		assert.Equal(t, bare, kept(barePNG(bare)))
		want := ""
		if o > 1 && o < 9 {
			want = chunk("eXIf", string(orientationOnly(int(o))))
		}
		assert.Equal(t, plain[:head]+gamma+want+plain[head:], string(bare))
		for _, picture := range [][]byte{[]byte(told), bare} {
			width, height, err := size("png", picture)
			require.NoError(t, err)
			if o > 4 && o < 9 {
				assert.Equal(t, []int{23, 37}, []int{width, height}, "orientation %d", o)
			} else {
				assert.Equal(t, []int{37, 23}, []int{width, height}, "orientation %d", o)
			}
		}
		assert.Equal(t, want != "", orientation(orientationOnly(int(o))) > 1 && o < 9)
	}
	assert.Equal(t, png, string(kept(barePNG([]byte(png)))), "one that is cut short after its head")
}

func riff(kind, content string) string {
	c := kind + string(binary.LittleEndian.AppendUint32(nil, uint32(len(content)))) + content
	return c + strings.Repeat("\x00", len(content)%2)
}

func webpOf(chunks ...string) string {
	body := "WEBP" + strings.Join(chunks, "")
	return "RIFF" + string(binary.LittleEndian.AppendUint32(nil, uint32(len(body)))) + body
}

func TestBareWebP(t *testing.T) {
	pixels := webpHead[12:]
	extended := func(flags string) string { return riff("VP8X", flags+"\x00\x00\x00\x02\x00\x00\x01\x00\x00") }
	told := webpOf(extended("\x0c"), pixels, riff("EXIF", exifOf(6)), riff("XMP ", secret+"!"), riff("odd!", secret))
	bare := kept(bareWebP([]byte(told)))
	assert.Equal(t, webpOf(extended("\x08"), pixels, riff("EXIF", string(orientationOnly(6)))), string(bare))
	assert.Equal(t, bare, kept(bareWebP(bare)))
	upright := kept(bareWebP([]byte(webpOf(extended("\x08"), pixels, riff("EXIF", exifOf(1))))))
	assert.Equal(t, webpOf(extended("\x00"), pixels), string(upright))
	width, height, err := size("webp", bare)
	require.NoError(t, err)
	assert.Equal(t, []int{3, 2}, []int{width, height})
	assert.Equal(t, webpHead, string(kept(bareWebP([]byte(webpHead)))))
}

func TestBareGIF(t *testing.T) {
	var out bytes.Buffer
	frame := image.NewPaletted(image.Rect(0, 0, 37, 23), palette.Plan9)
	draw.Draw(frame, frame.Bounds(), stripes(), image.Point{}, draw.Src)
	small := image.NewPaletted(image.Rect(3, 4, 20, 20), palette.WebSafe)
	require.NoError(t, gif.EncodeAll(&out, &gif.GIF{Image: []*image.Paletted{frame, small}, Delay: []int{10, 20}, LoopCount: 3}))
	plain := out.String()
	blocks := func(content string) string {
		b := ""
		for len(content) > 0 {
			n := min(len(content), 255)
			b, content = b+string([]byte{byte(n)})+content[:n], content[n:]
		}
		return b + "\x00"
	}
	comment := "!\xfe" + blocks(strings.Repeat("taken at ", 40)+secret)
	told := comment + "!\xff" + "\x0bXMP DataXMP" + blocks(secret)
	loop := strings.Index(plain, "!\xff\x0bNETSCAPE2.0")
	require.Positive(t, loop)
	data := plain[:loop] + told + plain[loop:len(plain)-1] + told + plain[len(plain)-1:] + secret
	assert.Equal(t, plain, string(kept(bareGIF([]byte(data)))))
	assert.Equal(t, plain, string(kept(bareGIF([]byte(plain)))))
	const extension = 19 // bytes of the longest one here
	for cut := range len(plain) {
		short := string(kept(bareGIF([]byte(plain[:cut]))))
		require.True(t, strings.HasPrefix(plain[:cut], short))
		require.Less(t, cut-len(short), extension, "one that is cut short keeps its frames as far as they go")
	}
}

// Whatever a decoder makes of a picture it still makes of what is carried: of the pictures that Go's own
// decoders are tested with, progressive, interlaced and truncated ones among them.
func TestBareShowsTheSame(t *testing.T) {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)
	folder := filepath.Join(strings.TrimSpace(string(root)), "src", "image")
	var files []string
	for _, pattern := range []string{"testdata/*.jpeg", "testdata/*.png", "png/testdata/*.png", "png/testdata/pngsuite/*.png", "testdata/*.gif"} {
		found, err := filepath.Glob(filepath.Join(folder, pattern))
		require.NoError(t, err)
		files = append(files, found...)
	}
	if _, err := os.Stat(filepath.Join(folder, "testdata")); err == nil { // some packages of Go leave it out
		require.Greater(t, len(files), 40)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		bare := barePNG
		switch filepath.Ext(name) {
		case ".jpeg":
			bare = bareJPEG
		case ".gif":
			bare = bareGIF
		}
		want, _, wantErr := image.Decode(bytes.NewReader(data))
		got, _, gotErr := image.Decode(bytes.NewReader(kept(bare(data))))
		assert.Equal(t, wantErr == nil, gotErr == nil, name)
		assert.Equal(t, want, got, name)
	}
}

// Whatever the bytes are, leaving out comes to an end, makes nothing longer than an orientation, and done
// twice leaves out no more than done once.
func FuzzBare(f *testing.F) {
	var j, p bytes.Buffer
	require.NoError(f, jpeg.Encode(&j, stripes(), nil))
	require.NoError(f, pngs.Encode(&p, stripes()))
	f.Add(j.Bytes())
	f.Add(p.Bytes())
	f.Add([]byte(photo(4, 3, 6)))
	f.Add([]byte(webpHead))
	f.Add([]byte("GIF89a\x01\x00\x01\x00\x80\x00\x00\x00\x00\x00\xff\xff\xff!\xfe\x01a\x00,\x00\x00\x00\x00\x01\x00\x01\x00\x00\x02\x02D\x01\x00;"))
	f.Add([]byte(webpOf(riff("VP8X", "\x0c\x00\x00\x00\x02\x00\x00\x01\x00\x00"), riff("EXIF", exifOf(6)))))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, bare := range []func([]byte) ([]byte, int){bareJPEG, barePNG, bareWebP, bareGIF} {
			once := kept(bare(data))
			assert.LessOrEqual(t, len(once), len(data)+64)
			assert.Equal(t, once, kept(bare(bytes.Clone(once))))
		}
	})
}
