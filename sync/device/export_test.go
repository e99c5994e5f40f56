package device

import "headcut/sync/register"

// MoveTo has the device find its server at another address, as behind a proxy.
func (d *Device) MoveTo(server string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.self.Server = server
}

// OwnIDs lists the entries written on this device.
func (d *Device) OwnIDs(property string) ([]register.ID, error) { return d.ownIDs(property) }
