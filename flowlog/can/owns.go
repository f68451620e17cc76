package can

import "bytes"

// Owns says whether a file that begins with head is a recording that this package
// reads: one of its first lines is a frame.
func Owns(head []byte) bool {
	var f frame
	const looked = 20
	for range looked {
		line, rest, more := bytes.Cut(head, []byte{'\n'})
		if f.read(bytes.TrimSuffix(line, []byte{'\r'})) == frameLine {
			return true
		}
		if !more {
			return false
		}
		head = rest
	}
	return false
}
