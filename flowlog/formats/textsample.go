package formats

import (
	"io"

	"runproof/flowlog"
	"runproof/input"
)

// maxTextSample is how much of a text TextSample gives, in bytes.
const maxTextSample = 1 << 20

// TextSample gives the beginning of a text, unpacked, that is the file of no
// format here; ok is false for a file that some format owns.
func TextSample(src Source) (text []byte, ok bool, err error) {
	head := src.peek()
	if p, packed := packingOf(head); packed {
		r, closer, err := p.open(src.Stream)
		if err != nil {
			return nil, false, flowlog.Damaged(input.Place{File: src.Name}, err.Error(), 0, 0, 0)
		}
		defer closer()
		src.Stream = r
		head = src.peek()
	}
	if _, _, strange := stranger(head); strange || isArchive(head) {
		return nil, false, nil
	}
	for _, f := range all {
		if f.Owns(head) {
			return nil, false, nil
		}
	}
	// What is damaged further on is found when the text is read.
	text, _ = io.ReadAll(io.LimitReader(src.Stream, maxTextSample))
	return text, true, nil
}
