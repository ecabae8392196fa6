package report

import (
	"fmt"
	"slices"
	"strings"

	"example.com/railbook/report/internal/layout"
)

// reference is a work that a report cites, as the list of references prints it: who
// issued it, what it is, and how it was read where that was not the work itself.
type reference string

// Works that the computation rests on.
const (
	sp811     reference = "NIST, Special Publication 811, Guide for the Use of the International System of Units, 2008, appendix B.8; factors read in public copies"
	iso2533   reference = "ISO 2533:1975, Standard Atmosphere; constants read in a public list of those of the US Standard Atmosphere 1976, which agree, the last digits of the molar mass from memory"
	heywood   reference = "J. B. Heywood, Internal Combustion Engine Fundamentals, 1988, sections 2.10 and 4.9, appendix D; from memory"
	nahin     reference = "P. J. Nahin, In Praise of Simple Physics, 2016, p. 33, where Huntington's rule is given; page read"
	fox       reference = "G. T. Fox, On the physics of drag racing, American Journal of Physics 41, 311 (1973); from memory, the formula derived anew"
	colebrook reference = "C. F. Colebrook, Turbulent flow in pipes, Journal of the Institution of Civil Engineers 11 (1939); the equation as public code and handbooks have it"
	moody     reference = "L. F. Moody, Friction factors for pipe flow, Transactions of the ASME 66 (1944); roughness of drawn tubing from memory"
	iec60028  reference = "IEC 60028, International standard of resistance for copper, 1925; read in a secondary source"
	saej1832  reference = "SAE J1832, Low Pressure Gasoline Fuel Injector; test fluid from memory"
	iso1585   reference = "ISO 1585, Road vehicles, engine test code, net power; from memory or public pages"
	saej1349  reference = "SAE J1349, Engine power test code; from memory or public pages"
	saej607   reference = "SAE J607, Small spark ignition engine test code; from memory or public pages"
	milhdbk   reference = "US Department of Defense, MIL-HDBK-1022, Petroleum Fuel Facilities, paragraph 9.1.1.1; read in a public copy"
	astm5798  reference = "ASTM D5798-15, Ethanol fuel blends for flexible-fuel engines; limits read at the US DOE Alternative Fuels Data Center"
	en228     reference = "EN 228:2012, Unleaded petrol; limits read in summaries"
	fr14760   reference = "US EPA, Federal Register 89, 14760 (2024), on the vapour pressure of gasoline with ethanol; read in a public copy"
	oimlr22   reference = "OIML R 22, general formula for the density of ethanol and water (also Directive 76/766/EEC, annex); computed, part of the coefficients from memory"
)

