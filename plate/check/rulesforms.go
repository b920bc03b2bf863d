package check

import "platewright/plate/finding"

// Sources of the rules on forms, named more than once.
const (
	bearingTable = "bearing makers' tables of mounting dimensions"
	din472       = "DIN 472, regular pattern (read in a ring maker's table)"
	drawn        = "the document"
)

// formRules is the table for seats, fits, heads, keyways, slots, floor fillets, inlays and adjusters.
var formRules = []Rule{
	{
		"seat-loose", finding.Warning, Above, 0, "mm", "mean clearance between outer ring and seat",
		"a ring against which the load turns creeps in a loose seat and wears it", "ANSI/ABMA 7 as published; bearing makers' catalogues agree",
	},
	{
		"seat-tight", finding.Warning, Below, 0, "mm", "mean clearance between outer ring and seat",
		"a ring on which the load stands still needs no press, which only takes the bearing's own clearance", "ANSI/ABMA 7 as published; bearing makers' catalogues agree",
	},
	{
		"seat-coarse", finding.Warning, Above, 1, "", "width of the seat's tolerance zone ÷ that of grade IT8",
		"a bearing in a seat of a coarse tolerance is loose or is pressed, as it falls out", practice + "; bearing makers ask for IT6 to IT8",
	},
	{
		"shoulder-low", finding.Warning, Below, 0, "mm", "shoulder height less the least one for a small axial load",
		"the shoulder must hold the ring beyond its chamfer, or the bearing is pushed through", bearingTable,
	},
	{
		"shoulder-low", finding.Note, Below, 0, "mm", "shoulder height less the least one",
		"the shoulder holds the ring for a small axial load only", bearingTable,
	},
	{
		"shoulder-high", finding.Warning, Below, 0, "mm", "bore of the shoulder less the mean of the bearing's diameters",
		"a shoulder that covers the inner ring or the cage rubs on them", practice,
	},
	{
		"shoulder-thin", finding.Warning, Below, 1, "mm", "metal under the seat",
		"a thin shoulder gives way when the bearing is pressed in", "floor rule: common shop rule (from memory), aluminium 1.0 mm in normal work",
	},
	{
		"bearing-proud", finding.Warning, Below, 0.5, "", "depth of the seat ÷ width of the bearing",
		"a bearing held over less than half of its width tilts", practice,
	},
	{
		"bearing-proud", finding.Note, Below, 1, "", "depth of the seat ÷ width of the bearing",
		"the bearing stands out of its seat; a cover or a spacer must allow for it", "geometry",
	},
	{
		"press-hoop", finding.Warning, Above, 1, "", "hoop stress of the tightest press ÷ 0.2 % proof stress",
		"the boss yields, and the ring is loose after", "Lamé's thick ring; limit: proof stress of the document's material",
	},
	{
		"press-hoop", finding.Note, Above, 0.67, "", "hoop stress of the tightest press ÷ 0.2 % proof stress",
		"little is left for the load", practice + ": a reserve of 1.5 on yield",
	},
	{
		"groove-no-ring", finding.Warning, Above, 0, "mm", "seat diameter off the nearest retaining ring",
		"a retaining ring fits its own bore only", din472,
	},
	{
		"groove-diameter", finding.Warning, Above, 0, "mm", "groove diameter outside the standard's limits",
		"a shallow groove lets the ring jump out, a deep one leaves it slack", din472,
	},
	{
		"groove-width", finding.Warning, Above, 0, "mm", "groove width outside the standard's limits",
		"the ring does not enter a narrow groove and rattles in a wide one", din472 + "; JIS B 2804 asks for 0.05 mm more, which is within its H13",
	},
	{
		"groove-land", finding.Warning, Below, 3, "", "metal between face and groove ÷ depth of the groove",
		"the land in front of the ring shears off", "DIN 472, collar n of about 3 t (from memory)",
	},
	{
		"ring-blocked", finding.Error, Below, 0, "mm", "room for the bearing between shoulder and ring less its width",
		"the ring does not snap into a groove that the bearing covers", "geometry",
	},
	{
		"ring-slack", finding.Warning, Above, 0.5, "mm", "room for the bearing between shoulder and ring less its width",
		"the bearing moves to and fro between shoulder and ring", practice + "; a shim or a spacer takes it up",
	},
	{
		"keyway-off-standard", finding.Warning, Above, 0, "mm", "greatest deviation of width and height from the standard",
		"a standard key does not fit", "DIN 6885-1 (ISO 773), high form",
	},
	{
		"fit-no-allowance", finding.Warning, Below, 1e-4, "mm", "growth of the finish where a fit is asked for",
		"a finish that grows narrows every bore by twice its growth; without the growth the bore cannot be cut larger for it", practice,
	},
	{
		"finish-eats-fit", finding.Warning, Above, 1, "", "variation of the finish on the diameter ÷ tolerance zone",
		"the growth varies from piece to piece, by about a quarter either way; the zone must hold more than that", practice,
	},
	{
		"finish-eats-fit", finding.Note, Above, 0.5, "", "variation of the finish on the diameter ÷ tolerance zone",
		"the growth varies from piece to piece, by about a quarter either way; that takes half of the zone", practice,
	},
	{
		"thread-finish", finding.Warning, Above, 1, "", "change of the thread's pitch diameter ÷ allowance of the screw",
		"a finish narrows a thread's pitch diameter by four times its growth, the flanks standing at 60°", "ISO 965-1, allowance g of 15 + 11 P micrometres (from memory)",
	},
	{
		"fit-fine", finding.Warning, Below, 6, "", "tolerance grade",
		"boring and reaming hold no grade below IT6; it takes honing or grinding", practice,
	},
	{
		"fit-fine", finding.Note, Below, 7, "", "tolerance grade",
		"IT7 is what a boring head or a reamer holds in one go; IT6 asks for care and measuring", practice,
	},
	{
		"head-clash", finding.Error, Above, 0, "mm", "head diameter less that of the counterbore",
		"the screw's head does not go in", "ISO 4762, greatest head diameter",
	},
	{
		"head-proud", finding.Note, Above, 0, "mm", "by how much the largest head stands out of its recess",
		"a head that stands out is in the way of what lies on the face", "ISO 4762 and ISO 10642, greatest heads; the heads of DIN 7991 are smaller",
	},
	{
		"head-floor-thin", finding.Warning, Below, 1, "mm", "metal under the head",
		"the head pulls through a thin floor", "floor rule: common shop rule (from memory), aluminium 1.0 mm in normal work",
	},
	{
		"head-floor-thin", finding.Note, Below, 0.5, "d", "metal under the head",
		"the head shears the metal under it before the screw breaks", practice,
	},
	{
		"sink-deep", finding.Warning, Above, 2.0 / 3, "", "depth of the countersink ÷ thickness",
		"a cone through most of the plate leaves a knife edge that bears nothing", "aircraft sheet practice (from memory): two thirds of the thickness",
	},
	{
		"floor-radius-large", finding.Warning, Above, 1, "", "floor radius ÷ inside corner radius",
		"the cutter whose corner leaves the floor radius is at least twice as wide, and does not enter the inside corners", "geometry",
	},
	{
		"floor-radius-cutter", finding.Warning, Below, 0, "mm", "floor radius less the least corner radius of the end mills that fit",
		"the corner of the cutter forms the fillet between floor and wall", "tools in the shop profile",
	},
	{
		"floor-radius-stepped", finding.Note, Above, 0, "mm", "floor radius less the greatest corner radius that it holds",
		"the fillet comes out as small as the cutter's corner, or takes many passes", "tools in the shop profile",
	},
	{
		"ledge-narrow", finding.Warning, Below, 1, "mm", "width of the ledge less the panel's clearance",
		"the panel bears on what the clearance leaves of the ledge", practice,
	},
	{
		"inlay-tight", finding.Warning, Below, 0.1, "mm", "clearance of the panel",
		"cell and panel are both cut to about a tenth; a panel without clearance does not go in", practice,
	},
	{
		"eccentric-wall-thin", finding.Warning, Below, 1.5, "mm", "thinnest wall of the eccentric",
		"the eccentric gives way under its thin side", "wall rule of the " + shopGuide + ", aluminium 1.5 mm preferred",
	},
	{
		"clocked-few-bolts", finding.Error, Below, 1, "", "bolts that fit ÷ least number",
		"every wanted angle and every setting holds by the least number of bolts", drawn,
	},
	{
		"clocked-holes-meet", finding.Error, Below, 0, "mm", "ligament between neighbouring holes of a ring",
		"holes of one ring leave metal between them", "geometry",
	},
	{
		"clocked-off-position", finding.Warning, Below, 1, "", "bolts that fit as drawn ÷ least number",
		"the plate is drawn in a position that can be bolted", drawn,
	},
	{
		"clocked-vernier", finding.Warning, Below, 2, "", "bolts that fit at the best angle",
		"rings of n and m equally spaced holes share gcd(n, m) bolts, a vernier of n and n + 1 one", "arithmetic",
	},
}
