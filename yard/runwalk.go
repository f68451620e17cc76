package yard

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"runproof/drawing"
	"runproof/drill"
	"runproof/measure"
	"runproof/parts"
)

func (p *page) runMove() {
	p.part("11  Move the drill once, slowly", 50)
	p.warn(cautionMoving)
	p.step("Raise and lower; fold and unfold; turn fully left and right, brake off for that alone. Somebody watches every hinge, hose and leg: nothing pulls tight, nothing is pinched.")
	p.step("Lowered again on hard, level ground, no opener in soil. Brake on, engine off, key out, wheels chocked.")
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
	p.warn(cautionWalk)
	p.step("Drill standing, lowered, as in part 11. Sheets and bags under all openers." + p.walkMass())
	p.step("Engine on, monitor “in the ground”, fan at the speed for this product, metering by the drill's own test run, as its manual says. Product on all heads, or on the one being walked where that can be.")
	p.step("The monitor or its recorder records, as its manual says; file: ______________________________")
	p.say(fmt.Sprintf("Pinch one run after the other in the order below, with smooth pliers between head and sensor: about %d seconds shut, then %d seconds open. Tick it. Closed runs are left out. Keep the order, then no times are needed; if you lose it, start a new recording and begin again.", walkShutS, walkOpenS))
	for _, g := range p.walkOrder() {
		p.walkGroup(g)
	}
	p.step("Recording stopped. Metering and fan off, engine off, key out.")
	p.step("Recording and these pages go to the office, or to the laptop, before anybody signs. Hoses that are to be changed over are changed, and their runs walked again: ____________________________", "At the office: runproof prove FIT RECORDING")
}

// How long a run is pinched and left open on the walk, s.
const (
	walkShutS = 4
	walkOpenS = 4
)

// walkMass says how much comes out on the walk at the rate of work: all runs of
// the drill flow while one after the other is pinched.
func (p *page) walkMass() string {
	walked := 0
	for _, l := range p.f.Map {
		if !p.runs[l.Run].Closed {
			walked++
		}
	}
	seconds := float64(walked * (walkShutS + walkOpenS))
	var each []string
	for _, q := range p.d.Products {
		if kg := q.RateKgHa / 1e4 * p.d.WidthM() * p.d.Work.SpeedMPS * seconds; kg > 0 {
			each = append(each, fmt.Sprintf("%s of %s", p.units.fixed(measure.Mass, kg, 0), q.ID))
		}
	}
	if len(each) == 0 {
		return ""
	}
	return fmt.Sprintf(" With all heads on at the rate of work, about %s come out in %.0f minutes. Dressed seed never goes back to feed.", listing(each, text), math.Ceil(seconds/60))
}

const (
	walkCellMM = 15.2
	walkRowMM  = 19.0
)

// walkGroup draws a box for each run with its id above and its row below.
func (p *page) walkGroup(g walkGroup) {
	across := int(p.Width() / walkCellMM)
	p.Space(1.5)
	p.Need(7 + walkRowMM)
	s, r := p.Area(7)
	bold := p.Text.Sized(11).Bold()
	head := fmt.Sprintf("Head %s, on node %s", g.head, g.node.Serial)
	s.Text(drawing.Point{X: r.X, Y: r.Y + 5}, bold.Fit(head, r.W*0.6), bold)
	small := p.Text.Sized(9).In(drawing.Soft)
	from := r.X + min(r.W*0.6, bold.WidthMM(head)) + 6
	s.Text(drawing.Point{X: from, Y: r.Y + 5}, "notes", small)
	s.Line(drawing.Point{X: from + 10, Y: r.Y + 5.5}, drawing.Point{X: r.Right(), Y: r.Y + 5.5}, drawing.Hair)
	for i := 0; i < len(g.runs); i += across {
		s, r := p.Area(walkRowMM)
		for k, run := range g.runs[i:min(len(g.runs), i+across)] {
			walkCell(s, drawing.Rect{X: r.X + float64(k)*walkCellMM, Y: r.Y, W: walkCellMM, H: walkRowMM}, run)
		}
	}
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

const walkBoxMM = 8.5

func (p *page) runNotes() {
	p.part("13  What was done differently", 60)
	spare := "All ports are in use: a run that must move changes places with another, or a node more is fitted."
	if p.f.FreePorts() > 0 {
		spare = "Any run can be moved to a free port and assigned anew without losing its history."
	}
	p.say("Runs on other ports, other places, other lengths, parts that were changed: what is written here goes into the next revision of the fit. " + spare)
	p.blanks(3)
}

func (p *page) runSign() {
	p.part("14  Sign-off", 75)
	p.step("Every run is proved as planned, or stands in part 13.")
	p.step("Tools, off-cuts and spilt product are picked up." + p.sparesLeft())
	p.step("Locks, stands and chocks are stowed, guards are on. These sheets go into the job's folder.")
	p.warn(cautionRoad)
	for _, who := range []string{"fitted by", "taken over by"} {
		s, r := p.Area(10)
		st := p.Text
		s.Text(drawing.Point{X: r.X, Y: r.Y + 8}, who, st)
		s.Line(drawing.Point{X: r.X + 30, Y: r.Y + 8.5}, drawing.Point{X: r.X + 120, Y: r.Y + 8.5}, drawing.Thin)
		s.Text(drawing.Point{X: r.X + 124, Y: r.Y + 8}, "date", st)
		s.Line(drawing.Point{X: r.X + 134, Y: r.Y + 8.5}, drawing.Point{X: r.Right(), Y: r.Y + 8.5}, drawing.Thin)
	}
}

// sparesLeft lists the small spares that stay with the machine, as far as the
// fit has left them.
func (p *page) sparesLeft() string {
	var left []string
	for _, l := range p.f.Kit.Lines {
		if l.Spare > 0 && slices.Contains([]parts.Kind{parts.Sensor, parts.Clamp, parts.Cap, parts.Plug, parts.Fuse}, l.Kind) {
			left = append(left, one(l.Spare, l.Kind.String()))
		}
	}
	if len(left) == 0 {
		return ""
	}
	return " Spares stay with the machine, as far as they are left: " + listing(left, text) + "."
}
