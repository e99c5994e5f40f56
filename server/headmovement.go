package server

import (
	"headcut/model"
	"headcut/model/monitor"
	"headcut/model/section"
)

// headMovement says in sentences how far a gully head has moved, from the distances taped
// to it, and whether it still moved between the last two visits. Nothing without two of them.
func headMovement(visits []sharedVisit) (plain []string, moving bool) {
	byDay := map[monitor.Day]float64{} // the last of a day stays
	for _, l := range visits {
		if day, err := monitor.ParseDay(l.on); err == nil && l.offsetM != nil {
			byDay[day] = *l.offsetM
		}
	}
	var record monitor.HeadRecord
	for day, offset := range byDay {
		record.Visits = append(record.Visits, monitor.Visit{Day: day, OffsetM: &offset, PlusMinusM: section.TapePlusMinusM})
	}
	retreat, err := record.Retreat()
	if err != nil {
		return nil, false // fewer than two visits, or not to one head
	}
	whole, last := retreat.Overall, retreat.Steps[len(retreat.Steps)-1]
	switch {
	case whole.MoreThanNoise != monitor.Yes:
		plain = append(plain, "No movement since "+model.DayInWords(whole.From.String())+" that a tape can show.")
	case whole.RetreatM > 0:
		plain = append(plain, "Cut back "+headMetres(whole.RetreatM)+" up the gully since "+model.DayInWords(whole.From.String())+".")
	default:
		plain = append(plain, "The tape to it has grown by "+headMetres(-whole.RetreatM)+" since "+model.DayInWords(whole.From.String())+": ask the officer what moved.")
	}
	moving = last.MoreThanNoise == monitor.Yes && last.RetreatM > 0
	if len(retreat.Steps) > 1 {
		since := model.DayInWords(last.From.String())
		if moving {
			plain = append(plain, "It still moves: "+headMetres(last.RetreatM)+" of that since "+since+".")
		} else {
			plain = append(plain, "Since "+since+" it has not moved further, as far as a tape can show.")
		}
	}
	return plain, moving
}

func headMetres(m float64) string { return rounded(m, 1) + "\u00a0m" }
