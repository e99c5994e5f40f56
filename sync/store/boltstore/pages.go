package boltstore

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"io"
)

// This file checks the pages of a bbolt file without mapping it, so that a broken page is
// a finding and never a fault. It reads the file once from front to back, then follows the
// tree and judges every page that it leads to, keeping of the file no more than which pages
// are in use.

const (
	branchPage   = 0x01
	leafPage     = 0x02
	freelistPage = 0x10
	elementSize  = 16 // of branch and leaf pages alike
	bucketLeaf   = 0x01
	bucketHeader = 16 // root page (8), sequence (8)
)

// pageNote is what a page of the tree says of itself.
type pageNote struct {
	flags       uint16
	overflow    uint32
	first, last []byte  // keys, until the next page is read
	children    []child // of a branch page, and roots of buckets in a leaf page
	bad         string  // what is wrong with it, when it is in use
}

// child is a page that another leads to, with the least key it is meant to hold; nil for
// the root of a bucket.
type child struct {
	page uint64
	key  []byte
}

// checkPages checks the structure of the file: each page in use is whole, its keys rise,
// every page is either reached once from the root or free, and no page is both.
// The file is taken as transaction txid left it; errMovedOn when that can no longer be
// told, because two more have been committed.
func checkPages(ctx context.Context, path string, txid uint64) error {
	f, err := openRegular(path)
	if err != nil {
		return err
	}
	defer f.Close()
	meta, err := readMeta(f)
	if err != nil {
		return err
	}
	if meta, err = metaOf(f, meta, txid); err != nil {
		return err
	}
	if err := readThrough(ctx, f, meta); err != nil {
		return err
	}
	return walkPages(ctx, pageReader{file: f, meta: meta})
}

var errMovedOn = errors.New("the file has moved on")

// metaOf is the meta page of a transaction, given the newest.
func metaOf(f io.ReaderAt, newest metaPage, txid uint64) (metaPage, error) {
	page := make([]byte, pageHeader+64)
	for _, at := range []int64{0, int64(newest.pageSize)} {
		if _, err := f.ReadAt(page, at); err != nil {
			return metaPage{}, err
		}
		if m, ok := parseMeta(page); ok && m.txid == txid {
			return m, nil
		}
	}
	return metaPage{}, errMovedOn
}

// readThrough reads the file once from front to back, as a disk is read fastest, so that the
// walk along the tree finds its pages in memory. It keeps nothing of them: what belongs to
// this process does not grow with the file.
func readThrough(ctx context.Context, f io.ReaderAt, meta metaPage) error {
	size := int64(meta.pageSize)
	const runPages = 256
	buffer := make([]byte, runPages*size)
	for at := int64(0); at < int64(meta.pages); at += runPages {
		if err := ctx.Err(); err != nil {
			return err
		}
		run := buffer[:min(runPages, int64(meta.pages)-at)*size]
		if _, err := f.ReadAt(run, at*size); err != nil {
			return damaged("page %d cannot be read: %v", at, err)
		}
	}
	return nil
}

// pageReader reads pages one at a time into the same memory.
type pageReader struct {
	file io.ReaderAt
	meta metaPage
	page []byte
}

// read is the whole page of this number. It holds until the next read.
func (r *pageReader) read(id uint64) (page []byte, bad string) {
	if r.page == nil {
		r.page = make([]byte, r.meta.pageSize)
	}
	if _, err := r.file.ReadAt(r.page, int64(id)*int64(r.meta.pageSize)); err != nil {
		return nil, "cannot be read: " + err.Error()
	}
	return wholePage(r.file, r.page, id, r.meta)
}

// note judges a page of the tree by itself.
func (r *pageReader) note(id uint64) (n pageNote) {
	page, bad := r.read(id)
	if bad != "" {
		return pageNote{bad: bad}
	}
	n = pageNote{flags: order.Uint16(page[8:]), overflow: order.Uint32(page[12:])}
	if n.flags != branchPage && n.flags != leafPage {
		n.bad = "is not of the tree, though the tree leads there"
		return n
	}
	n.bad = n.readElements(page)
	return n
}

var order = binary.NativeEndian

// wholePage is the page that begins with run, read again when it is longer than run.
func wholePage(f io.ReaderAt, run []byte, id uint64, meta metaPage) (page []byte, bad string) {
	overflow := uint64(order.Uint32(run[12:]))
	switch {
	case order.Uint64(run) != id:
		return nil, "has the number of another page"
	case overflow >= meta.pages-id:
		return nil, "is longer than the file"
	}
	whole := (overflow + 1) * uint64(meta.pageSize)
	if whole <= uint64(len(run)) {
		return run[:whole], ""
	}
	page = make([]byte, whole)
	if _, err := f.ReadAt(page, int64(id)*int64(meta.pageSize)); err != nil {
		return nil, "cannot be read: " + err.Error()
	}
	return page, ""
}

func readFreelist(page []byte) (free []uint64, bad string) {
	count, from := uint64(order.Uint16(page[10:])), uint64(pageHeader)
	if count == 0xFFFF {
		if len(page) < pageHeader+8 {
			return nil, "is cut short"
		}
		count, from = order.Uint64(page[pageHeader:]), pageHeader+8
	}
	if count > (uint64(len(page))-from)/8 {
		return nil, "lists more free pages than it has"
	}
	for i := range count {
		free = append(free, order.Uint64(page[from+8*i:]))
	}
	return free, ""
}

