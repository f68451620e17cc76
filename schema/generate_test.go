package schema

import (
	"bytes"
	"encoding"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/invopop/jsonschema"

	"runproof/alarm"
	"runproof/check"
	"runproof/cost"
	"runproof/drill"
	"runproof/evenness"
	"runproof/fit"
	"runproof/flowlog/mapping"
	"runproof/measure"
	"runproof/offer"
	"runproof/parts"
	"runproof/plan"
	"runproof/replay"
	"runproof/review"
	"runproof/season"
	"runproof/simulate"
	"runproof/walk"
)

var update = flag.Bool("update", false, "renew the schemas")

// partsFile is a parts.yaml, whose type the package keeps to itself.
type partsFile struct {
	Runproof string       `json:"runproof" jsonschema_description:"the form of the document: parts/1; may be absent"`
	Parts    []parts.Part `json:"parts" jsonschema:"required" jsonschema_description:"parts on top of the built-in catalogue; an entry changes the built-in one of its id"`
}

// document is one kind of document. Those that a person writes say in their
// jsonschema tags what is required; those that the program writes carry every
// key but the omitted empty ones.
type document struct {
	name    string
	title   string
	version string
	value   any
	byHand  bool
}

var documents = []document{
	{"drill", "Drill description (drill.yaml)", drill.Version, drill.Drill{}, true},
	{"parts", "Parts on top of the built-in catalogue (parts.yaml)", parts.Version, partsFile{}, true},
	{"scenario", "What a simulated recording shall hold (scenario.yaml)", simulate.Version, simulate.Scenario{}, true},
	{"settings", "A dealer's own name, money and terms (settings.yaml)", offer.SettingsVersion, offer.Settings{}, true},
	{"mapping", "What a recording means (map.yaml)", mapping.Version, mapping.Map{}, true},
	{"checks", "What every rule says of a plan", plan.ChecksVersion, plan.Checks{}, false},
	{"fit", "Fit: the as-designed, later as-proved record of a drill's sensing", fit.Version, fit.Fit{}, false},
	{"proof", "What a walk says of every run", walk.Version, walk.Proof{}, false},
	{"rules", "Alarm rules and what they rest on", alarm.Version, alarm.Rules{}, false},
	{"scales", "Published scales of evenness (scales.yaml)", evenness.ScalesVersion, evenness.Scales{}, true},
	{"saferates", "Published rates of fertiliser safe in the seed row (saferates.yaml)", evenness.SafeRatesVersion, evenness.SafeRates{}, true},
	{"catch", "What weighed bags say of a drill", evenness.CatchVersion, evenness.Catch{}, false},
	{"gains", "What each run's sensor counts of a known number of particles", evenness.GainsVersion, evenness.Gains{}, false},
	{"evenness", "What the counts of a day say of evenness", evenness.FieldVersion, evenness.FieldDay{}, false},
	{"assumptions", "What a grower takes a crop and its prices to be (assumptions.yaml)", cost.AssumptionsVersion, cost.Assumptions{}, true},
	{"cost", "What the skips of reviewed days may cost", cost.Version, cost.Document{}, false},
	{"events", "What a review found wrong", review.DocumentVersion, review.Document{}, false},
	{"repairs", "What was repaired when (repairs.yaml)", season.RepairsVersion, season.Repairs{}, true},
	{"season", "Many reviewed days of one drill in one account", season.Version, season.Document{}, false},
	{"replay", "What alarm rules would have done on a recorded day", replay.Version, replay.Document{}, false},
}

// sources are the packages whose comments describe the properties.
var sources = []string{"alarm", "check", "cost", "drill", "evenness", "fit", "flowlog/mapping", "offer", "parts", "plan", "replay", "review", "season", "simulate", "walk", "workstate"}

// asked are the fields that some schema described.
var asked = map[string]bool{}

