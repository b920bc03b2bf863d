// Package kinematics says what an adjuster does: at which angles clocked rings can be bolted together and by how many bolts,
// where the centre of an eccentric or of a slot's slider lies, and what a setting of all of them makes of the assembled
// machine (head angle, trail, wheelbase, clearance and ride height), set down again on both wheels.
//
// Lengths are millimetres, angles degrees and named so. Angles run counter-clockwise from x. The machine is seen from the
// side: x along the ground, y up; forward is from the rear wheel's axle to the front one's.
//
//	at, err := kinematics.Clock(kinematics.Equal(15, 0), kinematics.Equal(18, 0), 0.01) // every 4°, 3 bolts
//	t, err := kinematics.Table(ctx, loaded)                                               // of a set; PlateTable of one plate
package kinematics
