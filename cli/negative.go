package cli

import "strings"

// negatives joins a negative number to the flag before it, as in --offset -12.5,
// which would else be taken for a flag itself: no flag begins with a digit.
func negatives(args []string) []string {
	out := make([]string, 0, len(args))
	for _, a := range args {
		n := len(out)
		if n > 0 && negative(a) && strings.HasPrefix(out[n-1], "--") && len(out[n-1]) > 2 && !strings.Contains(out[n-1], "=") {
			out[n-1] += "=" + a
			continue
		}
		out = append(out, a)
	}
	return out
}

func negative(s string) bool {
	return len(s) > 1 && s[0] == '-' && (s[1] >= '0' && s[1] <= '9' || s[1] == '.')
}
