package store

import "testing"

// FuzzCells: whatever a line of a backup holds, its cells are texts and whole
// numbers, as many as there are columns, or it is refused.
func FuzzCells(f *testing.F) {
	for _, s := range []string{`["a",1]`, `["a"]`, `[1.5,"x"]`, `[null,{}]`, `{"a":1}`, `["` + "\x00", `[9223372036854775808,1]`, ``} {
		f.Add([]byte(s), 2)
	}
	f.Fuzz(func(t *testing.T, line []byte, width int) {
		cells, err := cellsOf(line, width)
		if err != nil {
			return
		}
		if len(cells) != width || width == 0 {
			t.Errorf("%d cells of %d", len(cells), width)
		}
		for _, c := range cells {
			switch c.(type) {
			case string, int64:
			default:
				t.Errorf("cell %T", c)
			}
		}
	})
}
