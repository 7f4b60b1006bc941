package build

import (
	"archive/zip"
	"bytes"
	"context"
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// fill gives everything below a value something that isn't its zero, and different each time.
func fill(v reflect.Value, n *int) {
	*n++
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if name := v.Type().Field(i).Name; name != "File" && name != "Source" { // of a snippet: Complete sets them
				fill(v.Field(i), n)
			}
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range 3 {
			key, value := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
			fill(key, n)
			fill(value, n)
			v.SetMapIndex(key, value)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range v.Len() {
			fill(v.Index(i), n)
		}
	case reflect.String:
		v.SetString("\"a\u2028\x00\n`}\xff" + string(rune('a'+*n)))
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(int64(*n) * math.MaxInt32 * int64(1-*n%2*2))
	case reflect.Uint8:
		v.SetUint(uint64(*n % 256))
	default:
		panic(v.Kind())
	}
}

// Whatever a field of about is or holds, it is carried: one that pack forgets is missing here.
func TestAboutIsReadAsWritten(t *testing.T) {
	var a, empty about
	n := 0
	fill(reflect.ValueOf(&a).Elem(), &n)
	require.Greater(t, n, 100)
	var out, again packed
	a.pack(&out)
	a.pack(&again)
	assert.Equal(t, out.data, again.data, "the same every time")
	in := packed{data: out.data, reading: true}
	empty.pack(&in)
	assert.False(t, in.damaged)
	assert.Empty(t, in.data)
	assert.Equal(t, a, empty)
}

func TestDamagedAbout(t *testing.T) {
	var a about
	n := 0
	fill(reflect.ValueOf(&a).Elem(), &n)
	var whole packed
	a.pack(&whole)
	bundle := func(said []byte) []byte {
		var out bytes.Buffer
		z := zip.NewWriter(&out)
		w, err := z.Create(aboutFile)
		require.NoError(t, err)
		_, err = w.Write(said)
		require.NoError(t, err)
		require.NoError(t, z.Close())
		return out.Bytes()
	}
	for _, said := range [][]byte{nil, whole.data[:len(whole.data)-1], append(bytes.Clone(whole.data), 0), bytes.Repeat([]byte{0xff}, 100), bytes.Repeat([]byte{0x7f}, 100)} {
		_, err := Unpack(context.Background(), bundle(said))
		assert.ErrorContains(t, err, "damaged")
	}
	for end := range whole.data {
		in := packed{data: whole.data[:end], reading: true}
		new(about).pack(&in)
		assert.True(t, in.damaged, "%d bytes of %d", end, len(whole.data))
	}
	for at := range whole.data { // it may pass for something else, but takes no more room than its bytes say
		for _, to := range []byte{0x00, 0x01, 0x7f, 0x80, 0xff} {
			data := bytes.Clone(whole.data)
			data[at] = to
			in := packed{data: data, reading: true}
			new(about).pack(&in)
		}
	}
	damaged := bundle(whole.data)
	for at := range damaged { // in the directory at its end this changes names, places and lengths
		was := damaged[at]
		damaged[at] = 0xff
		assert.NotPanics(t, func() { _, _ = Unpack(context.Background(), damaged) }, "byte %d of %d", at, len(damaged))
		damaged[at] = was
	}
	_, err := Unpack(context.Background(), []byte("PK"))
	assert.ErrorContains(t, err, "can't be read")
}
