package export

import "headcut/model"

type figuresColumn struct{ Name, PlusMinusName, BasisName, Label, Unit string }

type figuresSheet struct {
	Figures  []model.Figure
	Checks   []model.Check
	Cautions []model.Caution
}

func figuresColumns(kind string) []figuresColumn {
	k, ok := model.KindNamed(kind)
	if ok && k.Shapes[0] == model.LineShape {
		return []figuresColumn{{"lengthM", "lengthPlusMinusM", "lengthBasis", "Length", "m"}}
	}
	if ok && k.Shapes[0] == model.AreaShape {
		return []figuresColumn{{"areaM2", "areaPlusMinusM2", "areaBasis", "Area", "m2"}}
	}
	if kind == "check-dam" {
		return []figuresColumn{{"chainageM", "chainagePlusMinusM", "chainageBasis", "Chainage", "m"}}
	}
	return nil
}

// Figures is what an export asks of a property's figures.
type Figures interface {
	Of(model.Feature) figuresSheet
}
