// Package runoff works out how much water a low structure must pass and how deep it
// stands in the notch: the time a catchment takes to answer, the intensity of the
// officer's own rainfall table over that time, the rational method's peak, the head over
// a notch, the depth and speed of a flow in a plain channel, and the depth that runs off a
// storm by cover.
//
// It is for the small catchments above gullies and for dams that need no engineer. It
// holds no rainfall of its own, routes no flood, claims no flow through a porous dam, and
// refuses what is beyond low works. Where handbooks disagree their tables stand side by
// side under their names.
package runoff