func generate(t *testing.T, d document) []byte {
	t.Helper()
	names := namer{}
	r := &jsonschema.Reflector{
		Anonymous: true, ExpandedStruct: true, RequiredFromJSONSchemaTags: d.byHand, Namer: names.name,
		Mapper: func(typ reflect.Type) *jsonschema.Schema { return special(typ, d.byHand) },
	}
	for _, s := range sources {
		if err := r.AddGoComments("runproof/schema", "../"+s); err != nil {
			t.Fatal(err)
		}
	}
	r.LookupComment = func(typ reflect.Type, field string) string {
		key := strings.TrimPrefix(typ.PkgPath(), "runproof/") + "." + typ.Name() + "." + field
		asked[key] = true
		if r.CommentMap["runproof/"+key] != "" {
			return ""
		}
		return said[key]
	}
	s := r.Reflect(d.value)
	s.Title = d.title
	if v, ok := s.Properties.Get("runproof"); ok {
		v.Const, v.Description = d.version, "the form of the document: "+d.version
	}
	if !d.byHand {
		names.nulls(s, reflect.TypeOf(d.value))
	}
	oneLine(s)
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(s); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// oneLine joins the lines of comments: editors show descriptions as they are.
func oneLine(s *jsonschema.Schema) {
	s.Description = strings.ReplaceAll(s.Description, "\n", " ")
	for _, d := range s.Definitions {
		oneLine(d)
	}
	for p := s.Properties.Oldest(); p != nil; p = p.Next() {
		p.Value.Description = strings.ReplaceAll(p.Value.Description, "\n", " ")
	}
}

// namer calls the definitions after their types, with the package in front
// where two packages have a type of one name.
type namer map[string]reflect.Type

func (n namer) name(typ reflect.Type) string {
	name := typ.Name()
	if name == "" {
		return "" // a list or map without a name of its own
	}
	if other, taken := n[name]; taken && other != typ {
		pkg := typ.PkgPath()[strings.LastIndexByte(typ.PkgPath(), '/')+1:]
		name = strings.ToUpper(pkg[:1]) + pkg[1:] + name
	}
	n[name] = typ
	return name
}

// nulls lets null stand where the program writes it: for a nil pointer, list or
// map that is not left out.
func (n namer) nulls(s *jsonschema.Schema, typ reflect.Type) {
	for name, def := range s.Definitions {
		n.nulls(def, n[name])
	}
	if typ.Kind() != reflect.Struct {
		return // a list with a name of its own
	}
	for i := range typ.NumField() {
		key, options, _ := strings.Cut(typ.Field(i).Tag.Get("json"), ",")
		switch kind := typ.Field(i).Type.Kind(); {
		case strings.Contains(options, "omit"):
		case kind == reflect.Pointer, kind == reflect.Slice, kind == reflect.Map:
			if p, ok := s.Properties.Get(key); ok {
				s.Properties.Set(key, orNull(p))
			}
		}
	}
}

func orNull(p *jsonschema.Schema) *jsonschema.Schema {
	description := p.Description
	p.Description = ""
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{p, {Type: "null"}}, Description: description}
}

const (
	idPattern  = `[\p{L}\p{Nd}_][\p{L}\p{Nd}_.\-]{0,23}`
	runPattern = `[\p{L}\p{Nd}_][\p{L}\p{Nd}_.\-]*-[1-9][0-9]*`
	rowPattern = `^\s*[0-9]+\s*(-\s*[0-9]+\s*)?(,\s*[0-9]+\s*(-\s*[0-9]+\s*)?)*$`
)

// special gives the schema of types whose text the reflector cannot know.
func special(typ reflect.Type, byHand bool) *jsonschema.Schema {
	switch typ {
	case reflect.TypeFor[drill.HeadID](), reflect.TypeFor[drill.ProductID](), reflect.TypeFor[drill.SectionID]():
		return id(byHand)
	case reflect.TypeFor[drill.RunID]():
		return word(runPattern, byHand)
	case reflect.TypeFor[drill.RowList]():
		return rowList(byHand)
	case reflect.TypeFor[review.Kind]():
		return &jsonschema.Schema{Type: "string", Enum: kinds()}
	case reflect.TypeFor[cost.Range]():
		return takenRange(byHand)
	case reflect.TypeFor[check.Result]():
		return checkResult()
	case reflect.TypeFor[mapping.Delimiter]():
		return &jsonschema.Schema{Type: "string", Enum: []any{",", ";", "|", "tab", "space"}}
	case reflect.TypeFor[mapping.Decimal]():
		return &jsonschema.Schema{Type: "string", Enum: []any{".", ","}}
	case reflect.TypeFor[mapping.Thousands]():
		return &jsonschema.Schema{Type: "string", Enum: []any{".", ",", "'", "space"}}
	case reflect.TypeFor[mapping.Names]():
		name := &jsonschema.Schema{Type: "string"}
		return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{name, {Type: "array", Items: name}}}
	case reflect.TypeFor[mapping.Words]():
		return &jsonschema.Schema{Type: "array", Items: &jsonschema.Schema{AnyOf: []*jsonschema.Schema{{Type: "string"}, {Type: "number"}}}}
	}
	if words := wordsOf(typ); words != nil {
		return &jsonschema.Schema{Type: "string", Enum: words}
	}
	return nil
}

// word is a text of the pattern; the program also writes an empty one, for what
// does not apply.
func word(pattern string, byHand bool) *jsonschema.Schema {
	if byHand {
		return &jsonschema.Schema{Type: "string", Pattern: "^" + pattern + "$"}
	}
	return &jsonschema.Schema{Type: "string", Pattern: "^(" + pattern + ")?$"}
}

