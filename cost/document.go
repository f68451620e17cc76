package cost

import (
	"io"

	"runproof/drill"
	"runproof/input/jsondoc"
	"runproof/measure"
	"runproof/review"
)

// Version is the document version of cost.json.
const Version = "cost/1"

// Document is what the skips of reviewed days may cost. Amounts are in the
// grower's currency; what cannot be reckoned for want of a price, a yield or a
// crop is left out.
type Document struct {
	Runproof    string        `json:"runproof"`           // Version
	Drill       string        `json:"drill"`              // name of the drill
	Currency    string        `json:"currency,omitempty"` // as written behind amounts
	Seed        uint64        `json:"seed"`               // of the draws: the same seed gives the same figures
	Draws       int           `json:"draws"`              // from all ranges together
	Total       Sum           `json:"total"`              // of all products that carry seed
	Products    []ProductCost `json:"products"`           // by product that carries seed
	Events      []EventCost   `json:"events"`             // by day and time
	Assumptions []Assumption  `json:"assumptions"`        // everything that the figures rest on
	Weighs      []Weigh       `json:"weighs"`             // which assumption moves the total most, the greatest first
	NotCounted  []string      `json:"not_counted"`        // what costs too and is in no figure
	Notes       []string      `json:"notes"`              // what the reader should know
}

// Sum is what several events come to. Each event's limits hold for that event:
// they do not add up to the limits of the sum.
type Sum struct {
	Events     int       `json:"events"`                // that left ground short of a product that carries seed
	MissedM2   float64   `json:"missed_m2"`             // ground short of seed, each place once, m2; this is not what was lost
	HarvestM2  Interval  `json:"harvest_of_m2"`         // ground whose whole harvest the loss comes to, m2
	LostKg     *Interval `json:"lost_kg,omitempty"`     // harvest lost, kg
	Lost       *Interval `json:"lost,omitempty"`        // what that would have fetched
	SavedKg    *Interval `json:"saved_kg,omitempty"`    // seed that stayed in the tank, kg
	Saved      *Interval `json:"saved,omitempty"`       // its price
	Net        *Interval `json:"net,omitempty"`         // lost less saved
	NetCorners *Corners  `json:"net_corners,omitempty"` // net where every assumption is at its most favourable or worst end at once
}

// Corners are the ends of all combinations.
type Corners struct {
	Least float64 `json:"least"` // every assumption at its favourable end
	Most  float64 `json:"most"`  // every assumption at its worst end
}

// ProductCost is the cost of one product's skips.
type ProductCost struct {
	Product drill.ProductID `json:"product"` // id of the product
	Crop    string          `json:"crop"`    // what its seed grows to; empty where that is not known
	PitchM  float64         `json:"row_m"`   // between neighbouring rows of the stand, m
	Sum
}

// EventCost is the cost of one event.
type EventCost struct {
	Day     string          `json:"day,omitempty"` // folder of the review, where there are several
	Event   int             `json:"event"`         // number of the event in that review
	Kind    review.Kind     `json:"kind"`          // what went wrong
	Run     drill.RunID     `json:"run"`           // empty for a whole head or product
	Head    drill.HeadID    `json:"head"`          // empty for a whole product
	Product drill.ProductID `json:"product"`       // that ground went short of
	Crop    string          `json:"crop"`          // empty where the product carries no seed of a known crop
	Metres  float64         `json:"metres"`        // travel in work while it lasted, m
	AreaM2  float64         `json:"area_m2"`       // ground that went short, as the review counts it, m2; this is not what was lost
	Pieces  []Piece         `json:"pieces"`        // that ground by how many rows side by side, each place once; empty for fertiliser

	HarvestM2 *Interval `json:"harvest_of_m2,omitempty"` // ground whose whole harvest the loss comes to, m2
	LostKg    *Interval `json:"lost_kg,omitempty"`       // harvest lost, kg
	Lost      *Interval `json:"lost,omitempty"`          // what that would have fetched
	SavedKg   *Interval `json:"saved_kg,omitempty"`      // product that stayed in the tank, kg
	Saved     *Interval `json:"saved,omitempty"`         // price of that seed
	Net       *Interval `json:"net,omitempty"`           // lost less saved
	Resow     *Resown   `json:"resow,omitempty"`         // what going back would cost instead
	Says      string    `json:"says"`                    // the cost in a sentence
}

// Resown is what sowing an event's ground again would cost instead of leaving
// it.
type Resown struct {
	AreaM2  float64  `json:"area_m2"` // that the pass goes over, m2
	Cost    Interval `json:"cost"`    // work, seed, and what late-sown ground yields less
	Cheaper float64  `json:"cheaper"` // part of the draws in which that is less than leaving it, 0 to 1
}

// Assumption is one figure that the estimate rests on.
type Assumption struct {
	Product drill.ProductID `json:"product,omitempty"` // empty where it is of all
	Key     string          `json:"key"`               // in an assumptions file
	Name    string          `json:"name"`              // in words
	Unit    string          `json:"unit,omitempty"`    // of the figures
	Range
	Mark   Mark   `json:"mark"`             // how sure it is
	Source string `json:"source,omitempty"` // where it comes from
}

// BushelKg is the weight of a bushel of the product, kg; 0 where nothing was
// taken by the bushel.
func (d *Document) BushelKg(id drill.ProductID) float64 {
	for _, a := range d.Assumptions {
		if a.Product == id && a.Key == "bushel_lb" {
			return measure.Pound.Base(a.Likely)
		}
	}
	return 0
}

// Weigh is how far one assumption alone moves the total, the others being as
// likely.
type Weigh struct {
	Product drill.ProductID `json:"product,omitempty"` // empty where it is of all
	Key     string          `json:"key"`               // of the assumption
	Name    string          `json:"name"`              // in words
	AtLow   float64         `json:"at_low"`            // net, or ground whose harvest is lost where there are no prices, with the assumption at its least
	AtHigh  float64         `json:"at_high"`           // with the assumption at its most
}

// Read reads cost.json; name is the file's name for messages.
func Read(r io.Reader, name string) (*Document, error) {
	var d Document
	form := jsondoc.Form{What: "a cost", Version: Version, Command: "runproof cost"}
	if err := jsondoc.Read(r, name, form, &d, &d.Runproof); err != nil {
		return nil, err
	}
	return &d, nil
}
