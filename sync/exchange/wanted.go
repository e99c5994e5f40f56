package exchange

import "headcut/sync/wire"

// askForPhotos asks the device for the photos that the server does not have. Finding out which holds
// nothing else up, and ends with the conversation.
func (c *conversation) askForPhotos(grant Grant) {
	photos, err := c.x.Wanted(c.ctx, grant)
	if err != nil && c.ctx.Err() == nil {
		c.log.Warn("which photos are not here could not be found out", "error", err)
	}
	if err != nil || len(photos) == 0 {
		return
	}
	c.log.Info("photos are asked for", "photos", len(photos))
	frame, err := c.ready(&wire.Wanted{Photos: photos})
	if err != nil {
		c.log.Warn("photos could not be asked for", "error", err)
		return
	}
	select {
	case c.out <- frame:
	case <-c.gone:
	case <-c.ctx.Done():
	}
}
