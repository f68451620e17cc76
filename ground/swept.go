package ground

// SweptM2 is the ground that the rows of spells went over, on the ellipsoid,
// whatever another pass did there.
func (f *Field) SweptM2(spells []Spell) float64 {
	sum := 0.0
	var list []shape
	for _, sp := range spells {
		for _, p := range f.pieces(sp) {
			list = p.shapes(f, list[:0], -1)
			for i := range list {
				sum += f.perPlaneM2(&list[i]) * list[i].areaM2()
			}
		}
	}
	return sum
}
