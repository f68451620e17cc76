package offer

import (
	"regexp"
	"strings"
)

// The library marks the value that a formula carries as text; readers that do
// not reckon would take a number for a word.
var formulaAsText = regexp.MustCompile(`(<c r="[A-Z]+[0-9]+"(?: s="[0-9]+")?) t="str">(<f>)`)

// numbersOfFormulas takes that mark away on the sheets.
func numbersOfFormulas(part string, text []byte) []byte {
	if !strings.HasPrefix(part, "xl/worksheets/") {
		return text
	}
	return formulaAsText.ReplaceAll(text, []byte("$1>$2"))
}
