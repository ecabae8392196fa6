package sizing

import _ "embed"

// Template is a build sheet that names every field with what it means: a start
// for a sheet of one's own. It is valid as it stands.
//
//go:embed template.toml
var Template string
