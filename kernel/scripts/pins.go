package scripts

// pkg is one npm package at one version, with the digests of the archive and
// of the files taken from it.
type pkg struct {
	name, version string
	integrity     string // sha512 of the archive, in npm's "sha512-<base64>" form
	size          string // of the archive, for people
	script        pin
	notices       []pin
}

// pin is a file inside a package and the SHA-256 of its content in hex.
type pin struct {
	path   string // slash-separated, below the archive's "package/" folder
	sha256 string
}

// The integrity values are those the npm registry publishes for these
// versions; `npm view NAME@VERSION dist.integrity` prints them. To move to
// another version, see the test TestPinsMatchThePublishedArchives.
var (
	echarts = pkg{
		name:      "echarts",
		version:   "6.1.0",
		integrity: "sha512-q0yaFPggC9FUdsWH4blavRWFmxdrIodbkoKNAjJudAI6CA9gNPxHtV2RcZNEepZVlk4yvBYkOkbk6HIVpIyHZA==",
		size:      "12 MB",
		script:    pin{"dist/echarts.min.js", "b66b25aeb4df84e33199dc21694014d336d222cbd9deb0e5a7c14bd6aa0d0fd0"},
		notices: []pin{
			{"NOTICE", "d491d358344f842685c1b1585970999db65fe30ecf7ef3867af8814f4016c016"},
			{"LICENSE", "634293835b43a6dd2094fa39182a3d9a6b9ca43b7fdb9ac354e8037af2a3093a"},
			{"licenses/LICENSE-d3", "e1211892da0b0e0585b7aebe8f98c1274fba15bafe47fa1f4ee8a7a502c06304"},
		},
	}
	echartsGL = pkg{
		name:      "echarts-gl",
		version:   "2.1.0",
		integrity: "sha512-GxzAPTYJyOANbu7InkdGV7QLLpVyuQWNvN1yyEEIiqgM11ilAO2OkvPNgRdf854R9ZPt/C1HAgjO8Udrj61lOQ==",
		size:      "1 MB",
		script:    pin{"dist/echarts-gl.min.js", "d6d60f2165ce3eb1ea360ef62e8490835e0ae2c1e0c1788a772fff918e350842"},
		notices: []pin{
			{"LICENSE", "55ea01207028f76d844678511f29fc800f8a1e67a8a0fe80470128677847ad32"},
			{"dist/echarts-gl.min.js.LICENSE.txt", "fdbc28c10f3d21976b4bc16464ad7c630538c0c3101347b5fd44af9066f7022b"},
		},
	}
)

// id is the package in npm's spelling, "echarts@6.1.0".
func (p pkg) id() string { return p.name + "@" + p.version }

// folder is the package's place in the cache, "echarts-6.1.0".
func (p pkg) folder() string { return p.name + "-" + p.version }

// files lists the script and the notices.
func (p pkg) files() []pin { return append([]pin{p.script}, p.notices...) }
