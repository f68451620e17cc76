package schema_test

import (
	"encoding/json"
	"fmt"

	"runproof/schema"
)

func ExampleOf() {
	text, _ := schema.Of("drill")
	var s struct {
		Title    string
		Required []string
	}
	if err := json.Unmarshal(text, &s); err != nil {
		fmt.Println(err)
	}
	fmt.Println(s.Title, "needs", s.Required)
	// Output:
	// Drill description (drill.yaml) needs [runproof rows products heads]
}
