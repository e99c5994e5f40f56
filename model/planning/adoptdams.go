package planning

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/works"
)

// sameDamM is how near to each other a planned and a proposed dam are taken for one. Common practice,
// no source: no layout puts two so near, save on a head.
const sameDamM = 1

// layout is what is read of the answer of dam-layout.
type layout struct {
	Dams         []plannedDam `json:"dams"`
	CrestHeightM float64      `json:"crestHeightM"`

	DepositSlopePct float64 `json:"depositSlopePct"`

	Notch *struct {
		HeadM           float64 `json:"headM"`
		FreeboardM      float64 `json:"freeboardM"`
		AbutmentHeightM float64 `json:"abutmentHeightM"`
		NotchLengthM    float64 `json:"notchLengthM"`
	} `json:"notch"` // of every dam
}

type plannedDam struct {
	ChainageM    float64      `json:"chainageM"`
	BedLevelM    float64      `json:"bedLevelM"`
	CrestLevelM  float64      `json:"crestLevelM"`
	Stands       works.Stands `json:"stands"`
	NotchLengthM *float64     `json:"notchLengthM"`
	NotchDepthM  *float64     `json:"notchDepthM"`
	HeadM        *float64     `json:"headM"`
	FreeboardM   *float64     `json:"freeboardM"`
	ApronLengthM *float64     `json:"apronLengthM"`
	RockM3       *float64     `json:"rockM3"`
	KeyM3        *float64     `json:"keyM3"`
	NetM2        *float64     `json:"netM2"`
	Posts        *int         `json:"posts"`
	BrushM3      *float64     `json:"brushM3"`
	Bales        *int         `json:"bales"`
}

// dams proposes the dams of a layout.
func (a *adopting) dams(answer json.RawMessage) error {
	var out layout
	if err := jsonvalue.Unmarshal(answer, &out); err != nil {
		return &model.Problem{Reason: "the answer is not one of dam-layout"}
	}
	planned := model.Each(out.Dams, func(dam plannedDam) proposal {
		f := fields{}
		f.put("thalweg", a.d.Of.Feature)
		f.put("chainageM", rounded(a.d.frame.up(dam.ChainageM)))
		f.put("chainageBasis", model.FromPlan)
		f.put("crestHeightM", out.CrestHeightM)
		f.put("crestHeightBasis", model.FromPlan)
		f.put("targetToeLevelM", dam.BedLevelM)
		f.put("targetCrestLevelM", dam.CrestLevelM)
		if takes := dam.takes(out.notchOf(dam)); takes != "" {
			f.put("takes", takes)
		}
		return proposal{atM: dam.ChainageM, fields: f}
	})
	proposed := slices.DeleteFunc(slices.Clone(a.d.existing), func(e existing) bool { return e.stands }) // the layout went round the others
	a.write("check-dam", "Dam ", planned, proposed, sameDamM)
	return nil
}

// takes is what the dam is built from, where the layout was told how, and its notch.
func (dam plannedDam) takes(notch string) string {
	var parts []string
	if notch != "" {
		parts = append(parts, notch)
	}
	volume := func(m3 *float64, what string) {
		if m3 != nil && *m3 > 0 {
			parts = append(parts, fmt.Sprintf("%s m³ %s", metres2(*m3), what))
		}
	}
	pieces := func(n *int, one, many string) {
		if n != nil && *n > 0 {
			parts = append(parts, count(*n, one, many))
		}
	}
	volume(dam.RockM3, "of rock")
	volume(dam.KeyM3, "of trench to dig")
	if dam.NetM2 != nil && *dam.NetM2 > 0 {
		parts = append(parts, metres2(*dam.NetM2)+" m² of netting")
	}
	pieces(dam.Posts, "post", "posts")
	volume(dam.BrushM3, "of brush")
	pieces(dam.Bales, "bale", "bales")
	if dam.ApronLengthM != nil && *dam.ApronLengthM > 0 {
		parts = append(parts, "an apron "+metres2(*dam.ApronLengthM)+" m long")
	}
	return strings.Join(parts, ", ")
}

// damsBeside says where the dams of a layout do not meet those that stand beside them.
func (d *Draft) damsBeside(answer json.RawMessage) (says []string) {
	var out layout
	if jsonvalue.Unmarshal(answer, &out) != nil {
		return nil
	}
	type dam struct {
		item             *recorded.Item // nil: planned
		atM, toeM, topM  float64
		stands, aboveGap bool
	}
	called := func(of dam) string {
		if of.stands {
			return of.item.Called()
		}
		return "the planned dam at chainage " + metres(of.atM)
	}
	var all []dam
	for _, w := range out.Dams {
		all = append(all, dam{nil, w.ChainageM, w.BedLevelM, w.CrestLevelM, false, w.Stands == works.StandsAbove})
	}
	for _, e := range d.existing {
		if e.stands {
			all = append(all, dam{e.item, e.atM, e.toeM, e.crestM, true, false})
		}
	}
	model.SortStable(all, func(x, y dam) int { return cmp.Compare(x.atM, y.atM) })
	for i := 1; i < len(all); i++ {
		lower, upper := all[i-1], all[i]
		if lower.stands == upper.stands { // the layout, and the figures of the dams, have judged those
			continue
		}
		// No silt reaches the toe of a dam that stands: the layout keeps dams out of where it would.
		if step := upper.toeM - lower.topM - out.DepositSlopePct/100*(upper.atM-lower.atM); step > works.DamToleranceM && !upper.aboveGap {
			says = append(says, fmt.Sprintf("the toe of %s stands %s m above the crest of %s, a gap: look at the ground there.", called(upper), metres2(step), called(lower)))
		}
	}
	return append(says, out.notchesBeside()...)
}
