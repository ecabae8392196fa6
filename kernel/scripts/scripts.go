// Package scripts supplies the JavaScript that draws the live charts of a
// Railbook page: ECharts and its 3D extension, at one pinned version each.
//
// The scripts are fetched once, through the npm client, and kept in the user's
// cache. Every byte that is handed out matches a digest compiled into this
// package, whether it came from npm a moment ago or from the cache. Without
// them a page shows still pictures, so an error from [Load] is a reason to go
// on with a nil [Bundle] and to show the error's text, not to stop.
package scripts

import (
	"context"

	"example.com/railbook/kernel/cache"
)

// Hint tells in one sentence how to get live charts on a machine that has none.
const Hint = "for live charts install Node.js with its npm client, connect to the network once and run again"

// Bundle is the JavaScript of the live charts. Both scripts are UMD modules:
// ECharts must run before GL, and neither may see an AMD define.
type Bundle struct {
	ECharts Script // two-dimensional charts, and what GL builds on
	GL      Script // surfaces and other charts that need WebGL
}

// Script is one library in its minified distribution form.
type Script struct {
	Name    string // package name, "echarts"
	Version string // "6.1.0"
	Source  string // JavaScript text
	Notices []Notice
}

// Notice is a licence or a copyright notice that must travel with a script.
type Notice struct {
	Name string // file name in the package, "licenses/LICENSE-d3"
	Text string
}

// Load returns the pinned scripts: from the cache where it holds them
// undamaged, otherwise through the npm client, after which they are in the
// cache. It may be called from several goroutines and processes at once.
//
// progress, which may be nil, receives one line before anything slow is done
// and one for each script the cache could not keep. The error is [ErrNoNPM], a
// [*NPMError] or an [*IntegrityError]; or it is ctx's; or it comes from the
// file system.
func Load(ctx context.Context, progress func(string)) (*Bundle, error) {
	dir, err := cache.Dir("scripts")
	if err != nil {
		return nil, err
	}
	l := loader{dir: dir, npm: npmPack, progress: progress}
	ec, err := l.load(ctx, echarts)
	if err != nil {
		return nil, err
	}
	gl, err := l.load(ctx, echartsGL)
	if err != nil {
		return nil, err
	}
	return &Bundle{ECharts: ec, GL: gl}, nil
}
