package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"io/fs"
	"net/http"
)

// packedView is what a link shows of a property, made once for all who ask: alone, as land.json, and
// in the landholder's page. The lists of a large property are beside it in blocks.
type packedView struct {
	json, page *packedFile
	blocks     map[string]*packedBlock // by name
}

// mostInPage is how long the lists of a property may be, as JSON, to come with the page: some
// 25 KB over the line.
const mostInPage = 256 << 10

// mostViewBytes and mostFileBytes are how much memory is kept of what links show of all properties,
// and of their files.
const (
	mostViewBytes = 48 << 20
	mostFileBytes = 16 << 20
)

// packedView gives what a link shows of a property as it is now, compressed. It is made
// when an entry, a merge or another name has come since the last time.
func (s *Server) packedView(ctx context.Context, property string) (*packedView, error) {
	want, err := s.version(ctx, property)
	if err != nil {
		return nil, err
	}
	page, err := fs.ReadFile(s.pages, "landholder.html")
	if err != nil {
		return nil, err
	}
	kept := s.views.of(property, newLatest[*packedView])
	return kept.of(ctx, want, func() (view *packedView, at version, err error) {
		err = s.withBook(ctx, property, func(b *linkBook) error {
			at = b.at
			at.name = want.name
			view, err = packView(page, b, want.name)
			return err
		})
		if err == nil {
			s.views.weigh(property, kept, view.size())
		}
		return view, at, err
	})
}

// packView compresses what a link shows, and the page about the place for it.
func packView(page []byte, b *linkBook, property string) (*packedView, error) {
	head, tail, ok := bytes.Cut(page, []byte(dataPlace))
	if !ok {
		return nil, fmt.Errorf("landholder.html has no place for its data: %s", dataPlace)
	}
	size, blocks := 0, map[string]*packedBlock{}
	for _, list := range b.lists() {
		size += list.size()
		for _, block := range list.blocks {
			blocks[block.packed.name] = block.packed
		}
	}
	data := asJSON(b.view(property, size > mostInPage))
	return &packedView{packText(data), packText(head, []byte(dataPlace), data, tail), blocks}, nil
}

func (v *packedView) size() int {
	size := len(v.json.gzip) + len(v.page.gzip)
	for _, block := range v.blocks {
		size += len(block.gzip)
	}
	return size
}

// packedFile is a file compressed once for all who ask.
type packedFile struct {
	gzip   []byte
	length int // unpacked
	sum    [sha256.Size]byte
}

// packFile compresses a file while it is written.
func packFile(write func(io.Writer) error) (*packedFile, error) {
	var out bytes.Buffer
	z := zippers.Get().(*gzip.Writer)
	defer zippers.Put(z)
	z.Reset(&out)
	var length byteCount
	sum := sha256.New()
	if err := write(io.MultiWriter(z, sum, &length)); err != nil {
		return nil, err
	}
	_ = z.Close() // a buffer takes all
	return &packedFile{bytes.Clone(out.Bytes()), int(length), [sha256.Size]byte(sum.Sum(nil))}, nil
}

func packText(parts ...[]byte) *packedFile {
	file, _ := packFile(func(w io.Writer) error { // a buffer takes all
		for _, part := range parts {
			_, _ = w.Write(part)
		}
		return nil
	})
	return file
}

// byteCount counts what is written to it.
type byteCount int

// Write implements io.Writer.
func (n *byteCount) Write(b []byte) (int, error) {
	*n += byteCount(len(b))
	return len(b), nil
}

func (p *packedFile) unpacked() io.Reader {
	text, _ := gzip.NewReader(bytes.NewReader(p.gzip)) // it was packed here
	return text
}

const (
	// askAgain lets the browser keep an answer, and has it ask each time whether it still holds:
	// a link can be withdrawn and a feature hidden.
	askAgain = "private, no-cache"
	// keepForever is for what is named after its content.
	keepForever = "max-age=31536000, immutable"
)

// send answers with a file, packed for whoever takes that.
func (p *packedFile) send(w http.ResponseWriter, r *http.Request, mediaType, keep string) {
	w.Header().Set("Content-Type", mediaType)
	w.Header().Set("Cache-Control", keep)
	tag := hex.EncodeToString(p.sum[:16])
	if accepts(r, "gzip") {
		sendTagged(w, r, tag+"-gzip", "gzip", len(p.gzip), bytes.NewReader(p.gzip))
	} else {
		sendTagged(w, r, tag, "", p.length, p.unpacked())
	}
}
