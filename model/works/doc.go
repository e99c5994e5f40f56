// Package works lays out and checks the treatments that heal eroding ground: check dams
// along the bed of a gully, rip lines across a scald. It answers what a crew with a level
// and a tape needs: where the next toe goes, which pair of dams leaves bare bed between
// them, how much ground was ripped.
//
// It designs nothing an engineer should: no flows, no stability, no structure above a
// metre. Positions come in for rip lines alone; what stands where along a gully is package
// section's, and levels come reduced from package levelling.
package works
