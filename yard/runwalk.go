package yard

import (
	"fmt"
	"strconv"

	"runproof/drawing"
	"runproof/drill"
)

func (p *page) runMove() {
	p.part("11  Move the drill once, slowly", 50)
	p.warn(cautionMoving)
	p.step("Raise and lower; fold and unfold; turn fully to the left and to the right. Somebody watches every hinge, hose and leg: nothing pulls tight, nothing is pinched.")
}

// walkGroup is runs of one head on neighbouring ports of one node, in the
// order in which they are pinched.
type walkGroup struct {
	node node
	head drill.HeadID
	runs []drill.Run
}

// walkOrder is the order of the plan, by which runproof prove goes where no
// times are noted: nodes, then ports.
func (j *job) walkOrder() []walkGroup {
	var out []walkGroup
	for _, l := range j.f.Map {
		r := j.runs[l.Run]
		if n := len(out); n == 0 || out[n-1].node.Serial != l.Node || out[n-1].head != r.Head {
			at, _ := j.node(l.Node)
			out = append(out, walkGroup{node: at, head: r.Head})
		}
		g := &out[len(out)-1]
		g.runs = append(g.runs, r)
	}
	return out
}

func (p *page) runWalk() {
	p.part("12  The walk: every run shows itself", 70)
	p.warn(cautionFan)
	p.say("Product on all heads, counts being recorded. Pinch the runs shut one after the other in the order of the boxes, each for about 4 seconds; let go, wait about 4 seconds, take the next. Tick the box when the run is done; note the time of the first run of each line by your own clock. If you lose count, note the run and go on. Closed runs are left out.")
	p.step("Recording started, file: ______________________________")
	for _, g := range p.walkOrder() {
		p.walkGroup(g)
	}
	p.step("Recording stopped. Fan off. At the office: runproof prove FIT WALK --marks MARKS tells which hose sits where.")
}

const (
	walkCellMM = 15.2
	walkRowMM  = 21.0
)

// walkGroup draws a box for each run with its id above and its row below.
func (p *page) walkGroup(g walkGroup) {
	across := int(p.Width() / walkCellMM)
	p.Space(3)
	p.Need(8 + walkRowMM + 9)
	p.Styled(fmt.Sprintf("Head %s, on node %s", g.head, g.node.Serial), p.Text.Bold())
	for i := 0; i < len(g.runs); i += across {
		s, r := p.Area(walkRowMM)
		for k, run := range g.runs[i:min(len(g.runs), i+across)] {
			walkCell(s, drawing.Rect{X: r.X + float64(k)*walkCellMM, Y: r.Y, W: walkCellMM, H: walkRowMM}, run)
		}
	}
	s, r := p.Area(9)
	small := p.Text.Sized(9).In(drawing.Soft)
	s.Text(drawing.Point{X: r.X, Y: r.Y + 5.5}, "time of the first", small)
	s.Line(drawing.Point{X: r.X + 25, Y: r.Y + 6}, drawing.Point{X: r.X + 60, Y: r.Y + 6}, drawing.Hair)
	s.Text(drawing.Point{X: r.X + 64, Y: r.Y + 5.5}, "notes", small)
	s.Line(drawing.Point{X: r.X + 74, Y: r.Y + 6}, drawing.Point{X: r.Right(), Y: r.Y + 6}, drawing.Hair)
}

func walkCell(s *drawing.Sheet, r drawing.Rect, run drill.Run) {
	mid := r.Centre().X
	id := drawing.TextStyle{SizePT: 11, Align: drawing.Centre}.Bold()
	name := string(run.ID)
	if id.Sized(7).WidthMM(name) > r.W-1 {
		name = strconv.Itoa(run.Outlet) // the head stands over the line
	}
	s.Text(drawing.Point{X: mid, Y: r.Y + 4}, name, id.Shrink(name, r.W-1, 7))
	small := drawing.TextStyle{SizePT: 8.5, Align: drawing.Centre, Ink: drawing.Soft}
	if run.Closed {
		s.Label(drawing.Point{X: mid, Y: r.Y + 5.5 + walkBoxMM/2}, "closed", small)
	} else {
		s.Rect(drawing.Rect{X: mid - walkBoxMM/2, Y: r.Y + 5.5, W: walkBoxMM, H: walkBoxMM}, drawing.Pen{Ink: drawing.Dark, WidthMM: 0.45}, drawing.NoInk)
	}
	s.Text(drawing.Point{X: mid, Y: r.Y + 5.5 + walkBoxMM + 4}, fmt.Sprintf("row %d", run.Row), small)
}

const walkBoxMM = 9.0

func (p *page) runNotes() {
	p.part("13  What was done differently", 60)
	p.say("Runs on other ports, other places of boxes, other lengths, parts that were changed: what is written here goes into the next revision of the fit. Any run can be moved to a free port and assigned anew without losing its history.")
	p.blanks(8)
}

func (p *page) runSign() {
	p.part("14  Sign-off", 90)
	p.step("Tools, off-cuts and spilt product are picked up. Spare caps, plugs and one fuse stay with the machine.")
	p.step("Locks and stands are off and stowed, guards are on.")
	p.step("These sheets go into the job's folder.")
	p.warn(cautionRoad)
	for _, who := range []string{"fitted by", "taken over by"} {
		s, r := p.Area(14)
		st := p.Text
		s.Text(drawing.Point{X: r.X, Y: r.Y + 10}, who, st)
		s.Line(drawing.Point{X: r.X + 30, Y: r.Y + 10.5}, drawing.Point{X: r.X + 120, Y: r.Y + 10.5}, drawing.Thin)
		s.Text(drawing.Point{X: r.X + 124, Y: r.Y + 10}, "date", st)
		s.Line(drawing.Point{X: r.X + 134, Y: r.Y + 10.5}, drawing.Point{X: r.Right(), Y: r.Y + 10.5}, drawing.Thin)
	}
}
