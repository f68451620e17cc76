package ledger

import (
	"fmt"
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"runproof/input"
)

const (
	maxText  = 20000 // letters of free text: ten pages
	maxLine  = 200
	maxFiles = 1000
)

var (
	handleForm = regexp.MustCompile(`^[a-z0-9][a-z0-9.-]{0,59}$`)
	hashForm   = regexp.MustCompile(`^[0-9a-f]{64}$`)
)

// Check says what is wrong with an entry, or nil. The error is input.Faults.
func (e Entry) Check() error {
	var fs input.Faults
	for _, id := range []ID{e.ID, e.Job} {
		if id.Check() != nil {
			fs.Add(input.Place{}, "let the ledger make it", "the entry's id %q or job %q is none", clip(string(e.ID), 30), clip(string(e.Job), 30))
			break
		}
	}
	for _, t := range []time.Time{e.At, e.Noted} {
		if t.Location() != time.UTC || !t.Equal(Instant(t)) || t.Year() < 1970 || t.Year() > 9999 {
			fs.Add(input.Place{}, "give a time between 1970 and 9999, UTC, in whole milliseconds", "the entry's time %v cannot be kept", t)
		}
	}
	line(&fs, "who wrote it", e.By, true)
	free(&fs, "the reason", e.Why)
	free(&fs, "the text", e.Text)
	e.checkFiles(&fs)
	e.checkParts(&fs)
	return fs.Err()
}

// CheckFiles says what is wrong with the entry's files, or nil.
func (e Entry) CheckFiles() error {
	var fs input.Faults
	e.checkFiles(&fs)
	return fs.Err()
}

func (e Entry) checkFiles(fs *input.Faults) {
	if len(e.Files) > maxFiles {
		fs.Add(input.Place{}, "make several entries of them", "%d files in one entry", len(e.Files))
		return
	}
	seen := map[string]bool{}
	for _, f := range e.Files {
		if !fileName(f.Name) {
			fs.Add(input.Place{}, "give a plain name such as day.parquet", "a file cannot be called %q", clip(f.Name, 80))
		}
		if seen[f.Name] {
			fs.Add(input.Place{}, "name each differently", "two files are called %s", f.Name)
		}
		seen[f.Name] = true
		if !hashForm.MatchString(f.SHA256) || f.Bytes < 0 {
			fs.Add(input.Place{}, "give the SHA-256 of its bytes in lower-case hexadecimal", "file %s has no proper hash or length", clip(f.Name, 80))
		}
		line(fs, "the media type", f.Media, true)
	}
}

// checkParts wants the part that belongs to the kind, and no other.
func (e Entry) checkParts(fs *input.Faults) {
	if e.Kind <= NoKind || int(e.Kind) >= len(kindWords) {
		fs.Add(input.Place{}, "give one of the kinds", "the entry has no kind")
		return
	}
	has := [...]bool{e.Opening != nil, e.Revision != nil, e.Exchange != nil}
	want := [...]bool{e.Kind == Opened, e.Kind == Fit, e.Kind == Swap}
	if has != want {
		fs.Add(input.Place{}, "an entry of that kind holds its own part and no other's", "the entry's parts do not go with its kind %s", e.Kind)
		return
	}
	switch {
	case e.Opening != nil:
		checkHandle(fs, e.Opening.Handle)
		line(fs, "the title", e.Opening.Title, true)
	case e.Revision != nil:
		e.Revision.check(fs)
	case e.Exchange != nil:
		e.Exchange.check(fs)
	case e.Text == "" && len(e.Files) == 0 && e.Kind != Forgotten && e.Kind != Visit:
		fs.Add(input.Place{}, "give a text or a file", "the entry says nothing")
	}
}

func (r *Revision) check(fs *input.Faults) {
	for _, h := range append([]string{r.Hash}, r.Follows...) {
		if !hashForm.MatchString(h) {
			fs.Add(input.Place{}, "give the SHA-256 of the fit document", "%q is no hash of a fit", clip(h, 80))
		}
	}
	for _, p := range r.Placed {
		line(fs, "a serial number", p.Serial, true)
	}
	for _, s := range r.Left {
		line(fs, "a serial number", s, true)
	}
}

func (x *Exchange) check(fs *input.Faults) {
	line(fs, "the place of the part", x.Place, true)
	line(fs, "the part", x.Part, true)
	line(fs, "a serial number", x.Out, false)
	line(fs, "a serial number", x.In, false)
	if x.Out != "" && x.Out == x.In {
		fs.Add(input.Place{}, "give the number of the part that was put on", "part %s cannot be exchanged for itself", x.Out)
	}
}

func checkHandle(fs *input.Faults, h string) {
	if !handleForm.MatchString(h) {
		fs.Add(input.Place{}, "use small letters, digits, - and ., such as north-60", "a job cannot be called %q", clip(h, 80))
	}
}

// line wants a short text without line breaks.
func line(fs *input.Faults, what, s string, needed bool) {
	switch {
	case needed && strings.TrimSpace(s) == "":
		fs.Add(input.Place{}, "write it", "%s is empty", what)
	case utf8.RuneCountInString(s) > maxLine:
		fs.Add(input.Place{}, fmt.Sprintf("use at most %d letters", maxLine), "%s is too long", what)
	case !utf8.ValidString(s) || strings.ContainsFunc(s, unicode.IsControl):
		fs.Add(input.Place{}, "write it in one line", "%s %q holds bytes that are no text", what, clip(s, 40))
	}
}

// free wants text of any lines.
func free(fs *input.Faults, what, s string) {
	control := func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }
	switch {
	case utf8.RuneCountInString(s) > maxText:
		fs.Add(input.Place{}, "keep it as a file", "%s has over %d letters", what, maxText)
	case !utf8.ValidString(s) || strings.ContainsFunc(s, control):
		fs.Add(input.Place{}, "write plain text", "%s %q holds bytes that are no text", what, clip(s, 40))
	}
}

// fileName says whether a name can be a file's on every machine, inside one
// folder or below it.
func fileName(s string) bool {
	if s == "" || len(s) > maxLine || !utf8.ValidString(s) || strings.ContainsAny(s, `\:*?"<>|`) || strings.ContainsFunc(s, unicode.IsControl) {
		return false
	}
	for part := range strings.SplitSeq(s, "/") {
		if part == "" || part[0] == '.' || strings.HasSuffix(part, ".") || strings.HasSuffix(part, " ") {
			return false
		}
	}
	return true
}

// FileName is a name that a file can have in the ledger, as near to s as may be.
func FileName(s string) string {
	parts := strings.Split(strings.ToValidUTF8(s, "_"), "/")
	for i, p := range parts {
		p = strings.Map(func(r rune) rune {
			if unicode.IsControl(r) || strings.ContainsRune(`\:*?"<>|`, r) {
				return '_'
			}
			return r
		}, p)
		parts[i] = strings.TrimRight(strings.TrimLeft(p, "."), ". ")
		if parts[i] == "" {
			parts[i] = "file"
		}
	}
	return clipName(strings.Join(parts, "/"))
}

// clipName keeps the end of a name that is too long: it says what the file is.
func clipName(s string) string {
	if len(s) <= maxLine {
		return s
	}
	return strings.TrimLeft(strings.ToValidUTF8(s[len(s)-maxLine:], ""), "./ ")
}
