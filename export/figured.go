package export

import (
	"headcut/model"
	"headcut/model/figures"
)

// Figures is what an export asks of a property's figures. *figures.Land is the one there
// is; it must have surveyed the features that are exported.
type Figures interface {
	Of(model.Feature) figures.Sheet
}
