package live

// ramp colours heights from low to high: the shades of the still pictures, a walk
// through CIE L*a*b* from pale yellow by way of green-blue to blue, in equal steps
// of falling lightness. The order survives a black-and-white copier and the
// common kinds of colour blindness, and every shade carries dark lines and text.
var ramp = []string{
	"#fff8c8", "#e7eec0", "#cee4b8", "#b7d9b6", "#9eceb4", "#8cc2b5",
	"#78b6b5", "#6ba9b5", "#5e9bb4", "#558eb2", "#4b80b1",
}

// Ink on the white ground of a chart.
const (
	ink   = "#1a242c"
	quiet = "#5a6670"
	faint = "#d5dade"
	white = "#ffffff"
)

// lineColours tell lines apart for eyes that see fewer colours, too: the set of
// Okabe and Ito (2008; from memory) without its yellow, which is faint on white.
// Lines differ in their dashes as well.
var lineColours = []string{"#0072b2", "#d55e00", "#009e73", "#000000", "#cc79a7", "#56b4e9", "#e69f00"}
