package sizing

import (
	"example.com/railbook/sizing/air"
	"example.com/railbook/sizing/demand"
	"example.com/railbook/sizing/fuel"
	"example.com/railbook/sizing/injector"
	"example.com/railbook/sizing/quantity"
)

// Build describes a combination of engine, target, induction, fuel and fuel
// system. The tags name the fields of a build sheet. A field left at its zero
// value takes the default that its comment states, and the assessment then
// lists it among the assumptions; a field without a stated default is needed.
//
// Build is a value: copies share slices and the second set of injectors, and nothing
// in this package changes what they hold.
type Build struct {
	Job           Job           `sheet:"job"`
	Revisions     []Revision    `sheet:"revisions"` // in order, the last one that of this sheet
	Engine        Engine        `sheet:"engine,required"`
	Target        Target        `sheet:"target,required"`
	Induction     Induction     `sheet:"induction,required"`
	Fuel          Fuel          `sheet:"fuel,required"`
	Electrical    Electrical    `sheet:"electrical"`
	Vehicle       Vehicle       `sheet:"vehicle"`
	Tank          Tank          `sheet:"tank"`
	Injectors     Injectors     `sheet:"injectors,required"`
	Secondary     *Secondary    `sheet:"secondary_injectors"` // nil for none
	Regulator     Regulator     `sheet:"regulator,required"`
	Suction       []Segment     `sheet:"suction"` // from the tank to the pumps that draw from it, in the order fuel meets them
	Pumps         []Pump        `sheet:"pumps,required"`
	SurgeTank     *SurgeTank    `sheet:"surge_tank"` // nil for none
	FeedLine      Segment       `sheet:"feed_line"`
	ReturnLine    []Segment     `sheet:"return_line"` // from the regulator to the tank
	Heat          Heat          `sheet:"heat"`
	Nitrous       Nitrous       `sheet:"nitrous"`
	WaterMethanol WaterMethanol `sheet:"water_methanol"`
	Policy        Policy        `sheet:"policy"`

	Doubts Doubts `json:",omitzero"` // what is not known exactly; the fields above hold the middle of it

	made *made // what is costly to make of it; nil where it is not made
}

// Engine describes the engine at the operating point.
type Engine struct {
	Displacement         quantity.Volume       `sheet:"displacement,required"`
	Cylinders            int                   `sheet:"cylinders,required"`
	Strokes              int                   `sheet:"strokes"`                // per cycle: 4 (default) or 2
	Speed                quantity.AngularSpeed `sheet:"speed,required"`         // at the target power
	VolumetricEfficiency quantity.Ratio        `sheet:"volumetric_efficiency"`  // by manifold density at Speed; default 0.95
	BrakeEfficiency      quantity.Ratio        `sheet:"brake_efficiency"`       // work over released heat; default by induction, see demand.Efficiency
	IdleSpeed            quantity.AngularSpeed `sheet:"idle_speed"`             // default 900 rpm
	IdlePressure         quantity.Pressure     `sheet:"idle_manifold_pressure"` // absolute; default 40 kPa
}

// Target is the power asked for and the mixture it is made with. Exactly one of
// Power, WheelPower, Torque, TrapSpeed and ElapsedTime is given; the last two need
// VehicleMass. Power that nitrous oxide adds comes on top of it.
type Target struct {
	Power           quantity.CrankPower  `sheet:"power"`            // at the crank
	WheelPower      quantity.WheelPower  `sheet:"wheel_power"`      // needs DrivetrainLoss
	DrivetrainLoss  quantity.Ratio       `sheet:"drivetrain_loss"`  // share of crank power lost on the way to the wheels
	Torque          quantity.Torque      `sheet:"torque"`           // at Engine.Speed
	VehicleMass     quantity.Mass        `sheet:"vehicle_mass"`     // as it runs, driver and fuel included
	TrapSpeed       quantity.Velocity    `sheet:"trap_speed"`       // at the end of a standing quarter mile, see demand.StripRule
	ElapsedTime     quantity.Time        `sheet:"elapsed_time"`     // of it; needs DrivetrainLoss, see demand.SteadyRun
	Correction      air.Standard         `sheet:"correction"`       // to which Power, WheelPower or Torque was corrected; default none
	DynoBarometer   quantity.Pressure    `sheet:"dyno_barometer"`   // absolute, at the place and time of the corrected pull
	DynoTemperature quantity.Temperature `sheet:"dyno_temperature"` // of the air drawn in that pull
	DynoHumidity    quantity.Ratio       `sheet:"dyno_humidity"`    // relative; default dry air
	Lambda          quantity.Ratio       `sheet:"lambda,required"`  // air-fuel ratio over the stoichiometric one
	Allowance       quantity.Ratio       `sheet:"allowance"`        // extra fuel over the demand found; default none
}

// Induction describes the air side.
type Induction struct {
	Kind                     demand.Induction      `sheet:"kind,required"`
	Boost                    quantity.PressureDiff `sheet:"boost"`                     // manifold over ambient at the target; needed where boosted
	Altitude                 quantity.Length       `sheet:"altitude"`                  // of the place, for the defaults of the next two; default sea level
	Barometer                quantity.Pressure     `sheet:"barometer"`                 // ambient pressure; default that of the standard atmosphere
	AmbientTemperature       quantity.Temperature  `sheet:"ambient_temperature"`       // default that of the standard atmosphere
	Humidity                 quantity.Ratio        `sheet:"humidity"`                  // relative, of the ambient air; default dry
	ChargeTemperature        quantity.Temperature  `sheet:"charge_temperature"`        // in the manifold, behind any intercooler; needed where CompressorEfficiency is not given
	CompressorEfficiency     quantity.Ratio        `sheet:"compressor_efficiency"`     // isentropic; the charge temperature is then computed
	InletLoss                quantity.PressureDiff `sheet:"inlet_loss"`                // filter and duct before the compressor; default none
	IntercoolerEffectiveness quantity.Ratio        `sheet:"intercooler_effectiveness"` // default no intercooler
	CoolantTemperature       quantity.Temperature  `sheet:"coolant_temperature"`       // of the intercooler; default ambient
	IntercoolerLoss          quantity.PressureDiff `sheet:"intercooler_loss"`          // of the charge; default none
}

