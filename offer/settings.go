package offer

import (
	"io"
	"strings"
	"time"

	"runproof/input/yamldoc"
)

// SettingsVersion is the document version of the settings.
const SettingsVersion = "settings/1"

// Settings are a dealer's own name, money and terms. The zero Settings have no
// name and cannot make a quote.
type Settings struct {
	Runproof string   `json:"runproof" jsonschema:"required"`                                // SettingsVersion
	Dealer   Party    `json:"dealer" jsonschema:"required"`                                  // who makes the offer
	Currency string   `json:"currency,omitempty"`                                            // as written behind amounts: EUR, $
	Tax      Tax      `json:"tax,omitzero"`                                                  // on top of the sum
	Labour   Labour   `json:"labour,omitzero"`                                               // fitting, proving, set-up
	Markup   float64  `json:"markup_percent,omitempty" jsonschema:"minimum=-90,maximum=500"` // on the catalogue's prices
	Valid    int      `json:"valid_days,omitempty" jsonschema:"minimum=0,maximum=3650"`      // days that the offer holds from its date
	Terms    []string `json:"terms,omitempty"`                                               // one paragraph each
	Quote    Number   `json:"quote,omitzero"`                                                // of this offer
	Customer Party    `json:"customer,omitzero"`                                             // whom it goes to
}

// Party is one side of an offer.
type Party struct {
	Name    string   `json:"name" jsonschema:"required"` // of the firm or person
	Address []string `json:"address,omitempty"`          // lines
	Phone   string   `json:"phone,omitempty"`            // as dialled
	Email   string   `json:"email,omitempty"`            // where questions go
	TaxID   string   `json:"tax_id,omitempty"`           // where the law wants one
}

// Tax is what the state takes on top. The zero Tax is none.
type Tax struct {
	Name    string  `json:"name,omitempty"`                                       // VAT, GST
	Percent float64 `json:"percent,omitempty" jsonschema:"minimum=0,maximum=100"` // of the sum
}

// Labour is how hours are reckoned: a fixed number, and so many for each node and
// sensor. The zero Labour charges none.
type Labour struct {
	Rate           float64 `json:"rate,omitempty" jsonschema:"minimum=0,maximum=100000"`         // for an hour
	Hours          float64 `json:"hours,omitempty" jsonschema:"minimum=0,maximum=10000"`         // whatever the drill
	HoursPerNode   float64 `json:"hours_per_node,omitempty" jsonschema:"minimum=0,maximum=100"`  // for each node
	HoursPerSensor float64 `json:"hours_per_sensor,omitempty" jsonschema:"minimum=0,maximum=10"` // for each sensor
}

// Number is what this offer is filed under.
type Number struct {
	Number string `json:"number,omitempty"` // the dealer's own
	Date   string `json:"date,omitempty"`   // year-month-day
}

// ReadSettings reads a settings file; name is its name for messages. The error
// is input.Faults with every fault of it, or what r returned.
func ReadSettings(r io.Reader, name string) (Settings, error) {
	doc, err := yamldoc.Parse(r, name)
	if err != nil {
		return Settings{}, err
	}
	if err := doc.WantVersion(SettingsVersion); err != nil {
		return Settings{}, err
	}
	var s Settings
	doc.Decode(&s)
	if doc.Sound("dealer", "name") && strings.TrimSpace(s.Dealer.Name) == "" && doc.Has("dealer", "name") {
		doc.Fault(doc.At("dealer", "name"), "write the name that stands over the offer", "the dealer has no name")
	}
	if s.Quote.Date != "" {
		if _, err := time.Parse(time.DateOnly, s.Quote.Date); err != nil {
			doc.Fault(doc.At("quote", "date"), "write it as year-month-day, like 2026-03-02", "%q is no date", s.Quote.Date)
		}
	}
	return s, doc.Err()
}

// validUntil is the last day of the offer, or "".
func (s Settings) validUntil() string {
	day, err := time.Parse(time.DateOnly, s.Quote.Date)
	if err != nil || s.Valid == 0 {
		return ""
	}
	return day.AddDate(0, 0, s.Valid).Format(time.DateOnly)
}
