package review_test

import (
	"fmt"

	"runproof/review"
	"runproof/simulate"
)

// A hose of head B is plugged from the 20th minute on, for two minutes;
// later the sensor of A-5 goes blind.
func ExampleRun() {
	d := threeHeads()
	f := fitOf(d)
	day, err := simulate.New(scenario(d, 0.6,
		simulate.Fault{Kind: review.Blocked, Run: "B-2", AtS: 1210, ForS: 120, FallS: 1, Left: 0.03},
		simulate.Fault{Kind: review.SensorLost, Run: "A-5", AtS: 1600, ForS: 190},
	), f)
	if err != nil {
		fmt.Println(err)
		return
	}
	res, err := review.Run(f, day, review.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, ev := range res.Events {
		fmt.Printf("%s %s from %s to %s\n", ev.Run, ev.Kind, ev.Start[11:16], ev.End[11:16])
	}
	// Output:
	// B-2 blocked from 08:20 to 08:22
	// A-5 sensor_lost from 08:26 to 08:29
}