// Fuel is what the tank holds.
type Fuel struct {
	Blend       fuel.Blend                   `sheet:"blend,required"`
	Temperature quantity.Temperature         `sheet:"temperature"` // at the rail; default 30 degC
	BSFC        quantity.SpecificConsumption `sheet:"bsfc"`        // measured consumption; default the band of common practice
}

// Electrical gives the supply of pumps and injectors.
type Electrical struct {
	Voltage     quantity.Voltage `sheet:"voltage"`      // at the injectors, where they have no wiring; default 13.5 V
	PumpVoltage quantity.Voltage `sheet:"pump_voltage"` // at the terminals under load, of pumps without wiring; default Voltage
	Supply      quantity.Voltage `sheet:"supply"`       // where described wiring starts; default Voltage
}

// Firing is how often an injector opens in an engine cycle. The zero value is
// sequential.
type Firing uint8

const (
	Sequential Firing = iota // once per engine cycle
	Batch                    // once per revolution: twice per four-stroke cycle
)

// Injectors describes one set of like injectors.
type Injectors struct {
	Part          string                   `sheet:"part"`
	Count         int                      `sheet:"count"` // default one per cylinder
	Flow          injector.Rating          `sheet:"flow,required"`
	DeadTime      []injector.DeadTimePoint `sheet:"dead_time,required"` // by voltage, and by pressure where known; one without a voltage holds for all
	DeadTimeShift quantity.Time            `sheet:"dead_time_shift"`    // added to every dead time, of a second set too, for what its table does not know; default none
	LowPulse      injector.LowPulse        `sheet:"low_pulse"`          // correction of short pulses; default none
	MinimumPulse  quantity.Time            `sheet:"minimum_pulse"`      // least pulse that still meters in proportion; default not checked
	Spread        quantity.Ratio           `sheet:"spread"`             // flow of the weakest below the rating; default none
	Firing        Firing                   `sheet:"firing"`             // default sequential
	Coil          injector.Coil            `sheet:"coil"`               // for the load on the supply; default not counted
	Wiring        *Wiring                  `sheet:"wiring"`             // from the supply to all injectors of the set; needs Coil; nil for none
}

// Secondary describes a second set of injectors that starts where the first has
// reached a duty.
type Secondary struct {
	Part     string                   `sheet:"part"`
	Count    int                      `sheet:"count"` // default one per cylinder
	Flow     injector.Rating          `sheet:"flow,required"`
	DeadTime []injector.DeadTimePoint `sheet:"dead_time"` // default that of the first set
	Spread   quantity.Ratio           `sheet:"spread"`
	Start    quantity.Ratio           `sheet:"start,required"` // duty of the first set above which this one works
	Staging  demand.Staging           `sheet:"staging"`        // default both sets open for equally long
}

// Nitrous describes nitrous oxide injection. Without a flow or a power there is
// none.
type Nitrous struct {
	Flow   quantity.MassFlow   `sheet:"flow"`   // of the oxide; or
	Power  quantity.CrankPower `sheet:"power"`  // that it adds at the crank, on top of the target
	Lambda quantity.Ratio      `sheet:"lambda"` // of its own mixture; default that of the target
	Fuel   demand.FuelCircuit  `sheet:"fuel"`   // where its fuel comes from; default the injectors
}

// WaterMethanol describes an injection of water and methanol into the charge.
// Without a flow there is none.
type WaterMethanol struct {
	Flow        quantity.VolumeFlow     `sheet:"flow"`
	Methanol    quantity.VolumeFraction `sheet:"methanol"`    // in the mixture; default 50 %
	Temperature quantity.Temperature    `sheet:"temperature"` // of the mixture; default 20 degC
	Credit      Credit                  `sheet:"credit"`      // default shown only
}

// Credit says what becomes of the fuel that injected methanol replaces. The zero
// value shows it and sizes without it.
type Credit uint8

const (
	ShownOnly Credit = iota // the parts carry the whole demand: the prudent default
	Taken                   // the demand is lowered by it
)

// Policy says how cautious to be.
type Policy struct {
	MaxDuty         quantity.Ratio        `sheet:"max_duty"`          // largest injector duty, dead time counted; default 0.85
	Route           demand.Route          `sheet:"route"`             // which demand to size on; default the highest
	Band            demand.BandPoint      `sheet:"band"`              // where in the BSFC band; default its high end
	InjectorMargin  *quantity.Ratio       `sheet:"injector_margin"`   // wanted over the demand; default 0.10
	PumpMargin      *quantity.Ratio       `sheet:"pump_margin"`       // default 0.10
	LineMargin      *quantity.Ratio       `sheet:"line_margin"`       // default 0.10
	AllowedLineLoss quantity.PressureDiff `sheet:"allowed_line_loss"` // from pump to rail at the demand; default 35 kPa
	InletMargin     quantity.PressureDiff `sheet:"inlet_margin"`      // of the pumps' inlet over the vapour pressure; default 10 kPa
}
