// Package grazing budgets the feed of a paddock: how much stands there, how much of it stock
// may eat so that the residual is left, how many animals that keeps and for how long, and
// whether the ground cover says that the paddock needs rest first.
//
// Feed is dry matter in kilograms for each hectare. A budget works from feed that was cut or
// read off photo standards; it forecasts no rain and no growth of its own, and knows no
// long-term carrying capacity. Detachment, the unpalatable share and the residual are judged,
// and matter more than what quadrats err by: none has a default here, Proposed says what was
// published, with how far each source was read.
//
// A share of utilisation is of the standing feed or of a year's growth, never of both; an
// intake belongs to the unit of animals it was published with. Each figure carries one standard
// deviation, negative where one of what it rests on is not known.
package grazing
