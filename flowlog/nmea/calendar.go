package nmea

// calendar gives moments their day.
type calendar struct {
	begun bool
	day   int64
	tod   int64
	dated bool
	said  int64 // the date of the last sentence that had one
	late  int64 // days that dates lag behind
}

// dayOf is the day of a moment that comes after the one before: its own where it
// tells, else that of the one before, or the next one where the time of day went
// back by more than 12 hours. A moment up to 12 hours early, from a second
// receiver, may lie before midnight again.
func (c *calendar) dayOf(f fix) int64 {
	const half = dayNS / 2
	switch {
	case f.dated:
		c.day = c.date(f)
	case !c.begun:
		c.day = 0
	case c.tod-f.tod > half:
		c.day++
	case f.tod-c.tod > half && c.fresh():
		c.day--
	}
	c.begun, c.tod = true, f.tod
	return c.day
}

// date is the day of a moment that tells its date. There are receivers whose date
// goes on a sentence or more behind midnight, or before it; the time of day is
// then believed.
func (c *calendar) date(f fix) int64 {
	const minute = 60 * secondNS
	evening := f.tod >= dayNS-minute && f.tod >= c.tod && f.tod-c.tod <= minute
	midnight := c.tod >= dayNS-minute && f.tod <= minute
	switch {
	case !c.dated:
		c.dated = true
	case f.day == c.said && midnight:
		c.late++
	case f.day == c.said+1 && evening && c.late == 0:
		return c.said
	case f.day != c.said:
		c.late = 0
	}
	c.said = f.day
	return f.day + c.late
}

// fresh says that the day has just begun, so that a late time of day may belong
// to the day before.
func (c *calendar) fresh() bool {
	const minute = 60 * secondNS
	return c.tod < minute
}
