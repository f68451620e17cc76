package parts

// CutM is how long the kit cuts a tube for a straight distance, m: with the
// lay, up to the next whole step.
func CutM(straightM float64) float64 {
	pieces, _ := cutLengths([]float64{straightM})
	return pieces[0]
}
