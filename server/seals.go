package server

import (
	"slices"
	"strings"

	"headcut/sync/handover"
	"headcut/sync/register"
)

// Who sealed an entry of a hand-over file, and whether that makes it the phone's own word.

// sealFault is why an entry does not go in as if its device had sent it.
type sealFault int

const (
	sound        sealFault = iota // it does
	unsealed                      // as in files of older versions of the field page
	unknown                       // the device that it names is not known here
	broken                        // changed since it was sealed, or sealed by another
	notItsOwn                     // of a property that the device never had
	endedNumber                   // under a number that the phone has no more, since it was enrolled again
	shutOut                       // of one to which it has no right any more, or none until the office confirms it after a restore
	notItsName                    // of an author that the office did not grant the device
	underAnother                  // of an item that another part of its property keeps
	numberTaken                   // the register has another entry under its number
	idTaken                       // or under its id
)

// reasons say what of an entry is wrong, and what to do about it.
var reasons = map[sealFault]struct{ reason, fix string }{
	unsealed: {"without a seal, as files of older versions of the field page are", "that is as it should be when the file came straight from an older page"},
	unknown:  {"of a phone that is not enrolled here", "make sure that the file came from one of your phones"},
	broken: {"changed since the phone sealed them, or sealed by another phone",
		"compare them with the phone before you rely on them: it still has what it wrote"},
	notItsOwn: {"of a property that the phone never had a right to", "if it should have it: headcut enrol --device ROW --property NAME"},
	endedNumber: {"under a number that the phone no longer has, since it was enrolled again",
		"a file that the phone saved before is as it should be, but a copy of the phone can make one too: ask who carries it, and if they did not, undo this intake"},
	shutOut: {"of a phone that may not send them any more, or that a restore left shut",
		"whoever has the phone, or a copy of it, can seal them: ask who carries it, and if they are not to be trusted, undo this intake"},
	notItsName:   {"by somebody else than the phone was enrolled for", "ask who carried the phone"},
	underAnother: {"under another property than the items that they are about, which were recorded before the two were merged", "they are with those items now: look at them there"},
	numberTaken:  {"under numbers of the phone that the register has other entries for", "enrol the phone again: headcut enrol --again ROW; nothing on it is lost"},
	idTaken:      {"under ids that the register has other entries for", "compare both on the field page"},
}

// standing is what a device may seal.
type standing struct {
	key     handover.Key
	ids     []string // its own, and those that it proved to have had and was enrolled again from
	authors []string
	had     []string  // properties, now or before
	may     []string  // those that it has now; none once it ended
	ended   sealFault // why it has none; sound while it is let in
}

// sealJudge judges the entries of one file.
type sealJudge struct {
	s     *Server
	saved string // the device that the file says has saved it
	known map[string]*standing
	is    bool // so it is: a line has its seal
	shut  bool // a line has the seal of a device that may not send it any more
}

func (s *Server) sealJudge(device string) *sealJudge {
	return &sealJudge{s: s, saved: device, known: map[string]*standing{}}
}

// of is why an entry is not to go in as sent. A device seals its own entries, and those it wrote
// under an id from which it was enrolled again, as long as it may send them: whoever has a lost phone, or a
// copy of one, has its secret.
func (j *sealJudge) of(item handover.Item, e *register.Entry) sealFault {
	if item.Seal == "" {
		return unsealed
	}
	by := j.standing(e.Device)
	if by == nil || !by.key.Sealed(item) {
		saver := j.standing(j.saved)
		switch {
		case saver != nil && slices.Contains(saver.ids, e.Device) && saver.key.Sealed(item):
			by = saver
		case by == nil:
			return unknown
		default:
			return broken
		}
	}
	may := slices.Contains(by.may, item.Property)
	j.shut = j.shut || !may
	j.is = j.is || may && by == j.standing(j.saved)
	had := by.had
	if own := j.standing(e.Device); own != nil && own != by {
		had = union(had, own.had)
	}
	switch {
	case !slices.Contains(had, item.Property):
		return notItsOwn
	case e.Version <= register.Version && !slices.Contains(by.authors, strings.TrimSpace(e.Author)):
		return notItsName
	case by.ended != sound:
		return by.ended
	case !may:
		return shutOut
	}
	return sound
}

// noPhone stands for the device of a photo that no phone's seal says is its own.
const noPhone = "copy-handed-in"

// photographers are whose photos the file has: those of the device that saved it, when it sealed some
// of what it may send, else those of no phone; and of no phone too when some goes in by hand although it
// is sealed, since nobody knows which of the photos are of that.
func (j *sealJudge) photographers() []string {
	switch {
	case !j.is:
		return []string{noPhone}
	case j.shut:
		return []string{j.saved, noPhone}
	}
	return []string{j.saved}
}

// began reports whether the phone that saved the file, and may send, sealed that it began a property.
func (j *sealJudge) began(b handover.Begun) bool {
	saver := j.standing(j.saved)
	return saver != nil && saver.ended == sound && saver.key.Began(b)
}

// forget has rights looked up again, as after a property was begun.
func (j *sealJudge) forget() { clear(j.known) }

// standing is that of a device, nil when it is not enrolled here.
func (j *sealJudge) standing(device string) *standing {
	known, looked := j.known[device]
	if !looked {
		known = j.s.standing(device)
		j.known[device] = known
	}
	return known
}

func (s *Server) standing(device string) *standing {
	o := s.office
	o.mu.RLock()
	defer o.mu.RUnlock()
	d := o.devices.one(byDevice, device)
	if d == nil {
		return nil
	}
	key, ok := handover.KeyIn(d.TokenHash)
	if !ok {
		return nil
	}
	st := &standing{key: key, ids: []string{d.Device}, authors: authorsOf(d), may: o.reach(d)}
	for _, former := range d.FormerIDs {
		if was := o.devices.one(byDevice, former); was != nil && was.FollowedBy != "" && o.present(was) == o.present(d) {
			st.ids = append(st.ids, former)
		}
	}
	st.had = union(st.may, d.Properties)
	for property := range d.Withheld {
		st.had = append(st.had, property)
	}
	switch {
	case d.FollowedBy != "":
		st.ended = endedNumber
	case !d.RevokedOn.IsZero() || !d.KeptShutOn.IsZero():
		st.ended = shutOut
	}
	if st.ended != sound {
		st.may = nil
	}
	return st
}
