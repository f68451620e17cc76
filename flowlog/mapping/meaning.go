package mapping

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// meanings are names that people and programs give to what a flow log has a
// column for, in some languages. common practice, no source.
var meanings = []struct {
	name *regexp.Regexp
	to   string
}{
	{regexp.MustCompile(`(?i)^(gps|gnss|pos)?[ .-]*(lat|latitude|breite|breitengrad|latitud)\b`), "lat"},
	{regexp.MustCompile(`(?i)^(gps|gnss|pos)?[ .-]*(lon|lng|long|longitude|länge|längengrad|longitud)\b`), "lon"},
	{regexp.MustCompile(`(?i)(^|[ .-])(ground *)?(speed|velocity|geschw\.?|geschwindigkeit|vitesse|velocidad|hastighet)\b`), "speed"},
	{regexp.MustCompile(`(?i)(^|[ .-])(course|heading|cog|bearing|kurs|cap|rumbo)\b`), "course"},
	{regexp.MustCompile(`(?i)^(work|working|workstate|work *state|arbeit|arbeitsstellung|in *work|implement)\b`), "work"},
	{lifted, "work"},
}

// lifted is the name of a state that is the other way round than work.
var lifted = regexp.MustCompile(`(?i)^(implement *)?(lifted|raised|ausgehoben|angehoben|relevé|levantado)\b`)

// section is the name of a section's state.
var section = regexp.MustCompile(`(?i)(?:^|[ ._-])(?:section|sektion|teilbreite|tronçon)[ ._-]*([\pL\pN_]+)$`)

// speedUnits are how units of speed are written, and what one is: a unit of its
// own, or a multiple of m/s. The first that fits is meant.
var speedUnits = []struct {
	text  *regexp.Regexp
	unit  Unit
	scale float64
}{
	{regexp.MustCompile(`km/h|km h|kmh|kph|kmph`), KilometresPerH, 0},
	{regexp.MustCompile(`mph|mi/h`), MilesPerH, 0},
	{regexp.MustCompile(`(^|[^a-z])(kn|kt|kts|knots?)([^a-z]|$)`), Knots, 0},
	{regexp.MustCompile(`mm/s`), MillimetresPerS, 0},
	{regexp.MustCompile(`cm/s`), Own, 0.01},
	{regexp.MustCompile(`m/min`), Own, 1. / 60},
	{regexp.MustCompile(`ft/min|fpm`), Own, 0.3048 / 60},
	{regexp.MustCompile(`ft/s|fps`), Own, 0.3048},
	{regexp.MustCompile(`m/s|(^|[^a-z])mps([^a-z]|$)|m s`), MetresPerS, 0},
}

// speedUnit takes the unit of speed from a text that names one.
func (c *Column) speedUnit(text string) (told bool) {
	text = strings.ToLower(plainName(text))
	for _, u := range speedUnits {
		if u.text.MatchString(text) {
			c.Unit, c.Scale = u.unit, u.scale
			if u.unit == MetresPerS {
				c.Unit = Own
			}
			return true
		}
	}
	return false
}

// plainName is a name with spaces for what programs write between words.
func plainName(name string) string {
	var b strings.Builder
	last := ' '
	for _, r := range name {
		if unicode.IsUpper(r) && unicode.IsLower(last) {
			b.WriteByte(' ')
		}
		if last = r; r == '_' {
			r = ' '
		}
		b.WriteRune(r)
	}
	return b.String()
}

// known says what a column means by its name and its values.
func known(name string, values []float64) (Column, bool) {
	if m := section.FindStringSubmatch(name); m != nil {
		return Column{From: name, To: "sec:" + m[1]}, true
	}
	plain := plainName(name)
	own := plain[strings.LastIndexByte(plain, '.')+1:] // signal of a message
	for _, m := range meanings {
		if !m.name.MatchString(plain) && !m.name.MatchString(own) {
			continue
		}
		c := Column{From: name, To: m.to}
		lo, hi := span(values)
		switch m.to {
		case "speed":
			c.speedUnit(name)
		case "lat", "lon":
			switch {
			case hi > 18000 || lo < -18000:
				c.Unit = TenMillionths
			case hi > 180 || lo < -180:
				c.Unit = DegreesMinutes
			}
		case "work":
			switch {
			case m.name == lifted:
				c.On = []string{"0"}
			// 2 and 3 are error and not known on a bus: they are no states as they are.
			case lo < 0 || hi > 3:
				c.On = []string{"1"}
			}
		}
		return c, true
	}
	return Column{}, false
}

