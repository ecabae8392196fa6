package evidence

// Reason says why a sample of a pull does not count towards its consumption.
type Reason string

// The reasons, in the order in which they are looked for: a sample has the first that
// applies.
const (
	// CellMissing: a column that is needed has no number in this row.
	CellMissing Reason = "cell missing"
	// SensorOutOfRange: a value that the quantity cannot have in a running engine.
	SensorOutOfRange Reason = "sensor out of range"
	// RailSagged: the rail lay below its set point by more than the tolerance. The flow
	// is corrected for the pressure measured, but a falling rail is not where its sensor
	// says at the moment an injector opens.
	RailSagged Reason = "rail sagged"
	// DutyPinned: the injector no longer closes, and its pulse no longer tells the flow.
	DutyPinned Reason = "duty pinned"
	// Transient: manifold pressure or injected fuel was changing, so that fuel on walls,
	// enrichment and the filling of the manifold stand between fuel and power.
	Transient Reason = "transient fuelling"
	// OutsideInjectorData: voltage, pressure or pulse lie where the sheet's injector data
	// do not reach.
	OutsideInjectorData Reason = "outside the injector's data"
)

// Reasons lists all reasons in the order in which they are looked for.
var Reasons = []Reason{CellMissing, SensorOutOfRange, RailSagged, DutyPinned, Transient, OutsideInjectorData}
