package planning

import (
	"encoding/json"
	"slices"

	"headcut/model"
	"headcut/model/jsonvalue"
	"headcut/model/recorded"
	"headcut/model/works"
)

// rates puts in the property's own rates, unless the request gives them, and says what costs are in. A
// plan whose computation takes rates calls it. What has no rate has neither hours nor a cost.
func (d *drafting) rates() {
	d.Currency, d.priced = d.p.currency(), true
	if d.request.Given["rates"] != nil {
		return
	}
	s := d.p.settings()
	if s == nil || s.Fields["rates"] == nil {
		d.miss("the property has no rates: record your own hours and costs in its settings, or give rates. Until then neither is known.")
		return
	}
	if d.refuseUnsettled(s, "rates", "currency") {
		return
	}
	if err := ratesOf(s).Check(); err != nil {
		d.refuse("the rates in the settings of the property cannot be used: rates%v. Correct them, or give rates.", err)
		return
	}
	d.in = append(d.in, member{"rates", s.Fields["rates"]})
	d.useSettings(s, "the rates")
}

// ratesOf are the rates in the settings of a property.
func ratesOf(settings *recorded.Item) (rates works.Rates) {
	_ = jsonvalue.Unmarshal(settings.Fields["rates"], &rates) // what is no list the register refused
	return rates
}

// currency is what the costs of the property are in, by ISO 4217; "" where nobody recorded a code.
func (p *Property) currency() string {
	s := p.settings()
	if s == nil || s.Unsettled("currency") != "" {
		return ""
	}
	return model.CurrencyCode(s.Text("currency"))
}

// useSettings says what the settings gave, in one row.
func (d *drafting) useSettings(s *recorded.Item, what string) {
	if i := slices.IndexFunc(d.Used, func(u Used) bool { return u.Feature == s.ID }); i >= 0 {
		d.Used[i].What += ", " + what
	} else {
		d.use(s, "%s", what)
	}
}

// bill is what an answer's works come to at the rates; nil where there is none for it.
type bill struct {
	Hours          *float64 `json:"hours,omitempty"`
	HoursPlusMinus *float64 `json:"hoursPlusMinus,omitempty"`
	Cost           *float64 `json:"cost,omitempty"`
	CostPlusMinus  *float64 `json:"costPlusMinus,omitempty"`
}

func billIn(answer json.RawMessage) (b bill) {
	var out struct{ Bill bill }
	if jsonvalue.Unmarshal(answer, &out) != nil {
		return bill{}
	}
	return out.Bill
}

// costSays says that nobody knows what its costs are in.
func (d *Draft) costSays(answer json.RawMessage) []string {
	if d.Currency != "" || !d.priced || billIn(answer).Cost == nil {
		return nil
	}
	return []string{currencyUnknown}
}

const currencyUnknown = "Cost units not recorded: give the currency in the settings of the property, as three capital letters (ISO 4217)."
