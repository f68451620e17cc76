package fit

import (
	"encoding/csv"
	"io"
	"strconv"

	"runproof/drill"
)

// MapColumns are the columns of the map as a table.
var MapColumns = []string{"run", "product", "head", "outlet", "row", "node", "port"}

// WriteMap writes the map as a CSV table, one line per sensed run in the order
// of the map.
func (f *Fit) WriteMap(w io.Writer) error {
	runs := make(map[drill.RunID]drill.Run)
	for _, r := range f.Drill.Runs() {
		runs[r.ID] = r
	}
	c := csv.NewWriter(w)
	c.Write(MapColumns)
	for _, l := range f.Map {
		r := runs[l.Run]
		c.Write([]string{string(l.Run), string(r.Product), string(r.Head), strconv.Itoa(r.Outlet), strconv.Itoa(r.Row), l.Node, strconv.Itoa(l.Port)})
	}
	c.Flush()
	return c.Error()
}
