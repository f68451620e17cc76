package fit

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
	"unicode/utf8"

	"runproof/input"
)

// places tells where the values of a JSON text stand.
type places struct {
	text    []byte
	name    string
	offsets map[string]int // of each value, by path: "map.3.port"
}

// placesOf walks the text, which must have been decoded without an error.
func placesOf(text []byte, name string) places {
	p := places{text: text, name: name, offsets: make(map[string]int)}
	p.walk(json.NewDecoder(bytes.NewReader(text)), "")
	return p
}

// walk records the value that comes next, and those inside it.
func (p places) walk(d *json.Decoder, path string) {
	p.offsets[path] = p.next(int(d.InputOffset()))
	t, err := d.Token()
	open, ok := t.(json.Delim)
	if err != nil || !ok {
		return
	}
	for i := 0; d.More(); i++ {
		key := strconv.Itoa(i)
		if open == '{' {
			k, err := d.Token()
			if err != nil {
				return
			}
			key = k.(string) // the decoder gives no other keys
		}
		p.walk(d, strings.TrimPrefix(path+"."+key, "."))
	}
	d.Token() // the closing bracket
}

// next skips what stands between two values.
func (p places) next(i int) int {
	for i < len(p.text) && strings.IndexByte(" \t\r\n:,", p.text[i]) >= 0 {
		i++
	}
	return i
}

// at is the place of the value at the path, or of the nearest one around it.
func (p places) at(path string) input.Place {
	for {
		if i, ok := p.offsets[path]; ok {
			return placeAt(p.text, p.name, i)
		}
		i := strings.LastIndexByte(path, '.')
		path = path[:max(i, 0)]
	}
}

// placeAt is the line and column of a byte of the text.
func placeAt(text []byte, name string, i int) input.Place {
	i = min(max(i, 0), len(text))
	line := text[bytes.LastIndexByte(text[:i], '\n')+1 : i]
	return input.Place{File: name, Line: 1 + bytes.Count(text[:i], []byte("\n")), Col: 1 + utf8.RuneCount(line)}
}
