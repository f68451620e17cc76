package ledger

import (
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"runproof/input"
)

// Customer is who a drill belongs to: no more than a workshop needs to call back.
// One that was forgotten keeps its id and nothing else.
type Customer struct {
	ID        ID        `json:"id"`
	Name      string    `json:"name,omitempty"`
	Reach     string    `json:"reach,omitempty"` // a telephone number or an address
	Forgotten time.Time `json:"forgotten,omitzero"`
}

// Check says what is wrong with a customer, or nil. The error is input.Faults.
func (c Customer) Check() error {
	var fs input.Faults
	if err := c.ID.Check(); err != nil {
		fs.Add(input.Place{}, "let the ledger make it", "the customer has no id")
	}
	line(&fs, "the customer's name", c.Name, c.Forgotten.IsZero())
	line(&fs, "how to reach the customer", c.Reach, false)
	if !c.Forgotten.IsZero() && c.Name+c.Reach != "" {
		fs.Add(input.Place{}, "leave name and reach out", "a forgotten customer has a name")
	}
	return fs.Err()
}

// forgotten stands where a name was.
const forgotten = "[forgotten]"

// Traces finds where a customer is named in text.
type Traces struct {
	whole *regexp.Regexp // name and reach
	part  *regexp.Regexp // words of the name
}

// TracesOf are the customer's. Name and reach count whatever the letter case and
// the spaces; single words of the name from four letters on count as possible.
func TracesOf(c Customer) Traces {
	var whole, part []string
	for _, s := range []string{c.Name, c.Reach} {
		if words := strings.Fields(s); len(words) > 0 {
			whole = append(whole, loosely(words))
		}
	}
	if slug := Handle(c.Name); slug != "" {
		whole = append(whole, regexp.QuoteMeta(slug))
	}
	for _, w := range strings.FieldsFunc(c.Name, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if len([]rune(w)) >= 4 {
			part = append(part, regexp.QuoteMeta(w))
		}
	}
	return Traces{whole: anyOf(whole), part: anyOf(part)}
}

func loosely(words []string) string {
	quoted := make([]string, len(words))
	for i, w := range words {
		quoted[i] = regexp.QuoteMeta(w)
	}
	return strings.Join(quoted, `[\s_-]+`)
}

// anyOf matches any of the patterns, longest first; nothing where there is none.
func anyOf(patterns []string) *regexp.Regexp {
	if len(patterns) == 0 {
		return regexp.MustCompile(`[^\s\S]`)
	}
	slices.SortStableFunc(patterns, func(a, b string) int { return len(b) - len(a) })
	return regexp.MustCompile(`(?i)(?:` + strings.Join(patterns, "|") + `)`)
}

// In says whether the text names the customer in full.
func (t Traces) In(text string) bool { return len(words(t.whole, text)) > 0 }

// Perhaps says whether the text holds a word of the customer's name: for a person
// to look at.
func (t Traces) Perhaps(text string) bool { return len(words(t.part, text)) > 0 }

// Redact is the entry without the customer's name and reach in anything that a
// person wrote, and whether that changed it. It is the one change that the record
// knows, and is made only to forget a customer. Hashes of documents stay.
func (t Traces) Redact(e Entry) (Entry, bool) {
	changed := false
	clean := func(s string) string {
		out := t.RedactText(s)
		changed = changed || out != s
		return out
	}
	e.By, e.Why, e.Text = clean(e.By), clean(e.Why), clean(e.Text)
	e.Files = slices.Clone(e.Files)
	for i, f := range e.Files {
		e.Files[i].Name = clean(f.Name)
	}
	if e.Opening != nil {
		o := *e.Opening
		if words := strings.ReplaceAll(o.Handle, "-", " "); t.In(o.Handle) || t.In(words) || t.Perhaps(words) { // a handle is short: a word is enough
			o.Handle, changed = "forgotten-"+e.Job.Short(), true
		}
		o.Title = clean(o.Title)
		e.Opening = &o
	}
	if e.Revision != nil {
		r := *e.Revision
		r.Drill = clean(r.Drill)
		e.Revision = &r
	}
	if e.Exchange != nil {
		x := *e.Exchange
		x.Part, x.Place = clean(x.Part), clean(x.Place)
		e.Exchange = &x
	}
	return e, changed
}

// RedactText is the text without the customer's name and reach.
func (t Traces) RedactText(s string) string {
	var b strings.Builder
	from := 0
	for _, at := range words(t.whole, s) {
		b.WriteString(s[from:at[0]] + forgotten)
		from = at[1]
	}
	return b.String() + s[from:]
}

// words are the places where the pattern matches whole words.
func words(re *regexp.Regexp, s string) [][]int {
	inWord := func(r rune, _ int) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	return slices.DeleteFunc(re.FindAllStringIndex(s, -1), func(at []int) bool {
		return inWord(utf8.DecodeLastRuneInString(s[:at[0]])) || inWord(utf8.DecodeRuneInString(s[at[1]:]))
	})
}
