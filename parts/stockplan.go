package parts

// ShelfPlan says how a kit is met from a shelf. The zero ShelfPlan: no shelf
// was given.
type ShelfPlan struct {
	Least     string     `json:"least"`                // what is made least: pieces to order, or cost of the order
	Order     int        `json:"order"`                // pieces to order
	OrderCost float64    `json:"order_cost,omitempty"` // of them, where every price is known
	SurplusM  float64    `json:"surplus_m,omitempty"`  // legs longer than they must be, together, m
	Joints    int        `json:"joints,omitempty"`     // connections within legs
	Optimal   bool       `json:"optimal"`              // no other choice under the stated rules is better
	Bound     string     `json:"bound"`                // how that was proved, or the gap
	Legs      []LegCover `json:"legs,omitempty"`       // legs by their pieces, in the order of the fit
}

// What is made least.
const (
	LeastPieces = "pieces to order"
	LeastCost   = "cost of the order"
)

// LegCover is what one leg is made of.
type LegCover struct {
	ID      string   `json:"id"`                // of the leg
	Pieces  []string `json:"pieces"`            // ids, longest first; empty: nothing in the catalogue is thick enough
	Order   []string `json:"order,omitempty"`   // those of them that are not on the shelf
	LengthM float64  `json:"length_m"`          // of all pieces, m
	AreaMM2 float64  `json:"area_mm2"`          // least cross-section among them, mm²
	Changed bool     `json:"changed,omitempty"` // other pieces than planned: solve the voltages anew
}
