package exchange

import "maps"

// hint notes that a property has grown. It never waits. A device that was told and has
// not pulled since need not be told again: its pull will see all there is then.
func (c *conversation) hint(property string, n uint64) {
	c.hints.Lock()
	defer c.hints.Unlock()
	if n <= c.hints.seen[property] || c.hints.told[property] > c.hints.seen[property] {
		return
	}
	c.hints.newest[property] = max(n, c.hints.newest[property])
	select {
	case c.wake <- struct{}{}:
	default: // the writer will find it
	}
}

// takeHints is for the writer, which sends them.
func (c *conversation) takeHints() map[string]uint64 {
	c.hints.Lock()
	defer c.hints.Unlock()
	taken := maps.Clone(c.hints.newest)
	maps.Copy(c.hints.told, taken)
	clear(c.hints.newest)
	return taken
}

// pulling notes that the device is being given what there is of a property: what comes
// while it is read must be hinted at.
func (c *conversation) pulling(property string) {
	c.hints.Lock()
	defer c.hints.Unlock()
	delete(c.hints.told, property)
}

// pulled notes up to where the device was given a property.
func (c *conversation) pulled(property string, n uint64) {
	c.hints.Lock()
	defer c.hints.Unlock()
	c.hints.seen[property] = max(n, c.hints.seen[property])
	if c.hints.newest[property] <= n {
		delete(c.hints.newest, property)
	}
}