// id is a word; a person may write a number where one makes a name.
func id(byHand bool) *jsonschema.Schema {
	if !byHand {
		return word(idPattern, false)
	}
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{word(idPattern, true), {Type: "integer", Minimum: "0"}}}
}

// kinds are those that an event can have; the zero Kind is none.
func kinds() []any {
	var words []any
	for _, k := range review.Kinds() {
		words = append(words, k.String())
	}
	return words
}

func rowList(byHand bool) *jsonschema.Schema {
	row := &jsonschema.Schema{Type: "integer", Minimum: "1", Maximum: "400"}
	if !byHand {
		return &jsonschema.Schema{Type: "array", Items: row}
	}
	rows := &jsonschema.Schema{Type: "string", Pattern: rowPattern}
	least := uint64(1)
	list := &jsonschema.Schema{Type: "array", MinItems: &least, Items: &jsonschema.Schema{AnyOf: []*jsonschema.Schema{row, rows}}}
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{row, rows, list}}
}

// takenRange is an assumption as a person writes it; the program writes it as
// any other struct.
func takenRange(byHand bool) *jsonschema.Schema {
	if !byHand {
		return nil
	}
	least, most := uint64(1), uint64(3)
	number := &jsonschema.Schema{Type: "number"}
	return &jsonschema.Schema{AnyOf: []*jsonschema.Schema{number, {Type: "array", Items: number, MinItems: &least, MaxItems: &most}}}
}

// checkResult is the JSON form that check.Result writes.
func checkResult() *jsonschema.Schema {
	props := jsonschema.NewProperties()
	add := func(key, typ, description string) {
		props.Set(key, &jsonschema.Schema{Type: typ, Description: description})
	}
	figure := func(key, description string) {
		props.Set(key, &jsonschema.Schema{OneOf: []*jsonschema.Schema{{Type: "number"}, {Type: "null"}}, Description: description})
	}
	add("rule", "string", "what was judged by: hose reach")
	add("of", "string", "what was judged: head C")
	props.Set("quantity", &jsonschema.Schema{Type: "string", Enum: quantities(), Description: "kind of figure"})
	add("unit", "string", "unit of value, limit, margin and reserve")
	figure("value", "the figure found; null = not known")
	kind := func(key, description string, typ reflect.Type) {
		s := special(typ, false)
		s.Description = description
		props.Set(key, s)
	}
	kind("bound", "which side of the limit is right", reflect.TypeFor[check.Bound]())
	figure("limit", "the rule is kept at the limit itself; null = not known")
	figure("margin", "distance to the limit, positive when the rule is kept; null = not known")
	add("reserve", "number", "margin one would want; with less the rule is kept but tight")
	kind("verdict", "whether the rule is kept", reflect.TypeFor[check.Verdict]())
	add("source", "string", "where the limit comes from")
	add("advice", "string", "what to do when the rule is not kept")
	return &jsonschema.Schema{
		Type: "object", Properties: props, AdditionalProperties: jsonschema.FalseSchema,
		Required: []string{"rule", "quantity", "value", "bound", "limit", "margin", "verdict"},
	}
}

// quantities are all that a figure can be.
func quantities() []any {
	var words []any
	for q := measure.Number; q <= measure.BitRate; q++ {
		words = append(words, q.String())
	}
	return words
}

// wordsOf lists the words of a kind: a whole number that writes itself as text.
func wordsOf(typ reflect.Type) []any {
	if typ.Kind() != reflect.Int || !reflect.PointerTo(typ).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		return nil
	}
	var words []any
	for i := range 64 {
		if w, ok := wordOf(typ, i); ok {
			words = append(words, w)
		} else if i > 0 { // the zero value may be one that is never written
			break
		}
	}
	return words
}

// wordOf is the word of kind i, unless there is no such kind: its text is then
// not read back, or asking for it panics.
func wordOf(typ reflect.Type, i int) (word string, ok bool) {
	defer func() {
		if recover() != nil {
			ok = false
		}
	}()
	v := reflect.New(typ)
	v.Elem().SetInt(int64(i))
	text, err := v.Interface().(encoding.TextMarshaler).MarshalText()
	if err != nil {
		return "", false
	}
	back := reflect.New(typ)
	err = back.Interface().(encoding.TextUnmarshaler).UnmarshalText(text)
	return string(text), err == nil && back.Elem().Int() == int64(i)
}

// The schemas in the repository are those of the types.
func TestGenerated(t *testing.T) {
	for _, d := range documents {
		want := generate(t, d)
		name := d.name + suffix
		if *update {
			if err := os.WriteFile(name, want, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		got, err := os.ReadFile(name)
		if err != nil {
			t.Error(err)
			continue
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s is not that of the types any more; renew it with go test ./schema -update", name)
		}
	}
	for key := range said {
		if !asked[key] {
			t.Errorf("said describes %s, but no document has it; take the entry out", key)
		}
	}
}