// Works that the safety notes rest on.
const (
	cfr1910106 reference = "29 CFR 1910.106(e)(6), Flammable liquids, sources of ignition and bonding; read as California Code of Regulations, title 8, section 5549, and 29 CFR 1926.152 have it"
	cal5618    reference = "California Code of Regulations, title 8, section 5618, Ventilation; read in a public copy. The federal rules are in 29 CFR 1910.106(f) and (g)"
	cfr1910157 reference = "29 CFR 1910.157(d), Portable fire extinguishers, selection and distribution; read in OSHA guidance that restates it"
	cfr1910147 reference = "29 CFR 1910.147(d)(5), Control of hazardous energy, stored energy; read in Washington Administrative Code 296-45-17535, which has its words"
	wac45285   reference = "Washington Administrative Code 296-45-285(3)(e), pressure to be released before connections are broken; read at the Washington State Legislature"
	cfr1910133 reference = "29 CFR 1910.133(a)(1), Eye and face protection, and 1910.151(c), Medical services and first aid; quoted passages read"
	nioshAid   reference = "CDC/NIOSH, Pocket Guide to Chemical Hazards, first aid procedures; from memory"
	nioshEtOH  reference = "CDC/NIOSH, Immediately Dangerous to Life or Health Concentrations, ethyl alcohol (CAS 64-17-5); read"
	nioshMeOH  reference = "CDC/NIOSH, Immediately Dangerous to Life or Health Concentrations, methyl alcohol (CAS 67-56-1); read"
	nioshCard  reference = "CDC/NIOSH, Emergency Response Safety and Health Database, Methanol: systemic agent; read"
	nioshGas   reference = "CDC/NIOSH, Pocket Guide to Chemical Hazards, Gasoline (CAS 8006-61-9); from memory"
	nioshN2O   reference = "CDC/NIOSH, Pocket Guide to Chemical Hazards, Nitrous oxide (CAS 10024-97-2); read in a public copy"
	epaMeOH    reference = "US EPA, fact sheet Methanol Fuels and Fire Safety; read in a copy of it, its issuer from memory"
	phmsa      reference = "US DOT, PHMSA, advisory on ethanol and gasoline mixtures, 2008, and Emergency Response Guidebook, guide 127; read in notices that restate them"
	doeE85     reference = "US DOE, Handbook for Handling, Storing, and Dispensing E85 and Other Ethanol-Gasoline Blends, DOE/GO-102016-4854, 2016; title pages read, materials from memory"
	ornl       reference = "Oak Ridge National Laboratory, ORNL/TM-2012/88, Compatibility study for plastic, elastomeric, and metallic fueling infrastructure materials, 2012; title pages and abstracts of the same series read"
	cfr183524  reference = "33 CFR 183.524(b), Fuel pumps (US Coast Guard, gasoline boats): an electric pump runs only while the engine runs or is started; read"
	fmvss301   reference = "49 CFR 571.301, Federal Motor Vehicle Safety Standard 301, Fuel system integrity; purpose read in 62 FR 63306 (1997)"
	faaPilot   reference = "FAA, Pilot's Handbook of Aeronautical Knowledge, FAA-H-8083-25, on detonation; read in a page that restates it"
	oshaCO     reference = "OSHA, fact sheet Carbon Monoxide Poisoning; read in copies"
	cleanAir   reference = "Clean Air Act, section 203(a)(3), 42 USC 7522(a)(3); read as Public Law 101-549, section 228, has it"
	saej30     reference = "SAE J30, Fuel and oil hoses; scope read, pressures not"
)

// named are the words by which texts of the computation name a work.
var named = []struct {
	words string
	work  reference
}{
	{"ISO 2533", iso2533}, {"Heywood", heywood}, {"Nahin", nahin}, {"Fox 1973", fox}, {"Colebrook", colebrook}, {"Moody", moody},
	{"IEC 60028", iec60028}, {"SAE J1832", saej1832}, {"ISO 1585", iso1585}, {"SAE J1349", saej1349}, {"SAE J607", saej607},
	{"MIL-HDBK-1022", milhdbk}, {"ASTM D5798", astm5798}, {"EN 228", en228}, {"89 FR 14760", fr14760}, {"OIML R 22", oimlr22},
}

// cite returns the numbers of works in the list of references, "[3]" or "[3] [4]". A work
// has its number from where it is first cited.
func (w *writer) cite(works ...reference) string {
	var marks []string
	for _, work := range works {
		n := slices.Index(w.cited, work) + 1
		if n == 0 {
			w.cited = append(w.cited, work)
			n = len(w.cited)
		}
		marks = append(marks, layout.Link(fmt.Sprintf("ref-%d", n), fmt.Sprintf("[%d]", n)))
	}
	return strings.Join(marks, " ")
}

// worksIn returns the works that a text names.
func worksIn(text string) []reference {
	var works []reference
	for _, n := range named {
		if strings.Contains(text, n.words) {
			works = append(works, n.work)
		}
	}
	return works
}

// sourced returns a text with the numbers of the works behind it that it names.
func (w *writer) sourced(text string) string {
	if works := worksIn(text); len(works) > 0 {
		return text + " " + w.cite(works...)
	}
	return text
}

// references lists the works that the report cites.
func (w *writer) references() {
	w.cite(sp811) // which the appendix on units does, behind this one
	w.text("Numbers in square brackets in this report lead here. A work that was not opened itself says how it was read; look it up before relying on it. What is common practice without a published source says so where it stands, and is not in this list.")
	for i, work := range w.cited {
		w.doc.Row(layout.Row{Cells: []layout.Cell{
			{Width: 60, Text: layout.Anchor(fmt.Sprintf("ref-%d", i+1)) + fmt.Sprintf("[%d]", i+1), Type: layout.Cellful, Pad: layout.Pad{Left: 0.5, Bottom: 1}},
			{Width: page - 60, Text: tie(string(work)) + ".", Type: layout.Cellful, Pad: layout.Pad{Bottom: 1}},
		}})
	}
}
