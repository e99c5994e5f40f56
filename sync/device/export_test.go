package device

import (
	"go.etcd.io/bbolt"

	"headcut/sync/register"
)

// MoveTo has the device find its server at another address, as behind a proxy.
func (d *Device) MoveTo(server string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.self.Server = server
}

// OwnIDs lists the entries written on this device.
func (d *Device) OwnIDs(property string) ([]register.ID, error) { return d.ownIDs(property) }

// EnrolAs enrols without a server, as if it had been done before.
func (d *Device) EnrolAs(token, server, author string, properties ...string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.self.Token, d.self.Server, d.self.Author = token, server, author
	for _, id := range properties {
		d.self.Properties = append(d.self.Properties, Property{ID: id, Name: id})
	}
	return d.db.Update(func(tx *bbolt.Tx) error { return d.keepSelf(tx, d.self) })
}
