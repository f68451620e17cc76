package plan

import (
	"io"

	"runproof/check"
	"runproof/fit"
	"runproof/input/jsondoc"
)

// ChecksVersion is the version of the list of checks as a document.
const ChecksVersion = "checks/1"

// Checks is what every rule says of one fit, as a document.
type Checks struct {
	Runproof string        `json:"runproof"` // ChecksVersion
	Drill    string        `json:"drill"`    // its name
	Verdict  check.Verdict `json:"verdict"`  // the worst of the list
	Checks   check.Results `json:"checks"`   // in the order in which the plan was made
}

// ChecksOf lists what every rule says of the fit.
func ChecksOf(f *fit.Fit) Checks {
	return Checks{ChecksVersion, f.Drill.Name, f.Checks.Worst(), append(check.Results{}, f.Checks...)}
}

// Write writes the list as indented JSON.
func (c Checks) Write(w io.Writer) error { return jsondoc.Write(w, c) }
