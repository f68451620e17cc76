package input

import "strings"

// Nearest returns the valid word with the least edit distance (Damerau and
// Levenshtein, restricted: a swap of two neighbours is one edit, letter case
// is free) from word, and whether it is near enough to be what was meant: at
// most a third of the longer word's letters, and at least one edit allowed.
// Of equally near words the first wins.
func Nearest(word string, valid []string) (string, bool) {
	best, bestD := "", -1
	for _, v := range valid {
		if d := editDistance(strings.ToLower(word), strings.ToLower(v)); bestD < 0 || d < bestD {
			best, bestD = v, d
		}
	}
	if bestD < 0 {
		return "", false
	}
	return best, bestD <= max(1, max(len(word), len(best))/3)
}

func editDistance(a, b string) int {
	s, t := []rune(a), []rune(b)
	prev2, prev, cur := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(s); i++ {
		cur[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			cur[j] = min(prev[j]+1, cur[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				cur[j] = min(cur[j], prev2[j-2]+1)
			}
		}
		prev2, prev, cur = prev, cur, prev2
	}
	return prev[len(t)]
}
