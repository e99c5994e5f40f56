package server

import (
	"bytes"
	"compress/flate"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash/crc32"
	"io"
	"net/http"
	"strconv"
	"sync"
)

// packedView is what a link shows of a property, compressed once for all who ask: alone, as
// land.json, and in the landholder's page. Both are made of the same bytes, for a deflate
// stream may be put together from pieces that each end on a byte (RFC 1951, 3.2.4). The lists
// of a large property are beside it in blocks.
type packedView struct {
	data       piece
	head, tail piece // of the page
	json, page answer
	blocks     map[string]*packedBlock // by name
}

// mostInPage is how long the lists of a property may be, as JSON, to come with the page: some
// 25 KB over the line.
const mostInPage = 256 << 10

// piece is part of a deflate stream, ending on a byte.
type piece struct {
	deflated []byte
	length   int // unpacked
}

// answer is what pieces make, as a whole.
type answer struct {
	crc    uint32 // of RFC 1952
	length int    // unpacked
	tag    string // of the content, without quotes
}

// endPiece is the empty last block that ends a stream.
var endPiece = piece{deflated: []byte{0x03, 0x00}}

// packView compresses what a link shows, and the page about the place for it.
func packView(page []byte, b *landBook, property string) (*packedView, error) {
	size, blocks := 0, map[string]*packedBlock{}
	for _, list := range b.lists() {
		size += list.size()
		for _, block := range list.blocks {
			blocks[block.packed.name] = block.packed
		}
	}
	data := asJSON(b.view(property, size > mostInPage))
	head, tail, ok := bytes.Cut(page, []byte(dataPlace))
	if !ok {
		return nil, fmt.Errorf("landholder.html has no place for its data: %s", dataPlace)
	}
	head = page[:len(head)+len(dataPlace)]
	v := &packedView{data: deflated(data), head: deflated(head), tail: deflated(tail), blocks: blocks}
	sum := sha256.Sum256(data)
	v.json = answer{crc32.ChecksumIEEE(data), len(data), hex.EncodeToString(sum[:16])}
	crc := crc32.Update(crc32.ChecksumIEEE(head), crc32.IEEETable, data)
	sum = sha256.Sum256(append(sum[:], page...))
	v.page = answer{crc32.Update(crc, crc32.IEEETable, tail), len(head) + len(data) + len(tail), hex.EncodeToString(sum[:16])}
	return v, nil
}

func deflated(text []byte) piece {
	var out bytes.Buffer
	w := packers.Get().(*flate.Writer)
	defer packers.Put(w)
	w.Reset(&out)
	_, _ = w.Write(text) // a buffer takes all
	_ = w.Flush()
	return piece{bytes.Clone(out.Bytes()), len(text)}
}

// packers are kept for the next piece: one takes 800 KB to make.
var packers = sync.Pool{New: func() any {
	w, _ := flate.NewWriter(nil, flate.DefaultCompression) // errs for other levels alone
	return w
}}

// packedFile is a file compressed once for all who ask.
type packedFile struct {
	data  piece
	whole answer
}

// packFile compresses a file while it is written.
func packFile(write func(io.Writer) error) (*packedFile, error) {
	var out bytes.Buffer
	packer := packers.Get().(*flate.Writer)
	defer packers.Put(packer)
	packer.Reset(&out)
	crc, sum := crc32.NewIEEE(), sha256.New()
	var length byteCount
	if err := write(io.MultiWriter(packer, crc, sum, &length)); err != nil {
		return nil, err
	}
	_ = packer.Flush() // a buffer takes all
	return &packedFile{piece{bytes.Clone(out.Bytes()), int(length)}, answer{crc.Sum32(), int(length), hex.EncodeToString(sum.Sum(nil)[:16])}}, nil
}

// byteCount counts what is written to it.
type byteCount int

// Write implements io.Writer.
func (n *byteCount) Write(b []byte) (int, error) {
	*n += byteCount(len(b))
	return len(b), nil
}

func (v *packedView) size() int {
	size := len(v.data.deflated) + len(v.head.deflated) + len(v.tail.deflated)
	for _, block := range v.blocks {
		size += len(block.data.deflated)
	}
	return size
}

// send answers with a block. Its name is made from its content, so that a browser may keep it
// without asking again; whether it is still shown is asked for with land.json.
func (p *packedBlock) send(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	p.whole.send(w, r, "private, max-age=31536000, immutable", p.data, endPiece)
}

// sendJSON answers with land.json.
func (v *packedView) sendJSON(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "application/json")
	v.json.send(w, r, askAgain, v.data, endPiece)
}

// sendPage answers with the page.
func (v *packedView) sendPage(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.page.send(w, r, askAgain, v.head, v.data, v.tail, endPiece)
}

// askAgain lets the browser keep an answer, and has it ask each time whether it still holds:
// a link can be withdrawn and a feature hidden.
const askAgain = "private, no-cache"

// send writes an answer, packed for whoever takes that.
func (a answer) send(w http.ResponseWriter, r *http.Request, keep string, pieces ...piece) {
	h := w.Header()
	h.Set("Cache-Control", keep)
	tag, length := a.tag, a.length
	zip := accepts(r, "gzip")
	if zip {
		tag += "-gzip" // another representation (RFC 9110, 8.8.3.3)
		length = len(gzipHead) + 8
		for _, p := range pieces {
			length += len(p.deflated)
		}
	}
	tag = strconv.Quote(tag)
	h.Set("ETag", tag)
	if namesTag(r.Header.Values("If-None-Match"), tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if zip {
		h.Set("Content-Encoding", "gzip")
	}
	h.Set("Content-Length", strconv.Itoa(length))
	if r.Method == http.MethodHead {
		return
	}
	if !zip {
		readers := make([]io.Reader, len(pieces))
		for i, p := range pieces {
			readers[i] = bytes.NewReader(p.deflated)
		}
		_, _ = io.Copy(w, flate.NewReader(io.MultiReader(readers...))) // the landholder has gone if this fails
		return
	}
	_, _ = w.Write(gzipHead)
	for _, p := range pieces {
		_, _ = w.Write(p.deflated)
	}
	_, _ = w.Write(binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint32(nil, a.crc), uint32(a.length)))
}

// gzipHead begins a gzip stream that tells of no file, time or system (RFC 1952, 2.3).
var gzipHead = []byte{0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 255}
