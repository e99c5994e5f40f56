package wire

import (
	"bytes"
	"encoding/json"
	"fmt"

	"headcut/model"
)

// Append writes a frame after dst. It fails, leaving dst as it was, when an entry is not
// one line: such an entry cannot travel.
func Append(dst []byte, f Frame) ([]byte, error) {
	kind, err := json.Marshal(f.frame())
	if err != nil {
		return dst, err
	}
	start := len(dst)
	dst = append(dst, `{"type":`...)
	dst = append(dst, kind...)
	if f, ok := f.(*Receipts); ok { // of which there are as many as entries
		return f.append(append(dst, ',')), nil
	}
	members, err := json.Marshal(f)
	if err != nil {
		return dst[:start], err
	}
	if len(members) > len("{}") {
		dst = append(dst, ',')
	}
	dst = append(dst, members[1:]...)
	for i, entry := range lines(f) {
		if len(entry) == 0 || bytes.IndexByte(entry, '\n') >= 0 {
			return dst[:start], &model.Problem{Path: fmt.Sprintf("entries[%d]", i),
				Reason: "an entry must be one line of JSON", Fix: "write it without line feeds between its members"}
		}
		dst = append(dst, '\n')
		dst = append(dst, entry...)
	}
	return dst, nil
}

func lines(f Frame) []json.RawMessage {
	switch f := f.(type) {
	case *Push:
		return f.Entries
	case *Page:
		return f.Entries
	}
	return nil
}

// Decode reads a frame. Entries are parts of data, not copies, and are not looked into.
// A frame of a type it does not know is an *Unknown, not an error; an error is a
// *model.Problem that names the member at fault.
func Decode(data []byte) (Frame, error) {
	head, rest, more := bytes.Cut(data, []byte{'\n'})
	f, err := decodeHead(head)
	if err != nil {
		return nil, err
	}
	switch f := f.(type) {
	case *Push:
		if more {
			f.Entries = cut(rest)
		}
		if len(f.Entries) > MaxEntries {
			return nil, &model.Problem{Path: "entries", Reason: fmt.Sprintf("are %d and may be %d", len(f.Entries), MaxEntries),
				Fix: "send fewer entries in a frame"}
		}
	case *Page:
		if more {
			f.Entries = cut(rest)
		}
		if len(f.Entries) != len(f.ArrivedMS) {
			return nil, &model.Problem{Path: "arrivedMS", Reason: fmt.Sprintf("has %d times for %d entries", len(f.ArrivedMS), len(f.Entries))}
		}
	case *Missing:
		if len(f.IDs) > MaxIDs {
			return nil, &model.Problem{Path: "ids", Reason: fmt.Sprintf("are %d and may be %d", len(f.IDs), MaxIDs), Fix: "ask in several frames"}
		}
	}
	return f, nil
}

// decodeHead reads the members of a frame, which are its first line.
func decodeHead(head []byte) (Frame, error) {
	if bytes.HasPrefix(head, []byte(`{"type":"push",`)) { // what comes most, read at once
		var push struct {
			Type *string `json:"type"`
			Push
		}
		if json.Unmarshal(head, &push) == nil && push.Type != nil && *push.Type == push.frame() { // else the type stands twice
			return &push.Push, nil
		}
	}
	var named struct {
		Type *string `json:"type"`
	}
	if err := json.Unmarshal(head, &named); err != nil {
		return nil, notMembers(err)
	}
	if named.Type == nil {
		return nil, &model.Problem{Path: "type", Reason: "is missing", Fix: "every frame names its type"}
	}
	f := blank(*named.Type)
	if f == nil {
		return &Unknown{Type: *named.Type}, nil
	}
	if err := json.Unmarshal(head, f); err != nil {
		return nil, notMembers(err)
	}
	return f, nil
}

func cut(rest []byte) []json.RawMessage {
	out := make([]json.RawMessage, 0, bytes.Count(rest, []byte{'\n'})+1)
	for more := true; more; {
		var line []byte
		line, rest, more = bytes.Cut(rest, []byte{'\n'})
		out = append(out, json.RawMessage(line))
	}
	return out
}

func notMembers(err error) *model.Problem {
	path, why := model.JSONWords(err)
	if path != "" {
		return &model.Problem{Path: path, Reason: why, Fix: "see the table of frames"}
	}
	return &model.Problem{Path: "frame", Reason: "its first line is not a JSON object: " + why, Fix: "see the table of frames"}
}
