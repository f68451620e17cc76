package export

import "slices"

// Extra is a column that follows from others.
type Extra struct {
	Field
	After string                               // name of the column before it
	Cell  func(cell func(name string) any) any // from the cells of its line, by name
}

// With is the layer with a column more; the layer itself is left as it is.
func (l Layer) With(x Extra) Layer {
	at := 1 + slices.IndexFunc(l.Fields, func(f Field) bool { return f.Name == x.After })
	out := l
	out.Fields = slices.Insert(slices.Clone(l.Fields), at, x.Field)
	out.Features = make([]Feature, len(l.Features))
	for i, f := range l.Features {
		cell := x.Cell(func(name string) any {
			return f.Cells[slices.IndexFunc(l.Fields, func(f Field) bool { return f.Name == name })]
		})
		f.Cells = slices.Insert(slices.Clone(f.Cells), at, cell)
		out.Features[i] = f
	}
	return out
}
