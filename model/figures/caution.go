package figures

import (
	"headcut/model"
	"headcut/model/works"
)

// groundCaution goes with every work that moves earth, stone or timber. General duty and
// common practice.
const groundCaution = "Before digging, ask about permits, buried services and heritage; keep machines and people off undercut walls."

// kindCautions are what to mind at a work of each kind, in a sentence. Kinds without a row
// have groundCaution alone.
var kindCautions = map[string]string{
	"whoa-boy":        "Turn the water out on stable grassed ground, never towards a gully head or a neighbour.",
	"rip-line":        "Do not rip dispersive or tunnelled ground without advice: a line off the contour gathers water and starts a gully.",
	"windrow":         "Stagger the gaps from row to row, so that none lies below another.",
	"batter":          "Turn water away from the top first, and cover bare subsoil: dispersive walls slump and wash away.",
	"revegetation":    "Sow once the works above are sound, and keep stock out until it has seeded.",
	"rock-faced-head": "Nobody stands below a head while it is worked on; water that gets under or round the rock takes it.",
	"earth-plug":      "A plug that ponds more than a metre of water is a dam, for a licensed engineer; dispersive soil tunnels.",
	"brush-fill":      "Brush burns and harbours snakes.",
	"diversion-bank":  "Turn the water out on stable grassed ground, never onto a neighbour, towards a gully head or out of a stream.",
	"contour-bank":    "Set it out by level, from a stable grassed outlet: one that fills or overtops cuts every bank below it.",
	"ponding-bank":    "Set the bank out by level: one that overtops in the middle starts a gully.",
	"pitting":         "Not on slopes where pits spill into each other, and not into dispersive subsoil without gypsum.",
	"gypsum":          "By soil test only; keep the dust out of eyes and lungs.",
	"exclosure":       "Keep the fence back from the rim by as far as the wall may still retreat.",
}

// mind adds the cautions of a work on the ground.
func (s *Sheet) mind(f model.Feature) {
	k, ok := model.KindNamed(f.Kind)
	if !ok || !k.Work || f.Status() == model.Removed {
		return
	}
	if f.Kind == "check-dam" {
		s.Cautions = append(s.Cautions, works.DamCautions...)
		return
	}
	if text, ok := kindCautions[f.Kind]; ok {
		s.caution("", text)
	}
	if f.Kind != "revegetation" && f.Kind != "exclosure" {
		s.caution("", groundCaution)
	}
}

// inWords is why something could not be worked out, as the officer reads it.
func inWords(err error) string {
	if p, ok := err.(*model.Problem); ok {
		return p.Words()
	}
	return err.Error()
}
