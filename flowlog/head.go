package flowlog

import (
	"fmt"

	"runproof/input"
)

// TimeName is the name of the column that holds time.
const TimeName = "time"

// ReadHead tells what the columns of a file hold from their names in file
// order: which of them is time, and one Column for each of the others. The
// faults are all it finds: no time, no name, the same name twice, too many. at
// gives the place of a name, for messages.
func ReadHead(names []string, at func(i int) input.Place) (timeAt int, columns []Column, err error) {
	var faults input.Faults
	if len(names)-1 > MaxColumns {
		faults.Add(at(MaxColumns+1), "split the log, or keep only the columns that are needed",
			"%d columns are more than the %d that a log may have", len(names)-1, MaxColumns)
		return -1, nil, faults
	}
	timeAt = -1
	seen := make(map[string]int, len(names))
	for i, name := range names {
		if first, twice := seen[name]; twice {
			faults.Add(at(i), "give each column a name of its own", "columns %d and %d are both called %q", first+1, i+1, name)
			continue
		}
		seen[name] = i
		switch name {
		case TimeName:
			timeAt = i
		case "":
			faults.Add(at(i), "name it, or take it out", "column %d has no name", i+1)
		default:
			columns = append(columns, ColumnNamed(name))
		}
	}
	if timeAt < 0 {
		faults.Add(at(0), timeRemedy(names), "no column is called %s", TimeName)
	}
	return timeAt, columns, faults.Err()
}

func timeRemedy(names []string) string {
	best, bestD := -1, 0
	for i, name := range names {
		if _, near := input.Nearest(name, []string{TimeName, "timestamp", "date", "datetime", "utc"}); near && (best < 0 || len(name) < bestD) {
			best, bestD = i, len(name)
		}
	}
	if best >= 0 {
		return fmt.Sprintf("rename column %d, %q, if that is it", best+1, names[best])
	}
	return "give the column of times, RFC 3339 or decimal seconds, that name; or read the file through a map, which runproof log map proposes"
}
