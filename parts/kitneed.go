package parts

// Need is what a fit asks of the catalogue. The zero Need asks for what every
// drill takes once: gateway, antenna, switch, and what stands in the cab.
type Need struct {
	Nodes     []Some     // nodes by part
	FreePorts int        // ports of all nodes that listen to no run
	Hoses     []HoseNeed // sensors by hose size
	TubesM    []float64  // length of each tube as planned, straight, m
	Rolls     []Some     // rolls that the tubes are cut from; nil: the shortest stock that holds them

	Harness   bool      // the harness is planned: legs, tees and plugs are what it takes
	Legs      []LegNeed // in the order in which a person lays them out
	Tees      int       // places where three ways of the harness meet
	Junctions int       // junctions, of one tee or more each
	Switch    bool      // a work-state switch is planned: its lead is labelled
	Plugs     int       // connectors of tees, nodes and gateway that nothing is plugged into
	Fuse      string    // id of the fuse; empty where none is chosen
	Gateway   string    // id; empty: the catalogue's first
	Antenna   string    // id; empty: the catalogue's first
}

// Some is a number of pieces of one part.
type Some struct {
	Part   string
	Pieces int
}

// HoseNeed is how many sensors go into hoses of one inside diameter.
type HoseNeed struct {
	MM       float64 // inside diameter, mm; 0 = not said
	Sensors  int
	SensorMM float64 // size of the sensors, joined by adapters; 0 = the hose's, or the nearest that there is
}

// LegNeed is one leg of the harness and the stock lengths that it was planned
// from.
type LegNeed struct {
	ID      string
	NeedM   float64  // least length, with slack and service loop, m
	AreaMM2 float64  // least cross-section of a supply conductor, mm²
	Pieces  []string // ids of catalogue parts
}
