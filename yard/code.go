package yard

import (
	"fmt"
	"strconv"
	"strings"

	"runproof/drill"
	"runproof/input"
)

// codeVersion begins the text of every code.
const codeVersion = "RP1"

// Code is what the QR code of a label says. Fields that a label has no use for
// are zero.
type Code struct {
	Job  string
	Node string // serial
	Port int
	Run  drill.RunID
	Leg  string // of the harness
	End  string // place at that end of the leg; without a leg, the junction, or "switch" for the lead of a node's switch
}

// String is the text within the code, as the package's comment describes it.
func (c Code) String() string {
	var b strings.Builder
	b.WriteString(codeVersion)
	add := func(key, value string) {
		if value != "" {
			b.WriteString(";" + key + "=" + escapeValue(value))
		}
	}
	add("job", c.Job)
	add("node", c.Node)
	if c.Port > 0 {
		add("port", strconv.Itoa(c.Port))
	}
	add("run", string(c.Run))
	add("leg", c.Leg)
	add("end", c.End)
	return b.String()
}

// ParseCode reads what String writes; keys that it does not know are passed
// over. The error is an input.Fault without a place.
func ParseCode(text string) (Code, error) {
	fields := strings.Split(text, ";")
	if fields[0] != codeVersion {
		return Code{}, input.Fault{What: fmt.Sprintf("%q is no code of a label", text), Remedy: "it begins with " + codeVersion + ";"}
	}
	var c Code
	for _, field := range fields[1:] {
		key, raw, ok := strings.Cut(field, "=")
		value, sound := unescapeValue(raw)
		if !ok || !sound {
			return Code{}, input.Fault{What: fmt.Sprintf("%q in the code is no key and value", field), Remedy: "write key=value, with % and two hexadecimal digits for other characters"}
		}
		if err := c.set(key, value); err != nil {
			return Code{}, err
		}
	}
	return c, nil
}

func (c *Code) set(key, value string) error {
	switch key {
	case "job":
		c.Job = value
	case "node":
		c.Node = value
	case "port":
		n, err := strconv.Atoi(value)
		if err != nil || n < 1 {
			return input.Fault{What: fmt.Sprintf("port %q in the code is no number from 1", value), Remedy: "read the label again"}
		}
		c.Port = n
	case "run":
		c.Run = drill.RunID(value)
	case "leg":
		c.Leg = value
	case "end":
		c.End = value
	}
	return nil
}

func escapeValue(value string) string {
	var b strings.Builder
	for i := range len(value) {
		if c := value[i]; c < ' ' || c > '~' || c == '%' || c == ';' || c == '=' {
			fmt.Fprintf(&b, "%%%02X", c)
		} else {
			b.WriteByte(c)
		}
	}
	return b.String()
}

func unescapeValue(raw string) (string, bool) {
	var b strings.Builder
	for i := 0; i < len(raw); i++ {
		if raw[i] != '%' {
			b.WriteByte(raw[i])
			continue
		}
		if i+2 >= len(raw) {
			return "", false
		}
		n, err := strconv.ParseUint(raw[i+1:i+3], 16, 8)
		if err != nil {
			return "", false
		}
		b.WriteByte(byte(n))
		i += 2
	}
	return b.String(), true
}
