package can_test

import (
	"fmt"
	"log"
	"strings"

	"runproof/flowlog"
	"runproof/flowlog/can"
)

// Two nodes send the same J1939 group: each has its own columns.
func ExampleNewReader() {
	db, err := can.ReadDBC(strings.NewReader(`BO_ 2566865406 NodeState: 8 Node
 SG_ Temp : 0|8@1+ (0.5,-40) [-40|87] "degC" Terminal
 SG_ Supply : 23|16@0+ (0.05,0) [0|3276.75] "V" Terminal
`), "drill.dbc")
	if err != nil {
		log.Fatal(err)
	}
	recording := "(1778577330.011000) can0 18FF4191#38FC00FCFBA039C4\n(1778577330.012300) can0 18FF4192#3CFC00FBFBA040EF\n"
	r, err := can.NewReader(can.Source{Name: "day.log", Stream: strings.NewReader(recording), Scan: strings.NewReader(recording)}, db, nil)
	if err != nil {
		log.Fatal(err)
	}
	l, err := flowlog.ReadAll(r)
	if err != nil {
		log.Fatal(err)
	}
	for c, col := range l.Columns {
		fmt.Println(col.Name, l.Values[c])
	}
	// Output:
	// NodeState.Temp@91 [-12 NaN]
	// NodeState.Supply@91 [12.6 NaN]
	// NodeState.Temp@92 [NaN -10]
	// NodeState.Supply@92 [NaN 12.55]
}
