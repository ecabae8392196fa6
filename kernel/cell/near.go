package cell

import (
	"slices"
	"strings"
)

// nearest returns the names that a misspelt one may mean, the nearest first, at
// most three.
func nearest(name string, names []string) []string {
	type candidate struct {
		name     string
		distance int
	}
	var list []candidate
	folded := strings.ToLower(name)
	most := 1 + len(name)/4
	for _, n := range names {
		if n == name {
			continue
		}
		d := distance(folded, strings.ToLower(n))
		if d > most || d >= len(name) {
			continue
		}
		// The same but for its case is less near than the same.
		list = append(list, candidate{n, 2*d + min(1, distance(name, n)-d)})
	}
	slices.SortFunc(list, func(a, b candidate) int {
		if a.distance != b.distance {
			return a.distance - b.distance
		}
		return strings.Compare(a.name, b.name)
	})
	var best []string
	for _, c := range list {
		known := slices.ContainsFunc(best, func(b string) bool { return strings.EqualFold(b, c.name) })
		if len(best) < 3 && c.distance/2 == list[0].distance/2 && !known {
			best = append(best, c.name)
		}
	}
	return best
}

// distance counts the letters to be added, dropped, changed or exchanged with
// their neighbour to make one word of the other.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	two, one, now := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range one {
		one[j] = j
	}
	for i := 1; i <= len(s); i++ {
		now[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			now[j] = min(one[j]+1, now[j-1]+1, one[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				now[j] = min(now[j], two[j-2]+1)
			}
		}
		two, one, now = one, now, two
	}
	return one[len(t)]
}
