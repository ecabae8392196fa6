package results

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"

	"example.com/railbook/sizing/quantity"
)

// Units holds the symbol of every unit that a quantity is printed with.
var Units = func() map[string]bool {
	set := map[string]bool{"%": true}
	for _, list := range [][]string{
		quantity.Symbols[quantity.MassFlow](), quantity.Symbols[quantity.VolumeFlow](), quantity.Symbols[quantity.Density](),
		quantity.Symbols[quantity.Viscosity](), quantity.Symbols[quantity.Pressure](), quantity.Symbols[quantity.PressureDiff](),
		quantity.Symbols[quantity.CrankPower](), quantity.Symbols[quantity.WheelPower](), quantity.Symbols[quantity.Torque](),
		quantity.Symbols[quantity.SpecificConsumption](), quantity.Symbols[quantity.SpecificEnergy](), quantity.Symbols[quantity.EnergyDensity](),
		quantity.Symbols[quantity.Temperature](), quantity.Symbols[quantity.TemperatureDiff](), quantity.Symbols[quantity.AngularSpeed](),
		quantity.Symbols[quantity.Velocity](), quantity.Symbols[quantity.Length](), quantity.Symbols[quantity.Volume](),
		quantity.Symbols[quantity.Mass](), quantity.Symbols[quantity.Time](), quantity.Symbols[quantity.Voltage](),
		quantity.Symbols[quantity.Power](), quantity.Symbols[quantity.SpecificHeat](), quantity.Symbols[quantity.Current](),
		quantity.Symbols[quantity.Resistance](), quantity.Symbols[quantity.Acceleration](), quantity.Symbols[quantity.Area](),
	} {
		for _, symbol := range list {
			if symbol != "" {
				set[symbol] = true
			}
		}
	}
	return set
}()

// decimal is a number as reports print it.
var decimal = regexp.MustCompile(`^[+−±-]?[0-9]+(\.[0-9]+)?(e[+-]?[0-9]+)?$`)

// marks may follow a number or a unit without being part of it.
const marks = ",.;:)"

// Numbers returns the numbers in a printed text, in order: those with a unit behind
// them, and those that a line of the text begins with. Numbers in names, as of parts and
// standards, are none.
func Numbers(text string) []Number {
	var list []Number
	for line := range strings.Lines(text) {
		words := strings.Fields(line)
		for i := 0; i < len(words); i++ {
			word := strings.TrimRight(strings.TrimLeft(words[i], "("), marks)
			if !decimal.MatchString(word) {
				continue
			}
			unit, n := "", 0
			if word == strings.TrimLeft(words[i], "(") { // nothing in between
				unit, n = unitOf(words[i+1:])
			}
			if n == 0 && (i > 0 || word[0] < '0' || word[0] > '9') {
				continue
			}
			list = append(list, Number{Value: plain(word), Unit: unit})
			i += n
		}
	}
	return list
}

// unitOf returns the longest unit that the words begin with, and of how many it is made.
func unitOf(words []string) (unit string, n int) {
	const most = 3 // words in a symbol
	for n := min(most, len(words)); n > 0; n-- {
		symbol := strings.Join(words[:n], " ")
		for _, s := range []string{symbol, strings.TrimRight(symbol, marks), strings.TrimRight(symbol, marks) + ")"} {
			if Units[s] {
				return s, n
			}
		}
	}
	return "", 0
}

// plain is a number as JSON has it.
func plain(word string) json.Number {
	word = strings.NewReplacer("−", "-", "+", "", "±", "").Replace(word)
	sign := ""
	if rest, negative := strings.CutPrefix(word, "-"); negative {
		sign, word = "-", rest
	}
	// JSON knows no zeros in front.
	for len(word) > 1 && word[0] == '0' && slices.Contains([]byte("0123456789"), word[1]) {
		word = word[1:]
	}
	return json.Number(sign + word)
}
