package report

import (
	"fmt"
	"strings"

	"example.com/railbook/sizing"
	"example.com/railbook/sizing/quantity"
)

// practice stands where no source was found.
const practice = "common practice, no source"

// note is one safety note with its sources.
type note struct {
	subject, text string
	works         []reference
	practice      bool // whether some of it has no source
}

// The contents of alcohol from which notes apply. Ordinary foam fails beyond 10 %: US DOT,
// PHMSA, as cited in the note.
const alcoholInFoam = 0.10

// notes are the safety notes that apply to this build, in the order in which work goes on.
func (w *writer) notes() []note {
	b := w.a.Build
	alcohol := float64(b.Fuel.Blend.EthanolContent() + b.Fuel.Blend.VolumeFraction("methanol"))
	list := []note{
		w.pressureNote(),
		{"Ignition sources", "No flame, smoking, grinding, welding or unprotected lamp near open fuel. Connect and disconnect batteries and chargers away from it. Vapour creeps along floors and into pits and flashes back. Bond containers to each other when pouring, so that no static spark jumps.", []reference{cfr1910106}, false},
		{"Ventilation", "Work in moving air, drawn off at the floor, since vapour is heavier than air; never over a pit or basement that vapour can run into unless that is ventilated.", []reference{cal5618}, false},
		extinguisher(alcohol),
		{"Eyes and skin", "Wear splash goggles and gloves made for this fuel, and have water to flush with at the place of work. In the eyes: wash at once with much water, lifting the lids, and get medical attention. On the skin: take off what is soaked, wash with soap and water.", []reference{nioshAid, cfr1910133}, false},
	}
	list = append(list, w.breathing()...)
	list = append(list, w.alcoholNotes(alcohol)...)
	list = append(list, w.systemNotes()...)
	list = append(list,
		note{"Lean running", fmt.Sprintf("A rail that sags or a pump that fails leans the mixture within one revolution. A lean mixture at high power detonates and overheats until pistons and valves fail, and a failed engine sprays fuel and oil on hot metal. Log rail pressure and lambda on every pull, let the engine management cut power on either, and do not run above λ %s under load.",
			quantity.Digits(float64(b.Target.Lambda+lambdaLeanStop), 3)), []reference{faaPilot}, true},
		note{"Dynamometer", "Take the exhaust out of the building and have a carbon monoxide alarm: a rich full-load mixture makes much of it, and 50 ppm is the limit over a working day. Stand clear of rollers and shafts, have the fuel cut-off within reach of whoever runs the pull, and a second person at the extinguisher.", []reference{oshaCO}, true},
	)
	list = append(list, w.useNotes()...)
	return append(list,
		note{"Spills and waste", "Absorb spills at once, keep them out of drains, and hand in fuel and soaked rags as the local rules say.", nil, true},
	)
}

// pressureNote tells of the pressure in the system and of taking it off.
func (w *writer) pressureNote() note {
	rail := format(w, max(w.a.Delivery.SetRail.Above(w.a.Build.Induction.Barometer), 0))
	off := "the pumps off and their fuse out"
	if !w.electric() {
		off = "the engine stopped and the shut-off valve at the tank closed"
	}
	return note{"Fuel under pressure", fmt.Sprintf("The rail stands at up to %s over ambient at the target, and stays under pressure long after the engine stops. Relieve it before opening any joint, and prove it relieved: %s, pressure run down through the gauge port into a closed container, the gauge at zero, a rag around the joint, goggles on.", rail, off),
		[]reference{cfr1910147, wac45285}, true}
}

func extinguisher(alcohol float64) note {
	n := note{"Extinguisher", "Keep one rated for class B fires within 50 ft (15 m) of the work, and a second person who can use it.", []reference{cfr1910157}, false}
	if alcohol > alcoholInFoam {
		n.text += " This fuel has more than 10 % alcohol, which breaks down ordinary foam: dry chemical, carbon dioxide or alcohol-resistant foam."
		n.works = append(n.works, phmsa)
	}
	return n
}

// breathing gives the limits on vapour in the air at work for what the fuel holds, as far
// as one is known.
func (w *writer) breathing() []note {
	blend := w.a.Build.Fuel.Blend
	var limits []string
	var works []reference
	if blend.GasolineContent() > 0 {
		limits = append(limits, "gasoline has no limit of NIOSH or OSHA and is treated by NIOSH as a carcinogen: keep exposure as low as can be")
		works = append(works, nioshGas)
	}
	if blend.Has("ethanol") {
		limits = append(limits, "ethanol 1000 ppm over a working day")
		works = append(works, nioshEtOH)
	}
	if blend.Has("methanol") {
		limits = append(limits, "methanol 200 ppm over a working day, 250 ppm for a short time, skin contact counted besides")
		works = append(works, nioshMeOH)
	}
	if limits == nil {
		return nil
	}
	return []note{{"Breathing", "Limits of vapour in the air at work: " + strings.Join(limits, "; ") + ".", works, false}}
}

