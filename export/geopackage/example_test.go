package geopackage_test

import (
	"fmt"
	"strings"
	"time"

	"runproof/export"
	"runproof/export/geopackage"
)

func ExampleScript() {
	var day export.Day
	for s := range geopackage.Script(time.Date(2026, 5, 12, 9, 36, 0, 0, time.UTC), day.Skips()) {
		if strings.Contains(s.SQL, "skips") {
			fmt.Println(s.SQL)
		}
	}
	// Output:
	// CREATE TABLE "skips" (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom MULTIPOLYGON, "event" INTEGER, "kind" TEXT, "run" TEXT, "head" TEXT, "product" TEXT, "start" TEXT, "end" TEXT, "lost" DOUBLE, "metres" DOUBLE, "area_m2" DOUBLE)
}
