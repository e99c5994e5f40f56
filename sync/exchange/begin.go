package exchange

import (
	"time"

	"headcut/model"
	"headcut/sync/wire"
)

// begin makes a property that the device began, and gives this conversation the right to it.
func (c *conversation) begin(f *wire.Begin) error {
	about := wire.Problem{Property: f.Property}
	if c.x.Begin == nil {
		return c.refuse(about, &model.Problem{Path: "property", Reason: "no property can be begun here", Fix: "ask the office for one; what is recorded stays on the phone"})
	}
	if err := c.x.Begin(c.ctx, c.grant.Device, f.Property, f.Name); err != nil {
		return c.refuse(about, err)
	}
	c.admitted = time.Time{}
	if err := c.readmit(); err != nil {
		return err
	}
	for _, p := range c.grant.About {
		if p.ID == f.Property {
			return c.send(&wire.Begun{Property: p})
		}
	}
	return c.refuse(about, c.may(f.Property))
}
