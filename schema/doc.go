// Package schema holds the JSON Schemas (draft 2020-12) of the documents, for
// editors and for programs that read or write them.
//
//	runproof schema drill > drill.schema.json
//
// An editor that knows YAML then offers keys and marks faults while a
// description is written; put this on its first line:
//
//	# yaml-language-server: $schema=drill.schema.json
//
// The schemas are made from the Go types, their json and jsonschema tags and
// the comments of their fields, by this package's tests: go test ./schema
// -update. A schema says less than the program: that a section names a head
// that exists, or that a row is fed once, only the program checks.
package schema
