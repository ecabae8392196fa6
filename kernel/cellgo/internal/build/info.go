//go:build unix

package build

import (
	"errors"
	"fmt"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
)

// Between these marks stands, in a program, what it tells of its modules and
// settings.
const (
	infoStart = "\x30\x77\xaf\x0c\x92\x74\x08\x02\x41\xe1\xc1\x07\xe6\xd6\x18\xe6"
	infoEnd   = "\xf9\x32\x43\x31\x86\x18\x20\x72\x00\x82\x42\x10\x41\x16\xd8\xf2"
)

// decodeInfo returns the build information of an import configuration.
func decodeInfo(encoded string) (string, error) {
	text, err := strconv.Unquote(encoded)
	if err != nil {
		return "", fmt.Errorf("build information: %w", err)
	}
	info, start := strings.CutPrefix(text, infoStart)
	info, end := strings.CutSuffix(info, infoEnd)
	if !start || !end {
		return "", errors.New("build information: unknown marks")
	}
	return info, nil
}

// encodeInfo is the inverse of decodeInfo.
func encodeInfo(info string) string { return strconv.Quote(infoStart + info + infoEnd) }

// mergeInfo returns the build information with the modules of both.
func mergeInfo(info, other string) (string, error) {
	a, err := debug.ParseBuildInfo(info)
	if err != nil {
		return "", err
	}
	b, err := debug.ParseBuildInfo(other)
	if err != nil {
		return "", err
	}
	for _, m := range b.Deps {
		if !slices.ContainsFunc(a.Deps, func(have *debug.Module) bool { return have.Path == m.Path }) {
			a.Deps = append(a.Deps, m)
		}
	}
	slices.SortFunc(a.Deps, func(m, n *debug.Module) int { return strings.Compare(m.Path, n.Path) })
	return a.String(), nil
}

// selectInfo returns the build information of a program made of these packages.
func selectInfo(info string, packages map[string]pkg) (string, error) {
	bi, err := debug.ParseBuildInfo(info)
	if err != nil {
		return "", err
	}
	used := map[string]bool{}
	for _, p := range packages {
		used[p.Module] = true
	}
	bi.Deps = slices.DeleteFunc(bi.Deps, func(m *debug.Module) bool { return !used[m.Path] })
	return bi.String(), nil
}
