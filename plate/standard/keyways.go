package standard

import (
	"fmt"
	"slices"
)

// Keyway is the parallel key and its keyways for a range of shaft diameters by DIN 6885-1 (ISO 773), high form, mm.
type Keyway struct {
	Over, Incl float64 // shaft diameter, over and up to
	Width      float64 // b of key and keyway
	Height     float64 // h of the key
	ShaftDepth float64 // t1, from the shaft's surface
	HubDepth   float64 // t2, from the bore's surface
}

// keyways was read in two published copies of DIN 6885-1 that agree where they overlap (38 to 58 mm).
var keyways = []Keyway{
	{6, 8, 2, 2, 1.2, 1},
	{8, 10, 3, 3, 1.8, 1.4},
	{10, 12, 4, 4, 2.5, 1.8},
	{12, 17, 5, 5, 3, 2.3},
	{17, 22, 6, 6, 3.5, 2.8},
	{22, 30, 8, 7, 4, 3.3},
	{30, 38, 10, 8, 5, 3.3},
	{38, 44, 12, 8, 5, 3.3},
	{44, 50, 14, 9, 5.5, 3.8},
	{50, 58, 16, 10, 6, 4.3},
	{58, 65, 18, 11, 7, 4.4},
	{65, 75, 20, 12, 7.5, 4.9},
	{75, 85, 22, 14, 9, 5.4},
	{85, 95, 25, 14, 9, 5.4},
	{95, 110, 28, 16, 10, 6.4},
	{110, 130, 32, 18, 11, 7.4},
	{130, 150, 36, 20, 12, 8.4},
}

// Keyways lists the keyways held, smallest first.
func Keyways() []Keyway { return slices.Clone(keyways) }

// KeywayFor is the keyway for a shaft or bore of the given diameter in mm.
func KeywayFor(diameter float64) (Keyway, error) {
	for _, k := range keyways {
		if diameter > k.Over && diameter <= k.Incl || diameter == k.Over && k.Over == keyways[0].Over {
			return k, nil
		}
	}
	return Keyway{}, fmt.Errorf("standard: no parallel key of DIN 6885-1 is held for a diameter of %g mm (%g to %g mm are)", diameter,
		keyways[0].Over, keyways[len(keyways)-1].Incl)
}

// HubAcross is the size d + t2 over bore and keyway that the inspector measures, for a bore of the given diameter in mm, with
// its upper deviation in mm (the lower one is 0): 0.1 up to a key 6 mm wide, 0.2 above. The deviation up to 6 mm was read,
// that above is from memory.
func (k Keyway) HubAcross(bore float64) (size, upper float64) {
	if k.Width <= 6 {
		return bore + k.HubDepth, 0.1
	}
	return bore + k.HubDepth, 0.2
}

// HubClass is the tolerance class of the keyway's width in a hub: P9 for a tight fit, JS9 for a light one, D10 for a hub
// that slides. ok is false for another word.
func HubClass(fit string) (class string, ok bool) {
	switch fit {
	case "tight":
		return "P9", true
	case "light":
		return "JS9", true
	case "sliding":
		return "D10", true
	}
	return "", false
}
