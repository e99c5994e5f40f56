// Package treatment chooses what to do about an eroding place: from what was measured
// there, which treatments fit, which are ruled out and why, and what has to be measured
// before anyone can tell. Prevention comes first, as the trade has it.
//
// Every rule is a row of Rules, with its threshold and its source, and that table is all
// there is: no score, no weights, no guess for what was not measured. The package designs
// nothing: dams, banks and batters are worked out by package works and its neighbours.
package treatment
