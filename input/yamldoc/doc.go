// Package yamldoc reads YAML that a person wrote into Go values, strictly, and
// remembers where everything stands.
//
//	doc, err := yamldoc.Parse(r, "drill.yaml") // unreadable text ends here
//	doc.Decode(&d)                             // collects faults and goes on
//	doc.Faultf(doc.At("heads", 2, "rows"), remedy, what)
//	return doc.Err()                           // all faults, in order of place
//
// Keys are the fields' json names. A field's jsonschema tag says what a person
// must write (required) and within which limits (minimum=, maximum=,
// exclusiveMinimum=); the same tag feeds the JSON Schema, so that the reader
// and the editor agree. Unknown and repeated keys, wrong kinds of value, and
// numbers outside their limits are faults with a remedy. Types that implement
// encoding.TextUnmarshaler read their own words; those that implement
// ItemsUnmarshaler read a scalar or a list of scalars.
//
// What YAML has beyond lists, keys and values is refused: anchors, aliases,
// tags, directives and second documents. That also disarms texts that grow
// when they are expanded. Size and nesting are bounded.
package yamldoc
