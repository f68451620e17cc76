package yard

import (
	"fmt"
	"strconv"
	"strings"

	"runproof/drawing"
	"runproof/input"
)

// LabelSheet is how labels lie on their paper [mm]. The zero value is the usual
// one for the paper. A sheet of one label is a roll.
type LabelSheet struct {
	Name       string
	Paper      drawing.Size // of the sheet; of a roll, that of the label
	WMM, HMM   float64      // of one label
	Cols, Rows int
	LeftMM     float64 // from the sheet's edge to the first label
	TopMM      float64
	PitchX     float64 // from one label's edge to the next one's
	PitchY     float64
}

// inMM is the length of an inch [mm].
const inMM = 25.4

var (
	a4     = drawing.A4.Portrait()
	letter = drawing.Letter.Portrait()
)

// labelSheets are the sizes known by name, without maker: a name is the size of
// the label. Margins are those of the grids on the market (common practice, no
// source), except where labels fill the sheet.
var labelSheets = []LabelSheet{
	{"70x37", a4, 70, 37, 3, 8, 0, 0.5, 70, 37},
	{"63.5x38.1", a4, 63.5, 38.1, 3, 7, 7.21, 15.15, 66.04, 38.1},
	{"99.1x67.7", a4, 99.1, 67.7, 2, 4, 4.65, 13.1, 101.6, 67.7},
	{"105x57", a4, 105, 57, 2, 5, 0, 6, 105, 57},
	{"2.625x1in", letter, 2.625 * inMM, 1 * inMM, 3, 10, 0.1875 * inMM, 0.5 * inMM, 2.75 * inMM, 1 * inMM},
	{"4x2in", letter, 4 * inMM, 2 * inMM, 2, 5, 0.15625 * inMM, 0.5 * inMM, 4.1875 * inMM, 2 * inMM},
	{"62x29", drawing.Size{WMM: 62, HMM: 29}, 62, 29, 1, 1, 0, 0, 0, 0},
}

// LabelSheets returns the names of the known sizes.
func LabelSheets() []string {
	names := make([]string, len(labelSheets))
	for i, l := range labelSheets {
		names[i] = l.Name
	}
	return names
}

// usualLabels is the size that a paper gets where none is asked for.
func usualLabels(p drawing.Paper) LabelSheet {
	name := "63.5x38.1"
	if p == drawing.Letter {
		name = "4x2in"
	}
	l, _ := namedLabels(name)
	return l
}

func namedLabels(name string) (LabelSheet, bool) {
	for _, l := range labelSheets {
		if l.Name == name {
			return l, true
		}
	}
	return LabelSheet{}, false
}

// ParseLabels reads a size of labels: a known name, or
//
//	WxH                              one label after the other, on a roll
//	WxH,COLSxROWS                    a sheet of the paper, its labels edge to edge in its middle
//	WxH,COLSxROWS,LEFT,TOP           with the margins to the first label
//	WxH,COLSxROWS,LEFT,TOP,GAPX,GAPY and the gaps between labels
//
// in millimetres, or all in inches where "in" follows the first size. The
// error is an input.Fault without a place.
func ParseLabels(text string, paper drawing.Paper) (LabelSheet, error) {
	text = strings.ReplaceAll(strings.TrimSpace(text), " ", "")
	if text == "" {
		return usualLabels(paper), nil
	}
	if l, ok := namedLabels(text); ok {
		return l, nil
	}
	fields := strings.Split(text, ",")
	size, inches := strings.CutSuffix(fields[0], "in")
	unit := 1.0
	if inches {
		unit = inMM
	}
	w, h, ok := pairOf(size, "x")
	if !ok || len(fields) > 6 || len(fields) == 3 || len(fields) == 5 {
		return LabelSheet{}, labelFault(text, "cannot be read")
	}
	l := LabelSheet{Name: text, WMM: w * unit, HMM: h * unit, Cols: 1, Rows: 1}
	l.Paper = drawing.Size{WMM: l.WMM, HMM: l.HMM}
	if len(fields) > 1 {
		return l.grid(fields[1:], unit, paper)
	}
	return l, l.check()
}

// grid reads what follows the size.
func (l LabelSheet) grid(fields []string, unit float64, paper drawing.Paper) (LabelSheet, error) {
	cols, rows, ok := pairOf(fields[0], "x")
	if !ok || cols != float64(int(cols)) || rows != float64(int(rows)) || cols*rows > 1000 {
		return l, labelFault(l.Name, "has no whole numbers of columns and rows")
	}
	l.Cols, l.Rows, l.Paper = int(cols), int(rows), paper.Portrait()
	var numbers [4]float64
	for i, f := range fields[1:] {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil || !(v >= 0) || v > 1000 {
			return l, labelFault(l.Name, fmt.Sprintf("has %q where a length is due", f))
		}
		numbers[i] = v * unit
	}
	l.PitchX, l.PitchY = l.WMM+numbers[2], l.HMM+numbers[3]
	l.LeftMM, l.TopMM = numbers[0], numbers[1]
	if len(fields) == 1 {
		l.LeftMM, l.TopMM = (l.Paper.WMM-l.width())/2, (l.Paper.HMM-l.height())/2
	}
	return l, l.check()
}

func (l LabelSheet) width() float64  { return float64(l.Cols-1)*l.PitchX + l.WMM }
func (l LabelSheet) height() float64 { return float64(l.Rows-1)*l.PitchY + l.HMM }

// check looks whether the labels lie on the sheet.
func (l LabelSheet) check() error {
	const slack = 0.01
	if l.WMM > 400 || l.HMM > 400 {
		return labelFault(l.Name, "is no size of a label: at most 400 mm are")
	}
	if l.LeftMM < -slack || l.TopMM < -slack || l.LeftMM+l.width() > l.Paper.WMM+slack || l.TopMM+l.height() > l.Paper.HMM+slack {
		return labelFault(l.Name, fmt.Sprintf("does not fit a sheet of %.1f x %.1f mm", l.Paper.WMM, l.Paper.HMM))
	}
	return nil
}

func labelFault(text, what string) error {
	return input.Fault{
		What:   fmt.Sprintf("the label size %q %s", text, what),
		Remedy: "use one of " + strings.Join(LabelSheets(), ", ") + ", or WIDTHxHEIGHT in mm for a roll, or WIDTHxHEIGHT,COLUMNSxROWS,LEFT,TOP,GAPX,GAPY for a sheet",
	}
}

// pairOf reads two positive numbers with a sign between them.
func pairOf(text, between string) (a, b float64, ok bool) {
	left, right, cut := strings.Cut(text, between)
	a, errA := strconv.ParseFloat(left, 64)
	b, errB := strconv.ParseFloat(right, 64)
	return a, b, cut && errA == nil && errB == nil && a > 0 && b > 0 && a < 1e4 && b < 1e4
}

// each is how many labels a sheet has.
func (l LabelSheet) each() int { return l.Cols * l.Rows }

// place is where the i-th label of a sheet lies, in reading order.
func (l LabelSheet) place(i int) drawing.Rect {
	return drawing.Rect{X: l.LeftMM + float64(i%l.Cols)*l.PitchX, Y: l.TopMM + float64(i/l.Cols)*l.PitchY, W: l.WMM, H: l.HMM}
}