// readElements checks the elements of a branch or leaf page and notes what they lead to.
func (n *pageNote) readElements(page []byte) (bad string) {
	count := int(order.Uint16(page[10:]))
	if pageHeader+count*elementSize > len(page) {
		return "has more elements than fit"
	}
	var last []byte
	for i := range count {
		at := pageHeader + i*elementSize
		e := page[at:]
		var pos, keySize, valueSize uint64
		if n.flags == branchPage {
			pos, keySize = uint64(order.Uint32(e)), uint64(order.Uint32(e[4:]))
		} else {
			pos, keySize, valueSize = uint64(order.Uint32(e[4:])), uint64(order.Uint32(e[8:])), uint64(order.Uint32(e[12:]))
		}
		if from := uint64(at) + pos; from < uint64(pageHeader+count*elementSize) || from+keySize+valueSize > uint64(len(page)) {
			return "has an element that lies outside it"
		}
		key := e[pos : pos+keySize]
		if i > 0 && string(key) <= string(last) || keySize == 0 && n.flags == leafPage {
			return "has keys out of order"
		}
		last = key
		if n.flags == branchPage {
			n.children = append(n.children, child{order.Uint64(e[8:]), bytes.Clone(key)})
		}
		if i == 0 {
			n.first = key
		}
		if n.flags == leafPage && order.Uint32(e) == bucketLeaf {
			if bad := n.readBucket(e[pos+keySize : pos+keySize+valueSize]); bad != "" {
				return bad
			}
		} else if n.flags == leafPage && order.Uint32(e) != 0 {
			return "has an element of no known sort"
		}
	}
	n.last = last
	if n.flags == branchPage && count == 0 {
		return "is a branch without children"
	}
	return ""
}

// readBucket reads a bucket's header: the page of its root, or 0 and the root itself.
func (n *pageNote) readBucket(value []byte) (bad string) {
	if len(value) < bucketHeader {
		return "has a bucket that is cut short"
	}
	if root := order.Uint64(value); root != 0 {
		n.children = append(n.children, child{page: root})
		return ""
	}
	inline := value[bucketHeader:]
	if len(inline) < pageHeader || order.Uint16(inline[8:]) != leafPage {
		return "has a small bucket that is broken"
	}
	within := pageNote{flags: leafPage}
	if bad := within.readElements(inline); bad != "" {
		return bad
	}
	if len(within.children) > 0 {
		return "has a bucket within a bucket"
	}
	return ""
}

// reach is a page the tree leads to, and the keys it may hold: from low, below high; nil
// is without a bound.
type reach struct {
	page      uint64
	low, high []byte
}

// walkPages follows the tree. It keeps its own stack: a broken tree may be a ring.
func walkPages(ctx context.Context, pages pageReader) error {
	meta := pages.meta
	used := make([]bool, meta.pages)
	take := func(id, pages uint64, as string) error {
		for i := id; i < id+pages; i++ {
			if i >= meta.pages || used[i] {
				return damaged("page %d is used twice or lies outside the file, as %s", i, as)
			}
			used[i] = true
		}
		return nil
	}
	if err := take(0, 2, "meta page"); err != nil {
		return err
	}
	if meta.freelist >= meta.pages {
		return damaged("the list of free pages, page %d, lies outside the file", meta.freelist)
	}
	page, bad := pages.read(meta.freelist)
	if bad != "" || order.Uint16(page[8:]) != freelistPage {
		return damaged("the list of free pages, page %d, is broken", meta.freelist)
	}
	if err := take(meta.freelist, uint64(order.Uint32(page[12:]))+1, "list of free pages"); err != nil {
		return err
	}
	free, bad := readFreelist(page)
	if bad != "" {
		return damaged("the list of free pages, page %d, %s", meta.freelist, bad)
	}
	for _, id := range free {
		if err := take(id, 1, "free page"); err != nil {
			return err
		}
	}
	for stack := []reach{{page: meta.root}}; len(stack) > 0; {
		if err := ctx.Err(); err != nil {
			return err
		}
		r := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if r.page >= meta.pages {
			return damaged("page %d is not of the file, though the tree leads there", r.page)
		}
		n := pages.note(r.page)
		if n.bad == "" && n.first != nil && (r.low != nil && string(n.first) < string(r.low) || r.high != nil && string(n.last) >= string(r.high)) {
			n.bad = "has keys that belong to another page"
		}
		if n.bad != "" {
			return damaged("page %d %s", r.page, n.bad)
		}
		if err := take(r.page, uint64(n.overflow)+1, "page of the tree"); err != nil {
			return err
		}
		for i, c := range n.children {
			below := reach{page: c.page}
			if n.flags == branchPage {
				below.low, below.high = c.key, r.high
				if i == 0 {
					below.low = r.low
				}
				if i+1 < len(n.children) {
					below.high = n.children[i+1].key
				}
			}
			stack = append(stack, below)
		}
	}
	for id, is := range used {
		if !is {
			return damaged("page %d is neither in use nor free", id)
		}
	}
	return nil
}
