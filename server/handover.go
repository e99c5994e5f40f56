package server

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"slices"

	"headcut/model"
	"headcut/sync/handover"
	"headcut/sync/photo"
	"headcut/sync/register"
	"headcut/sync/store"
)

// handoverLimit is the size of a hand-over file: a week of photos.
const handoverLimit = 8 << 30

// recognised reports whether a request's body is a hand-over file, and gives the body with
// nothing of it lost.
func recognised(w http.ResponseWriter, r *http.Request) (body io.Reader, is bool) {
	buffered := bufio.NewReaderSize(r.Body, 4096)
	head, _ := buffered.Peek(512) // less, of a short file: it is none then
	limit := int64(intakeLimit)
	if is = handover.Recognise(head); is {
		limit = handoverLimit
	}
	return http.MaxBytesReader(w, struct {
		io.Reader
		io.Closer
	}{buffered, r.Body}, limit), is
}

// takeHandover takes in what a phone handed over in a file. What the phone sealed goes in as if
// it had sent it, with the bytes that it wrote, so that a later sync finds it known. All else goes
// in as handed in by whoever takes the file in: see handedin.go.
func (s *Server) takeHandover(ctx context.Context, name, by string, file io.Reader) (Taken, error) {
	about, items, err := handover.Read(name, file)
	if err != nil {
		return Taken{}, err
	}
	t := &handoverTaking{s: s, ctx: ctx, file: name, on: map[string]bool{}, first: map[[2]string]string{}, homeless: map[string]int{},
		judge: s.sealJudge(about.Device), taken: Taken{From: about.Author, Device: about.Device}}
	t.batch = newBatches(t.take)
	if t.handed, err = s.handingIn(ctx, by); err != nil {
		return Taken{}, err
	}
	if err := t.handed.begin(name, about); err != nil {
		return Taken{}, err
	}
	defer t.handed.end()
	for _, begun := range about.Properties {
		device := about.Device
		if !t.judge.began(begun) {
			if s.keeps(begun.ID) {
				continue
			}
			device = handedInBegun
		}
		if err := s.begin(ctx, device, begun.ID, begun.Name); err != nil {
			t.taken.Notes = append(t.taken.Notes, &model.Problem{File: name, Path: "property", Reason: fmt.Sprintf("%s was begun on the phone and is not taken: %s", quote(begun.Name), err)})
		} else if p := s.propertyOf(begun.ID); p.Begun {
			t.taken.Notes = append(t.taken.Notes, &model.Problem{File: name, Path: "property", Reason: quote(p.Name) + " was begun on the phone and is not accepted yet", Fix: "accept or merge it: headcut properties"})
		}
	}
	t.judge.forget() // it has what it began
	for item, problem := range items {
		switch {
		case problem != nil:
			t.taken.Refused = append(t.taken.Refused, problem)
		case item.Entry != nil:
			err = t.entry(item)
		default:
			err = errors.Join(t.batch.flush(), t.photo(item))
		}
		if err != nil {
			return t.cutOff(err)
		}
	}
	if err := t.batch.flush(); err != nil {
		return t.cutOff(err)
	}
	for property, n := range t.homeless {
		t.taken.Refused = append(t.taken.Refused, &model.Problem{File: name, Path: "property",
			Reason: entriesWords(n) + map[bool]string{true: " is", false: " are"}[n == 1] + " of the property " + property + ", which is not kept here", Fix: "take the file in on the server where the phone is enrolled"})
	}
	for property := range t.on {
		t.taken.On = append(t.taken.On, s.propertyOf(property).Name)
	}
	slices.Sort(t.taken.On)
	if err := t.handed.tell(name, &t.taken); err != nil {
		return t.cutOff(err)
	}
	return t.taken, nil
}

// cutOff says what is in when an error has ended the taking in.
func (t *handoverTaking) cutOff(why error) (Taken, error) {
	if t.taken.New+t.taken.PhotosNew == 0 {
		return t.taken, why
	}
	t.s.log.Error("an intake was cut off", "file", t.file, "error", why)
	t.taken.Intake = t.handed.run.number
	t.taken.CutOff = &model.Problem{Reason: fmt.Sprintf("%s: the intake was cut off after %s and %d photos", t.s.whyCutOff(why), entriesWords(t.taken.New), t.taken.PhotosNew),
		Fix: "mend that, then take the same file in again: it continues, and nothing comes in twice"}
	return t.taken, nil
}

func (s *Server) deviceUnknown(device string) bool {
	return reading(s, func(o *office) bool { return o.devices.one(byDevice, device) == nil })
}

// hasID reports whether any property has an entry under this id.
func (s *Server) hasID(ctx context.Context, id register.ID) (bool, error) {
	for _, p := range append(s.allProperties(), officeProperty) {
		missing, err := s.store.Missing(ctx, p, []register.ID{id})
		if err != nil || len(missing) == 0 {
			return err == nil, err
		}
	}
	return false, nil
}

