package handover

import (
	"archive/tar"
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"iter"
	"strings"
	"time"

	"headcut/model"
	"headcut/sync/register"
)

// The names and limits of a file's members.
const (
	Format      = "headcut hand-over"
	Version     = 2
	aboutName   = "about.json"
	entriesName = "entries.ndjson"
	photoFolder = "photos/"
	photoEnding = ".jpg"

	MaxAbout = 64 << 10
	MaxLine  = 4 << 20  // of an entry as a JSON string, which may double its bytes
	MaxPhoto = 64 << 20 // as sync/photo allows
)

// About says whose file it is.
type About struct {
	Format  string    `json:"format"`
	Version int       `json:"version"`
	Device  string    `json:"device"`
	Author  string    `json:"author"`
	MadeAt  time.Time `json:"madeAt"`
	Entries int       `json:"entries"`
	Photos  int       `json:"photos"`
	// Properties that were begun on the phone and that no server may know.
	Properties []Begun `json:"properties,omitempty"`
}

// Begun is a property that a phone began with no signal.
type Begun struct {
	ID   string `json:"id"`
	Name string `json:"name"`
	Seal string `json:"seal,omitempty"` // as [Key.SealBegun] makes it; "" without one
}

// Item is one thing that was handed over: an entry or a photo.
type Item struct {
	Property string          // of an entry
	Entry    json.RawMessage // as the device wrote it; nil for a photo
	Seal     string          // of an entry, as [Key.Seal] makes it; "" without one
	SHA      register.Hash   // of Photo, checked
	Photo    []byte
}

// Recognise tells from the first 512 bytes of a file whether it is a hand-over.
func Recognise(head []byte) bool {
	const nameBytes, magicAt = 100, 257
	if len(head) < magicAt+5 || string(head[magicAt:magicAt+5]) != "ustar" {
		return false
	}
	name, _, _ := bytes.Cut(head[:nameBytes], []byte{0})
	return string(name) == aboutName
}

// Read reads the file's description, and gives the rest to be run through once. Each step
// is an item, or a problem that names the file, and the line of an entry: the good items
// around it are not lost. A problem that leaves nothing more to read is the last step.
func Read(file string, r io.Reader) (About, iter.Seq2[Item, *model.Problem], error) {
	h := &handed{file: file, tar: tar.NewReader(r)}
	about, err := h.about()
	if err != nil {
		return About{}, nil, err
	}
	return about, h.items(about), nil
}

type handed struct {
	file string
	tar  *tar.Reader
	any  bool // an item could be read
}

func (h *handed) problem(line int, path, reason, fix string) *model.Problem {
	return &model.Problem{File: h.file, Line: line, Path: path, Reason: reason, Fix: fix}
}

const fromThePhone = "save the file on the phone again and take that in"

func (h *handed) about() (About, error) {
	var a About
	header, err := h.tar.Next()
	if err != nil || header.Name != aboutName || header.Size > MaxAbout {
		return a, h.problem(0, "", "is not a hand-over file", fromThePhone)
	}
	raw, err := io.ReadAll(io.LimitReader(h.tar, MaxAbout))
	if err != nil {
		return a, h.problem(0, aboutName, "is cut short", fromThePhone)
	}
	if err := json.Unmarshal(raw, &a); err != nil || a.Format != Format || a.Version < 1 {
		return a, h.problem(0, aboutName, "does not say that this is a hand-over file", fromThePhone)
	}
	if p := register.ReadAlike(raw); p != nil {
		return a, h.problem(0, aboutName, p.Error(), fromThePhone)
	}
	if a.Version > Version {
		return a, h.problem(0, aboutName, fmt.Sprintf("is of version %d and this headcut reads up to %d", a.Version, Version), "use a newer headcut")
	}
	return a, nil
}

func (h *handed) items(about About) iter.Seq2[Item, *model.Problem] {
	return func(yield func(Item, *model.Problem) bool) {
		entries, photos := 0, 0
		counted := func(item Item, problem *model.Problem) bool {
			if problem == nil && item.Entry != nil {
				entries++
			} else if problem == nil {
				photos++
			}
			h.any = entries+photos > 0
			return yield(item, problem)
		}
		for {
			header, err := h.tar.Next()
			if errors.Is(err, io.EOF) {
				if entries < about.Entries || photos < about.Photos {
					yield(Item{}, h.problem(0, "", fmt.Sprintf("has %d of %d entries and %d of %d photos that can be read", entries, about.Entries, photos, about.Photos),
						"the phone still has the others: "+fromThePhone))
				}
				return
			}
			if err != nil {
				yield(Item{}, h.cutShort())
				return
			}
			on := true
			switch name := header.Name; {
			case name == entriesName:
				on = h.entries(counted)
			case strings.HasPrefix(name, photoFolder):
				on = h.photo(header, counted)
			}
			if !on {
				return
			}
		}
	}
}

func (h *handed) cutShort() *model.Problem {
	if !h.any {
		return h.problem(0, "", "is cut short or damaged: nothing in it can be read", fromThePhone)
	}
	return h.problem(0, "", "is cut short or damaged: what can be read before that was", fromThePhone)
}

// entries yields the lines, and reports whether to go on.
func (h *handed) entries(yield func(Item, *model.Problem) bool) bool {
	lines := bufio.NewScanner(h.tar)
	lines.Buffer(make([]byte, 0, 64<<10), MaxLine)
	line := 0
	for lines.Scan() {
		line++
		if len(bytes.TrimSpace(lines.Bytes())) == 0 {
			continue
		}
		var of struct {
			Property string  `json:"property"`
			Entry    *string `json:"entry"`
			Seal     string  `json:"seal"`
		}
		var item Item
		var problem *model.Problem
		if err := json.Unmarshal(lines.Bytes(), &of); err != nil || of.Property == "" || of.Entry == nil {
			problem = h.problem(line, entriesName, "is not an entry of a hand-over", fromThePhone)
		} else {
			item = Item{Property: of.Property, Entry: json.RawMessage(*of.Entry), Seal: of.Seal}
		}
		if !yield(item, problem) {
			return false
		}
	}
	if err := lines.Err(); errors.Is(err, bufio.ErrTooLong) {
		return yield(Item{}, h.problem(line+1, entriesName, fmt.Sprintf("is longer than %d bytes; this line and those after it were not read", MaxLine), fromThePhone))
	} else if err != nil {
		yield(Item{}, h.cutShort())
		return false
	}
	return true
}

// photo yields one photo whose bytes give its name, and reports whether to go on.
func (h *handed) photo(header *tar.Header, yield func(Item, *model.Problem) bool) bool {
	name := strings.TrimSuffix(strings.TrimPrefix(header.Name, photoFolder), photoEnding)
	var sha register.Hash
	if err := sha.UnmarshalText([]byte(name)); err != nil || header.Typeflag != tar.TypeReg {
		return yield(Item{}, h.problem(0, header.Name, "is not named by the SHA-256 of a photo", fromThePhone))
	}
	if header.Size > MaxPhoto {
		return yield(Item{}, h.problem(0, header.Name, fmt.Sprintf("has %d bytes and a photo may have %d", header.Size, MaxPhoto), "take it in at a lower quality"))
	}
	body, err := io.ReadAll(io.LimitReader(h.tar, MaxPhoto))
	if err != nil {
		yield(Item{}, h.cutShort())
		return false
	}
	if len(body) == 0 || register.HashOf(body) != sha {
		return yield(Item{}, h.problem(0, header.Name, "does not have the bytes that its name tells", "the phone still has it: "+fromThePhone))
	}
	return yield(Item{SHA: sha, Photo: body}, nil)
}
