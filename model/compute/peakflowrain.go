package compute

import (
	"headcut/model"
	"headcut/model/calendar"
	"headcut/model/runoff"
)

// rainIn is the officer's own table of design storms.
type rainIn struct {
	Durations []runoff.Burst `json:"durations,omitempty" doc:"rows of the place's table for one event, the shortest duration first"`
	Between   string         `json:"between,omitempty" choices:"log-log|straight intensity|straight depth" doc:"how to read between two durations; log-log if not given"`
	Event     string         `json:"event,omitempty" doc:"what the table is for, as it says: 10 % AEP, 1 in 10 years"`
	TableDate string         `json:"tableDate,omitempty" doc:"when the table was issued: 2016, 2016-11 or 2016-11-30"`
}

// check refuses words about the table that cannot be ones.
func (in rainIn) check() *model.Problem {
	if len(in.Event) > 200 {
		return &model.Problem{Path: "event", Reason: "is longer than 200 letters", Fix: "give what the table says: 10 % AEP, 1 in 10 years"}
	}
	if in.TableDate == "" {
		return nil
	}
	for _, rest := range []string{"-01-01", "-01", ""} {
		if _, ok := calendar.Parse(in.TableDate + rest); ok {
			return nil
		}
	}
	return &model.Problem{Path: "tableDate", Reason: "is not a date", Fix: "write 2016, 2016-11 or 2016-11-30"}
}

func (in rainIn) cautions() []model.Caution {
	var all []model.Caution
	if in.Event == "" {
		all = append(all, model.Caution{About: "event", Text: "Which event the rainfall is for was not given: a flow says little without it."})
	}
	if in.TableDate == "" {
		all = append(all, model.Caution{About: "tableDate", Text: "The date of the rainfall table was not given: tables are reissued, and rain is changing."})
	}
	return all
}
