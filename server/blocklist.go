package server

import (
	"cmp"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"io"
	"slices"
)

// blockRows is how many rows a block of a list has on average: one that changes costs the
// server, and the browser that has the others, one block.
const blockRows = 256

// listRow is an item, or a sentence or a section, in one of the lists of a view.
type listRow struct {
	rank     int // within its list, before its name; of an item the place of its kind in model.Kinds
	name, id string
	size     int      // of its JSON
	json     []byte   // nil while it stands in a packed block, or has not been written
	sums     itemSums // of an item, once it has been written
}

func compareRows(a, b *listRow) int {
	return cmp.Or(cmp.Compare(a.rank, b.rank), compareNames(a.name, b.name), cmp.Compare(a.id, b.id))
}

// ends reports whether a block ends with this row. It goes by the id alone, so that a list has
// the same blocks whatever came before it, and whichever server made it.
func (r *listRow) ends() bool {
	sum := sha256.Sum256([]byte(r.id))
	return binary.LittleEndian.Uint32(sum[:])%blockRows == 0
}

// listBlock is a stretch of a list.
type listBlock struct {
	rows   []*listRow
	packed *packedBlock // nil while its rows are open to change
	sums   itemSums     // of all rows together
}

// packedBlock is a block as it is sent: a JSON array. Its name is made from its content.
type packedBlock struct {
	*packedFile
	name string
}

// blockList is a list in the order of its rows. Each block but the last ends with a row that
// ends one, and no other row does.
type blockList struct{ blocks []*listBlock }

// find gives the block that a row stands in, or would, and its place there.
func (l *blockList) find(r *listRow) (block, row int, found bool) {
	block, _ = slices.BinarySearchFunc(l.blocks, r, func(b *listBlock, r *listRow) int {
		return compareRows(b.rows[len(b.rows)-1], r)
	})
	if block == len(l.blocks) {
		return block, 0, false
	}
	row, found = slices.BinarySearchFunc(l.blocks[block].rows, r, compareRows)
	return block, row, found
}

// put takes a row in, in place of one at the same place.
func (l *blockList) put(r *listRow) {
	at, row, found := l.find(r)
	if at == len(l.blocks) { // after all others
		if last := at - 1; last >= 0 && !l.blocks[last].rows[len(l.blocks[last].rows)-1].ends() {
			at, row = last, len(l.blocks[last].rows)
		} else {
			l.blocks = append(l.blocks, &listBlock{})
		}
	}
	b := l.blocks[at]
	b.open()
	if found {
		b.rows[row] = r
		return
	}
	b.rows = slices.Insert(b.rows, row, r)
	if r.ends() && row+1 < len(b.rows) {
		l.blocks = slices.Insert(l.blocks, at+1, &listBlock{rows: slices.Clone(b.rows[row+1:])})
		clear(b.rows[row+1:])
		b.rows = b.rows[:row+1]
	}
}

// remove takes a row out.
func (l *blockList) remove(r *listRow) {
	at, row, found := l.find(r)
	if !found {
		return
	}
	b := l.blocks[at]
	b.open()
	b.rows = slices.Delete(b.rows, row, row+1)
	if r.ends() && at+1 < len(l.blocks) {
		next := l.blocks[at+1]
		next.open()
		b.rows = append(b.rows, next.rows...)
		l.blocks = slices.Delete(l.blocks, at+1, at+2)
	}
	if len(b.rows) == 0 {
		l.blocks = slices.Delete(l.blocks, at, at+1)
	}
}

// open gives every row of a block its JSON again, so that rows can come and go.
func (b *listBlock) open() {
	if b.packed == nil {
		return
	}
	text, at := b.packed.text(), 1
	for _, r := range b.rows {
		r.json = text[at : at+r.size : at+r.size]
		at += r.size + len(",")
	}
	b.packed = nil
}

// pack writes the rows that have no JSON yet and packs the blocks that are open; it returns
// how many of both there were.
func (l *blockList) pack(write func(*listRow) error) (rows, blocks int, err error) {
	for _, b := range l.blocks {
		if b.packed != nil {
			continue
		}
		blocks++
		text, sums := []byte{'['}, itemSums{}
		for i, r := range b.rows {
			if r.json == nil {
				rows++
				if err := write(r); err != nil {
					return rows, blocks, err
				}
			}
			r.size = len(r.json)
			if i > 0 {
				text = append(text, ',')
			}
			text = append(text, r.json...)
			sums.add(&r.sums)
			sums.count(r.rank, 1)
		}
		b.packed, b.sums = packBlock(append(text, ']')), sums
		for _, r := range b.rows {
			r.json = nil
		}
	}
	return rows, blocks, nil
}

func packBlock(text []byte) *packedBlock {
	file := packText(text)
	return &packedBlock{file, base64.RawURLEncoding.EncodeToString(file.sum[:12])}
}

func (p *packedBlock) text() []byte {
	text := make([]byte, p.length)
	_, _ = io.ReadFull(p.unpacked(), text) // it was packed here
	return text
}

// text is a whole list as a JSON array.
func (l *blockList) text() []byte {
	text := []byte{'['}
	for i, b := range l.blocks {
		if i > 0 {
			text = append(text, ',')
		}
		one := b.packed.text()
		text = append(text, one[1:len(one)-1]...)
	}
	return append(text, ']')
}

// size is about how long its text is.
func (l *blockList) size() (n int) {
	for _, b := range l.blocks {
		n += b.packed.length
	}
	return n
}

func (l *blockList) rows() (n int) {
	for _, b := range l.blocks {
		n += len(b.rows)
	}
	return n
}

// refs names the blocks of a list in their order.
func (l *blockList) refs() listIndex {
	refs := listIndex{Count: l.rows(), Names: make([]string, len(l.blocks))}
	for i, b := range l.blocks {
		refs.Names[i] = b.packed.name
	}
	return refs
}
