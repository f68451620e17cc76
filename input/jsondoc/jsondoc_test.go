package jsondoc_test

import (
	"bytes"
	"strings"
	"testing"

	"runproof/input/jsondoc"
)

type note struct {
	Runproof string `json:"runproof"`
	Text     string `json:"text"`
}

var form = jsondoc.Form{What: "a note", Version: "note/1", Command: "runproof note"}

func TestReadAndWrite(t *testing.T) {
	var b bytes.Buffer
	want := note{"note/1", "tube of C-7 is worn"}
	if err := jsondoc.Write(&b, want); err != nil {
		t.Fatal(err)
	}
	if got := b.String(); got != "{\n  \"runproof\": \"note/1\",\n  \"text\": \"tube of C-7 is worn\"\n}\n" {
		t.Errorf("wrote %q", got)
	}
	var got note
	if err := jsondoc.Read(&b, "n.json", form, &got, &got.Runproof); err != nil || got != want {
		t.Errorf("read %+v, %v", got, err)
	}
}

func TestReadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		`{"runproof":"fit/1"}`: `n.json: document is "fit/1", not "note/1"; make one with runproof note`,
		`{"runproof":`:         `n.json:1:12: not a note document: unexpected EOF; make one with runproof note`,
		"{\n \"text\": }":      `n.json:2:10: not a note document: invalid character '}' looking for beginning of value; make one with runproof note`,
		"{\n\n\"text\": 25}":   `n.json:3:10: not a note document: json: cannot unmarshal number into Go struct field note.text of type string; make one with runproof note`,
		"":                     `n.json: not a note document: EOF; make one with runproof note`,
	} {
		var got note
		if err := jsondoc.Read(strings.NewReader(text), "n.json", form, &got, &got.Runproof); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
}
