package material

// strength is one row of EN 485-2 for sheet and plate: over, up to and including (mm), 0.2 % proof stress and ultimate
// strength (MPa), both minimum values. The first row of a table holds its lower limit too. Neighbouring rows of the
// standard with equal values are joined.
type strength struct{ over, incl, proof, ultimate float64 }

// alloy is one alloy and temper with everything that Lookup needs.
type alloy struct {
	alloy, temper  string
	density        float64 // kg/m³
	young, poisson float64 // MPa, –
	group          string  // ISO 513
	source         string
	rows           []strength
}

var alloys = []alloy{
	{
		// Density 2.70 g/cm³, E 70 GPa, G 26.4 GPa: alloy data sheet EN AW-6082 (seen). Poisson's ratio is E/2G − 1 = 0.326
		// of that sheet, rounded. Over 6 to 12.5 mm the tables seen print Rm 300 and 310; the lower is held. Over 150 to
		// 175 mm the table seen prints Rm 272 where 275 would be the usual step.
		alloy: "EN AW-6082", temper: "T651", density: 2700, young: 70000, poisson: 0.33, group: "N",
		source: "EN 485-2 minimum values; density and modulus: alloy data sheet EN AW-6082",
		rows: []strength{
			{0.4, 6, 260, 310},
			{6, 12.5, 255, 300},
			{12.5, 100, 240, 295},
			{100, 150, 240, 275},
			{150, 175, 230, 272},
		},
	},
	{
		// Density 2.70 g/cm³, E 68.9 GPa, Poisson's ratio 0.33: Aluminum Association typical values (seen).
		alloy: "EN AW-6061", temper: "T651", density: 2700, young: 68900, poisson: 0.33, group: "N",
		source: "EN 485-2 minimum values; density and modulus: Aluminum Association typical values",
		rows: []strength{
			{0.4, 100, 240, 290},
			{100, 150, 240, 275},
			{150, 175, 230, 265},
		},
	},
	{
		// Density 2.65 g/cm³, E 72 GPa: stockholder data sheets (seen). Poisson's ratio 0.33: public data sheets (seen). EN 485-2:2008 up
		// to 120 mm; its older edition has 275/125 MPa up to 50 mm and is held over 120 mm.
		alloy: "EN AW-5083", temper: "H111", density: 2650, young: 72000, poisson: 0.33, group: "N",
		source: "EN 485-2:2008 minimum values (an older edition over 120 mm); density and modulus: stockholder data sheets",
		rows: []strength{
			{0.2, 6.3, 125, 275},
			{6.3, 80, 115, 270},
			{80, 120, 110, 260},
			{120, 150, 105, 255},
		},
	},
	{
		// Density 2.81 g/cm³, E 72 GPa: Aluminum Association typical values (seen). Poisson's ratio 0.33: public data sheets
		// (memory).
		alloy: "EN AW-7075", temper: "T651", density: 2810, young: 72000, poisson: 0.33, group: "N",
		source: "EN 485-2 minimum values; density and modulus: Aluminum Association typical values",
		rows: []strength{
			{0.4, 0.8, 460, 525},
			{0.8, 1.5, 460, 540},
			{1.5, 3, 470, 540},
			{3, 6, 475, 545},
			{6, 12.5, 460, 540},
			{12.5, 25, 470, 540},
			{25, 50, 460, 530},
			{50, 60, 440, 525},
			{60, 80, 420, 495},
			{80, 90, 390, 490},
			{90, 100, 360, 460},
			{100, 120, 300, 410},
			{120, 150, 260, 360},
		},
	},
}