// handoverTaking is one file on its way in.
type handoverTaking struct {
	s        *Server
	ctx      context.Context
	file     string
	batch    batches[sealedEntry] // by property
	on       map[string]bool      // properties of what was read
	first    map[[2]string]string // by property, with all that is merged with it, and feature, of those that are new: the part that gets it
	homeless map[string]int       // entries by property, of those not kept here
	judge    *sealJudge
	handed   *handingIn
	taken    Taken
}

// sealedEntry is an entry whose seal was judged.
type sealedEntry struct {
	register.Entry
	raw json.RawMessage
	why sealFault // why it does not go in as sent; sound when it does
}

func (t *handoverTaking) entry(item handover.Item) error {
	if !t.s.keeps(item.Property) {
		t.homeless[item.Property]++
		return nil
	}
	e, err := register.DecodeNew(item.Entry)
	if err == nil && e.Property != item.Property {
		err = &model.Problem{Path: "property", Reason: fmt.Sprintf("is %q and the file has it under %q", e.Property, item.Property)}
	}
	if err != nil {
		t.taken.Refused = append(t.taken.Refused, &model.Problem{File: t.file, Path: string(e.ID), Reason: err.Error(), Fix: "it is still on the phone"})
		return nil
	}
	t.on[item.Property] = true
	why, under := t.judge.of(item, &e), t.keeper(&e)
	if under != e.Property {
		why = underAnother
	}
	return t.batch.add(under, sealedEntry{e, item.Entry, why})
}

// keeper is the part of its property under which an entry goes in: that which keeps its feature, or gets it by
// an entry that came before in the file.
func (t *handoverTaking) keeper(e *register.Entry) string {
	parts := t.s.parts(e.Property)
	if part, kept := t.s.keeper(t.ctx, parts, e.Property, e.Feature); kept {
		return part
	}
	about := [2]string{parts[0], e.Feature}
	if t.first[about] == "" {
		t.first[about] = e.Property
	}
	return t.first[about]
}

// take takes in entries of one property: first what goes in as sent, then the rest.
func (t *handoverTaking) take(property string, batch []sealedEntry) error {
	var raws []json.RawMessage
	var sent []*sealedEntry
	for i := range batch {
		if batch[i].why == sound {
			raws, sent = append(raws, batch[i].raw), append(sent, &batch[i])
		}
	}
	var receipts []store.Receipt
	if len(raws) > 0 {
		var err error
		if receipts, err = t.s.store.Append(t.ctx, property, raws); err != nil {
			return err
		}
	}
	for i, receipt := range receipts {
		switch {
		case receipt.Known:
			t.taken.Known++
		case receipt.N > 0:
			t.taken.New++
		case receipt.Cloned:
			sent[i].why = numberTaken
		default:
			here, err := t.s.hasID(t.ctx, receipt.ID)
			if err != nil {
				return err
			}
			if here {
				sent[i].why = idTaken
				continue
			}
			t.taken.Refused = append(t.taken.Refused, &model.Problem{Path: string(receipt.ID), Reason: receipt.Refused})
		}
	}
	var rest []sealedEntry
	for _, e := range batch {
		if e.why != sound {
			rest = append(rest, e)
		}
	}
	return t.handed.take(property, rest, &t.taken)
}

// photo stores a photo, as that of the device whose seal is in the file, from where an upload of that
// device that was cut off has left it.
func (t *handoverTaking) photo(item handover.Item) error {
	missing, err := photo.Missing(t.ctx, t.s.photos, []register.Hash{item.SHA})
	if err != nil {
		return err
	}
	for _, device := range t.judge.photographers() {
		err := t.photoOf(store.Sending{Device: device, SHA: item.SHA}, item.Photo)
		if problem, refused := errors.AsType[*model.Problem](err); refused {
			t.taken.Refused = append(t.taken.Refused, &model.Problem{Path: problem.Path, Reason: problem.Reason, Fix: "it stays in the file and on the phone; the rest is taken"})
			return nil
		}
		if err != nil {
			return err
		}
	}
	if len(missing) == 0 {
		t.taken.PhotosKnown++
	} else {
		t.taken.PhotosNew++
	}
	return nil
}

// photoOf stores a photo as one device's. Bytes of an upload that were damaged are dropped by the first
// try. A photo that is here is taken too: the file shows that this device has it.
func (t *handoverTaking) photoOf(from store.Sending, whole []byte) error {
	for tries := 0; ; tries++ {
		at, err := t.s.photos.Offset(t.ctx, from)
		if err == nil {
			at = min(at, int64(len(whole)))
			_, err = t.s.photos.WriteAt(t.ctx, from, at, int64(len(whole)), bytes.NewReader(whole[at:]), photo.CheckJPEG)
		}
		if tries > 0 || !errors.Is(err, store.ErrPhotoDamaged) {
			return err
		}
	}
}

func entriesWords(n int) string {
	return fmt.Sprint(n, map[bool]string{true: " entry", false: " entries"}[n == 1])
}
