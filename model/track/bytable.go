package track

import "headcut/model"

// ByTable is how many banks another table leads to.
type ByTable struct {
	Table, Soil string
	Source      model.Source
	Count       int // -1 where the table does not go as steep as the track
}

// ByTables lays the same track by every column of every published table, outlets left
// aside.
func (l Layout) ByTables() []ByTable {
	var all []ByTable
	for _, t := range Tables {
		for _, soil := range t.Columns {
			rule, err := t.Rule(soil, Steeper)
			if err != nil {
				continue
			}
			one := ByTable{Table: t.Name, Soil: soil, Source: t.Source, Count: -1}
			other := Layout{Track: l.Track, Rule: rule, Outlets: Outlets{Side: Either}, HumpM: l.HumpM}
			if plan, err := other.Lay(); err == nil {
				one.Count = len(plan.Sites)
			}
			all = append(all, one)
		}
	}
	return all
}
