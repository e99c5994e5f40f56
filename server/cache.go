package server

import (
	"container/list"
	"sync"
)

// cache keeps values within a weight: beyond it those that were asked for longest ago are dropped,
// but never the one that was weighed last.
type cache[K, V comparable] struct {
	most int

	mu     sync.Mutex
	weight int
	order  list.List // of *cached, the last asked for at the front
	by     map[K]*list.Element
}

type cached[K, V comparable] struct {
	key    K
	value  V
	weight int
}

// of gives what is kept under a key, or else keeps what make makes; without make the zero value.
func (c *cache[K, V]) of(key K, make func() V) (value V) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if e := c.by[key]; e != nil {
		c.order.MoveToFront(e)
		return e.Value.(*cached[K, V]).value
	}
	if make == nil {
		return value
	}
	if c.by == nil {
		c.by = map[K]*list.Element{}
	}
	value = make()
	c.by[key] = c.order.PushFront(&cached[K, V]{key: key, value: value})
	return value
}

// weigh says what a value weighs now, unless it was dropped meanwhile. Who still uses a value that is
// dropped keeps it whole.
func (c *cache[K, V]) weigh(key K, value V, weight int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	weighed := c.by[key]
	if weighed == nil || weighed.Value.(*cached[K, V]).value != value {
		return
	}
	one := weighed.Value.(*cached[K, V])
	c.weight += weight - one.weight
	one.weight = weight
	for e := c.order.Back(); e != nil && c.weight > c.most; {
		oldest := e
		if e = e.Prev(); oldest != weighed {
			dropped := c.order.Remove(oldest).(*cached[K, V])
			delete(c.by, dropped.key)
			c.weight -= dropped.weight
		}
	}
}