// onWords are words for a drill in work, offWords for one that is not, in some
// languages. common practice, no source.
var (
	onWords  = []string{"on", "yes", "true", "in", "down", "lowered", "work", "working", "active", "engaged", "ein", "an", "ja", "aktiv", "arbeit", "abgesenkt", "unten", "oui", "travail", "si", "sí", "trabajo"}
	offWords = []string{"off", "no", "false", "out", "up", "raised", "lifted", "inactive", "aus", "nein", "ausgehoben", "oben", "non"}
)

// fromText adds what only the text shows: units below the names, words for
// states, sides of positions.
func (p *Proposal) fromText(s *sniffed) {
	at := indexed(s.names)
	for k := range p.Columns {
		c := &p.Columns[k]
		i := at.find(c.From)
		if i == none {
			continue
		}
		switch c.To {
		case "speed":
			told := c.speedUnit(c.From)
			if !told && s.units != nil {
				told = c.speedUnit(s.units[i])
			}
			if !told {
				p.Notes = append(p.Notes, fmt.Sprintf("the unit of %q is not told: it is taken for m/s; if not so, write unit, such as km/h", c.From))
			}
		case "work":
			p.states(c, s.words(i))
		case "lat":
			p.sideOf(c, s, "N", "S")
		case "lon":
			p.sideOf(c, s, "E", "W")
		}
	}
}

// words are the different cells of a column that hold no figures.
func (s *sniffed) words(i int) (words []string) {
	const most = 6
	for _, row := range s.rows {
		if w := row[i]; w != "" && !figure.MatchString(w) && !slices.Contains(words, w) && !slices.Contains(s.text.Missing, w) && len(words) < most {
			words = append(words, w)
		}
	}
	return words
}

// states finds which word is in work.
func (p *Proposal) states(c *Column, words []string) {
	inverse := lifted.MatchString(plainName(c.From))
	if inverse {
		p.Notes = append(p.Notes, fmt.Sprintf("%q is taken for the other way round than work: 0 is in work", c.From))
	}
	if len(words) == 0 {
		return
	}
	wanted := onWords
	if inverse {
		wanted = offWords
	}
	c.On = nil
	for _, w := range words {
		if slices.Contains(wanted, strings.ToLower(w)) {
			c.On = []string{w}
			return
		}
	}
	var quoted []string
	for _, w := range words {
		quoted = append(quoted, strconv.Quote(w))
	}
	p.Notes = append(p.Notes, fmt.Sprintf("%q says %s: write which of them is in work, as on", c.From, strings.Join(quoted, ", ")))
}

// sideOf finds the column of letters that belongs to a position: the first one
// behind it.
func (p *Proposal) sideOf(c *Column, s *sniffed, positive, negative string) {
	start := indexed(s.names).find(c.From)
	for i := start + 1; i < len(s.names); i++ {
		words := s.words(i)
		if len(words) == 0 || len(words) > 2 {
			continue
		}
		sides := true
		for _, w := range words {
			sides = sides && (strings.EqualFold(w, positive) || strings.EqualFold(w, negative))
		}
		if sides {
			c.Side = s.names[i]
			return
		}
	}
	for _, row := range s.rows {
		if v, ok := s.text.number(row[start]); ok && v < 0 {
			return
		}
	}
	for i, n := range s.names {
		if w := s.words(i); len(w) == 1 && len(w[0]) == 1 && i > start && i < start+2 {
			p.Notes = append(p.Notes, fmt.Sprintf("%q may be the side of %q; only N, S, E and W are known", n, c.From))
		}
	}
}
