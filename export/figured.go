package export

import "headcut/model"

type figuresColumn struct{ Name, PlusMinusName, BasisName, Label, Unit string }

type figuresSheet struct {
	Figures  []model.Figure
	Checks   []model.Check
	Cautions []model.Caution
}

func figuresColumns(kind string) []figuresColumn { return nil }

// Figures is what an export asks of a property's figures.
type Figures interface {
	Of(model.Feature) figuresSheet
}
