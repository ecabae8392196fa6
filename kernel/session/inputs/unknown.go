package inputs

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"
)

// Unknown is the error for a name that is none of the inputs there are. It tells
// the likeliest ones and all of them.
func Unknown(name string, known []string) error {
	if len(known) == 0 {
		return fmt.Errorf("there is no input %q, nor any other: inputs are literals in code cells tagged %q", name, tags[0])
	}
	var near []string
	best := math.MaxInt
	for _, k := range known {
		d, ok := close(name, k)
		if !ok || d > best {
			continue
		}
		if d < best {
			near, best = nil, d
		}
		near = append(near, fmt.Sprintf("%q", k))
	}
	meant := ""
	if len(near) > 0 {
		meant = fmt.Sprintf(", did you mean %s?", strings.Join(near, " or "))
	}
	all := slices.Sorted(slices.Values(known))
	return fmt.Errorf("there is no input %q%s; there is: %s", name, meant, strings.Join(all, ", "))
}

// close reports whether one name may be meant where the other is written, and
// how far apart they are.
func close(a, b string) (int, bool) {
	a, b = strings.ToLower(a), strings.ToLower(b)
	shorter := min(utf8.RuneCountInString(a), utf8.RuneCountInString(b))
	if shorter >= 3 && (strings.HasPrefix(a, b) || strings.HasPrefix(b, a)) {
		return min(1, distance([]rune(a), []rune(b))), true
	}
	d := distance([]rune(a), []rune(b))
	return d, d <= 1+shorter/4
}

// distance is the least number of letters to insert, delete or replace that
// makes b of a.
func distance(a, b []rune) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		diagonal := row[0]
		row[0] = i + 1
		for j := range b {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}
