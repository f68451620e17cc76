package can

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// statement is one statement of a DBC, from its keyword to its end.
type statement struct {
	keyword   string
	text      string
	line, col int  // of the keyword, from 1
	open      bool // a quote in it is never closed
}

// toSemicolon are the keywords whose statements end with a semicolon; the others
// end with their line.
var toSemicolon = map[string]bool{
	"CM_": true, "BA_DEF_": true, "BA_": true, "BA_DEF_DEF_": true, "VAL_": true, "VAL_TABLE_": true,
	"SIG_VALTYPE_": true, "SG_MUL_VAL_": true, "SIG_GROUP_": true, "SIG_TYPE_REF_": true, "SGTYPE_": true, "SGTYPE_VAL_": true,
	"BO_TX_BU_": true, "EV_": true, "ENVVAR_DATA_": true, "EV_DATA_": true, "CAT_DEF_": true, "CAT_": true, "FILTER": true,
	"BA_DEF_REL_": true, "BA_REL_": true, "BA_DEF_DEF_REL_": true, "BU_SG_REL_": true, "BU_EV_REL_": true, "BU_BO_REL_": true,
}

// cutter cuts a DBC into statements.
type cutter struct {
	text      string
	at        int
	line      int
	lineStart int
}

// next gives the next statement; ok is false at the end.
func (c *cutter) next() (s statement, ok bool) {
	c.blanks()
	if c.at == len(c.text) {
		return s, false
	}
	start := c.at
	s.line, s.col = c.line+1, 1+c.at-c.lineStart
	for c.at < len(c.text) && isNameByte(c.text[c.at]) {
		c.at++
	}
	s.keyword = c.text[start:c.at]
	end := byte('\n')
	if toSemicolon[s.keyword] && !c.lineDone() {
		end = ';'
	}
	s.open = c.skipTo(end)
	s.text = c.text[start:c.at]
	return s, true
}

// lineDone says whether nothing else stands on the line: the list of keywords
// under NS_ has each of them alone.
func (c *cutter) lineDone() bool {
	rest := c.text[c.at:]
	if n := strings.IndexByte(rest, '\n'); n >= 0 {
		rest = rest[:n]
	}
	return strings.TrimSpace(rest) == ""
}

func (c *cutter) blanks() {
	for c.at < len(c.text) && (c.text[c.at] <= ' ' || c.text[c.at] == ';') {
		c.step()
	}
}

func (c *cutter) step() {
	if c.text[c.at] == '\n' {
		c.line++
		c.lineStart = c.at + 1
	}
	c.at++
}

// skipTo goes behind the next end byte outside quotes, or to the end of the text;
// open tells that a quote was open there.
func (c *cutter) skipTo(end byte) (open bool) {
	for c.at < len(c.text) {
		b := c.text[c.at]
		if b == end && !open {
			c.step()
			return false
		}
		switch {
		case b == '"':
			open = !open
		case b == '\\' && open && c.escapes():
			c.step()
		}
		c.step()
	}
	return open
}

// escapes says whether the backslash at hand makes the quote behind it a letter.
// One at the very end of a text, as in "C:\"; and a line end, does not.
func (c *cutter) escapes() bool {
	rest, ok := strings.CutPrefix(c.text[c.at+1:], `"`)
	if !ok {
		return false
	}
	behind, ends := strings.CutPrefix(rest, ";")
	return !ends || strings.TrimLeft(behind, " \t\r") != "" && strings.TrimLeft(behind, " \t\r")[0] != '\n'
}

func isNameByte(b byte) bool {
	return b == '_' || b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9'
}

// asText is the file as UTF-8. A DBC does not tell its encoding; what is no UTF-8
// is read as Windows-1252, in which most are written.
func asText(b []byte) string {
	s := strings.TrimPrefix(string(b), "\ufeff")
	if utf8.ValidString(s) {
		return s
	}
	if decoded, err := charmap.Windows1252.NewDecoder().String(s); err == nil {
		return decoded
	}
	return strings.ToValidUTF8(s, "?")
}
