package flowlog

// plainUTC reads yyyy-mm-ddThh:mm:ss[.fraction]Z with at most nine digits of
// fraction, the form that recorders write. It accepts nothing that time.Parse
// would refuse or read otherwise; what it does not know is left to that.
func plainUTC[S string | []byte](s S) (ns int64, ok bool) {
	n := len(s)
	if n < 20 || s[4] != '-' || s[7] != '-' || s[10] != 'T' || s[13] != ':' || s[16] != ':' || s[n-1] != 'Z' {
		return 0, false
	}
	y, month, day := two(s, 0)*100+two(s, 2), two(s, 5), two(s, 8)
	h, m, sec := two(s, 11), two(s, 14), two(s, 17)
	if y < 1900 || y > 2200 || month < 1 || month > 12 || day < 1 || day > 28 && day > monthDays(y, month) ||
		uint(h) > 23 || uint(m) > 59 || uint(sec) > 59 {
		return 0, false
	}
	frac := int64(0)
	if n > 20 {
		if s[19] != '.' || n == 21 {
			return 0, false
		}
		if frac, ok = nanos(s[20 : n-1]); !ok {
			return 0, false
		}
	}
	return (int64(daysFrom1970(y, month, day))*86400+int64(h*3600+m*60+sec))*1e9 + frac, true
}

// plainSeconds reads [-]digits[.digits] with up to ten digits before the point
// and nine behind it.
func plainSeconds[S string | []byte](s S) (ns int64, ok bool) {
	i, sign := 0, int64(1)
	if len(s) > 0 && s[0] == '-' {
		i, sign = 1, -1
	}
	first := i
	whole := int64(0)
	for ; i < len(s) && s[i]-'0' <= 9; i++ {
		whole = whole*10 + int64(s[i]-'0')
		if i-first > 9 {
			return 0, false
		}
	}
	digits := i - first
	if whole >= 9223372036 {
		return 0, false
	}
	if i == len(s) {
		return sign * whole * 1e9, digits > 0
	}
	if s[i] != '.' || i+1 == len(s) {
		return 0, false
	}
	frac, ok := nanos(s[i+1:])
	return sign * (whole*1e9 + frac), ok
}

// two is the number of two digits at s[i:], or far below 0 when they are none.
func two[S string | []byte](s S, i int) int {
	a, b := s[i]-'0', s[i+1]-'0'
	if a > 9 || b > 9 {
		return -1 << 20
	}
	return int(a)*10 + int(b)
}

// nanos reads the digits behind the point: "2" is 200 000 000.
func nanos[S string | []byte](s S) (int64, bool) {
	if len(s) > 9 {
		return 0, false
	}
	v := int64(0)
	for i := range 9 {
		v *= 10
		if i < len(s) {
			d := s[i] - '0'
			if d > 9 {
				return 0, false
			}
			v += int64(d)
		}
	}
	return v, true
}

func monthDays(y, month int) int {
	switch month {
	case 2:
		if y%4 == 0 && (y%100 != 0 || y%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// daysFrom1970 counts days in the Gregorian calendar, years counted from March
// so that the leap day comes last.
func daysFrom1970(y, month, day int) int {
	m := month - 3
	if m < 0 {
		m, y = m+12, y-1
	}
	return 365*y + y/4 - y/100 + y/400 + (153*m+2)/5 + day - 719469
}
