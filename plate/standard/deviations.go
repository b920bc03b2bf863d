package standard

// Fundamental deviations of ISO 286-1:2010 tables 2 to 5 over 0 to 500 mm, micrometres. The tables for shafts are held; the
// holes follow from them by the standard's own rules (see fundamentalHole), except J. The values were read in a textbook's
// and a handbook's copy of the tables (BS 4500 / ISO 286-1); a test compares them with the formulas of the standard.

// fineSteps are the ends of the intermediate steps, mm, that c, r, s, t and u need.
var fineSteps = [25]float64{
	3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315, 355, 400, 450, 500,
}

// Magnitudes of the upper deviation es = −value of shafts, by main step.
var (
	shaftD = [13]float64{20, 30, 40, 50, 65, 80, 100, 120, 145, 170, 190, 210, 230}
	shaftE = [13]float64{14, 20, 25, 32, 40, 50, 60, 72, 85, 100, 110, 125, 135}
	shaftF = [13]float64{6, 10, 13, 16, 20, 25, 30, 36, 43, 50, 56, 62, 68}
	shaftG = [13]float64{2, 4, 5, 6, 7, 9, 10, 12, 14, 15, 17, 18, 20}
)

// shaftC is the same by intermediate step.
var shaftC = [25]float64{
	60, 70, 80, 95, 95, 110, 110, 120, 130, 140, 150, 170, 180, 200, 210, 230, 240, 260, 280, 300, 330, 360, 400, 440, 480,
}

// Lower deviations ei of shafts j in grades 5 and 6, and 7, by main step.
var (
	shaftJ6 = [13]float64{-2, -2, -2, -3, -4, -5, -7, -9, -11, -13, -16, -18, -20}
	shaftJ7 = [13]float64{-4, -4, -5, -6, -8, -10, -12, -15, -18, -21, -26, -28, -32}
)

// Lower deviations ei of shafts, by main step. shaftK is for grades 4 to 7; it is 0 in all others.
var (
	shaftK = [13]float64{0, 1, 1, 1, 2, 2, 2, 3, 3, 4, 4, 4, 5}
	shaftM = [13]float64{2, 4, 6, 7, 8, 9, 11, 13, 15, 17, 20, 21, 23}
	shaftN = [13]float64{4, 8, 10, 12, 15, 17, 20, 23, 27, 31, 34, 37, 40}
	shaftP = [13]float64{6, 12, 15, 18, 22, 26, 32, 37, 43, 50, 56, 62, 68}
)

// Lower deviations ei of shafts, by intermediate step. t begins over 24 mm.
var (
	shaftR = [25]float64{
		10, 15, 19, 23, 23, 28, 28, 34, 34, 41, 43, 51, 54, 63, 65, 68, 77, 80, 84, 94, 98, 108, 114, 126, 132,
	}
	shaftS = [25]float64{
		14, 19, 23, 28, 28, 35, 35, 43, 43, 53, 59, 71, 79, 92, 100, 108, 122, 130, 140, 158, 170, 190, 208, 232, 252,
	}
	shaftT = [25]float64{
		0, 0, 0, 0, 0, 0, 41, 48, 54, 66, 75, 91, 104, 122, 134, 146, 166, 180, 196, 218, 240, 268, 294, 330, 360,
	}
	shaftU = [25]float64{
		18, 23, 28, 33, 33, 41, 48, 60, 70, 87, 102, 124, 144, 170, 190, 210, 236, 258, 284, 315, 350, 390, 435, 490, 540,
	}
)

// Upper deviations ES of holes J in grades 6, 7 and 8, by main step; they follow no rule.
var holeJ = [3][13]float64{
	{2, 5, 5, 6, 8, 10, 13, 16, 18, 22, 25, 29, 33},
	{4, 6, 8, 10, 12, 14, 18, 22, 26, 30, 36, 39, 43},
	{6, 10, 12, 15, 20, 24, 28, 34, 41, 47, 55, 60, 66},
}

// letters are the fundamental deviations held, by their shaft letters, in the order of the standard.
var letters = []string{"c", "d", "e", "f", "g", "h", "js", "j", "k", "m", "n", "p", "r", "s", "t", "u"}