// alcoholNotes tell of methanol, in the fuel or injected beside it, and of what alcohol
// does to materials.
func (w *writer) alcoholNotes(alcohol float64) []note {
	b := w.a.Build
	var list []note
	if b.Fuel.Blend.Has("methanol") {
		list = append(list, note{"Methanol", "Toxic through the skin and by breathing as well as by swallowing, and its smell gives no sufficient warning. Its flame is hard to see in daylight: suspect fire where air shimmers or paint blisters, and keep water at hand. Never let skin stay wet with it; after exposure get medical attention even without complaint, since the harm to sight comes hours later.",
			[]reference{nioshCard, epaMeOH}, false})
	}
	if m := b.WaterMethanol; m.Flow != 0 && m.Methanol > 0 {
		list = append(list, note{"Water-methanol", fmt.Sprintf("The mixture is %s methanol: toxic through the skin, by breathing and by swallowing, and it burns with a flame that is hard to see. Treat its tank, pump and lines as part of the fuel system, and label the tank.", m.Methanol), []reference{nioshCard, epaMeOH}, false})
		if b.WaterMethanol.Credit == sizing.Taken {
			list = append(list, note{"Injection as fuel", "The main fuel was lowered by what the injection brings, so that the engine leans when it stops. Let the engine management see its flow or pressure and cut boost without it.", nil, true})
		}
	}
	if alcohol >= alcoholInFoam {
		list = append(list, note{"Alcohol and materials", "Every hose, seal, filter, tank lining, pump and injector must be released by its maker for this content. Zinc, brass, lead, bare aluminium, natural rubber, cork and polyurethane are attacked. Alcohol draws water and conducts: flush the system before it stands for long, and use pumps wired for it.",
			[]reference{doeE85, ornl}, false})
	}
	return list
}

// systemNotes tell of hoses, pumps and what else the system has.
func (w *writer) systemNotes() []note {
	b := w.a.Build
	rail := format(w, max(w.a.Delivery.SetRail.Above(b.Induction.Barometer), 0))
	list := []note{{"Hoses and lines", fmt.Sprintf("Use hose made for fuel injection (SAE 30R9) and rated by its maker for more than %s on this fuel, and hose made for immersion (30R10) inside the tank. Route clear of heat, edges and moving parts, with a bulkhead fitting at every wall.", rail), []reference{saej30}, true}}
	if w.electric() {
		list = append(list,
			note{"Pump wiring", "Wire each pump through a relay from the battery, fuse it at the source for its greatest current, and earth it with as much copper as feeds it. No joint stands in vapour; feed-throughs of the tank are made for it.", nil, true},
			note{"Pump cut-off", "The pumps must stop by themselves when the engine stops and when the vehicle crashes, whatever the engine management does: by an inertia switch, and by oil pressure or engine speed. A running pump behind a broken line empties the tank on the fire.", []reference{cfr183524, fmvss301}, true})
	} else {
		list = append(list, note{"Fuel shut-off", "A pump that the engine drives stops with it, but nothing holds the fuel of a tank that stands higher, or a vehicle on its roof. Fit a shut-off valve that the driver reaches belted, and a check or rollover valve in the vent.", []reference{fmvss301}, true})
	}
	if b.SurgeTank != nil {
		list = append(list, note{"Surge tank", "It is a second fuel tank, often closer to people than the first: fasten it as one, behind a bulkhead, and lead its vent back to the main tank, never to the air of a cabin.", nil, true})
	}
	if b.Regulator.Control == sizing.ByPumpSpeed {
		list = append(list, note{"Failed control", "A controller that fails at full speed, or fuel that warms in a shut-off engine, drives the rail beyond its set pressure. Fit a relief valve, and let the engine management stop the pump on too much pressure as on too little.", nil, true})
	}
	if w.a.Demand.Added.Nitrous != 0 {
		list = append(list, note{"Nitrous oxide", "It does not burn, but feeds every fire and is stored under high pressure: fasten bottles, open them slowly, keep oil and grease off, vent outside the cabin. The liquid freezes skin; breathed, it dulls and suffocates. Interlock it with fuel pressure and full throttle.",
			[]reference{nioshN2O}, true})
	}
	return list
}

// useNotes tell what the use of the vehicle asks for.
func (w *writer) useNotes() []note {
	road := note{"Road use", "A vehicle on the road keeps the devices that its emissions were approved with; taking them out or past them is unlawful in the United States for anyone, and elsewhere as its laws say. Changed fuel lines and tanks have to hold in a crash as the approved ones did. Pulls do not belong on the road.", []reference{cleanAir, fmvss301}, false}
	switch w.a.Build.Job.Use {
	case sizing.RoadUse:
		return []note{road}
	case sizing.UseNotStated:
		road.text = "The build sheet does not say where this runs. " + road.text
		return []note{road}
	case sizing.CompetitionUse:
		return []note{{"Competition", "The sanctioning body's rules on fuel, cells, bulkheads, vents, cut-offs and extinguishers decide, and its scrutineers; get its word on this system before it is built.", nil, true}}
	}
	return nil
}
