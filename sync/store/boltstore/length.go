package boltstore

import (
	"errors"
	"hash/fnv"
	"io"
)

// metaPage is one of the two pages at the head of a bbolt file, as its source lays them
// out: a 16-byte page header, then the fields below with 8-byte alignment.
type metaPage struct {
	pageSize uint32
	root     uint64 // page of the bucket of buckets
	freelist uint64
	pages    uint64 // one past the highest page in use
	txid     uint64
	alone    bool // the other meta page is broken: a newer transaction may be lost
}

const (
	pageHeader  = 16
	boltMagic   = 0xED0CDAED
	boltVersion = 2
)

// parseMeta reads a meta page, false when it is not whole.
func parseMeta(page []byte) (metaPage, bool) {
	if len(page) < pageHeader+64 {
		return metaPage{}, false
	}
	b := page[pageHeader:]
	sum := fnv.New64a()
	sum.Write(b[:56])
	m := metaPage{pageSize: order.Uint32(b[8:]), root: order.Uint64(b[16:]), freelist: order.Uint64(b[32:]),
		pages: order.Uint64(b[40:]), txid: order.Uint64(b[48:])}
	sound := order.Uint32(b) == boltMagic && order.Uint32(b[4:]) == boltVersion && order.Uint64(b[56:]) == sum.Sum64() &&
		m.pageSize >= 512 && m.pageSize <= 64<<10 && m.pageSize&(m.pageSize-1) == 0 && m.pages >= 4 && m.pages < 1<<44
	return m, sound
}

// readMeta finds the meta page in force: the sound one of the later transaction.
func readMeta(f io.ReaderAt) (metaPage, error) {
	var best metaPage
	found, whole := false, 0
	at := func(offset int64) {
		page := make([]byte, pageHeader+64)
		if _, err := f.ReadAt(page, offset); err != nil {
			return
		}
		if m, ok := parseMeta(page); ok {
			if whole++; !found || m.txid > best.txid {
				best, found = m, true
			}
		}
	}
	at(0)
	if found {
		at(int64(best.pageSize))
	} else { // the first page, which tells the page size, is broken
		for size := int64(1 << 10); size <= 64<<10 && !found; size <<= 1 {
			at(size)
		}
	}
	if !found {
		return metaPage{}, damaged("neither meta page is whole")
	}
	best.alone = whole < 2
	return best, nil
}

// checkLength refuses a file that lacks pages in use: reading those through the map
// would end the process. It tells whether one of the two meta pages is broken.
func checkLength(path string) (alone bool, err error) {
	f, err := openRegular(path)
	if err != nil {
		return false, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return false, err
	}
	m, err := readMeta(f)
	if err != nil {
		return false, errors.Join(damaged("%s cannot be opened", path), err)
	}
	if needs := int64(m.pages) * int64(m.pageSize); info.Size() < needs {
		return false, damaged("%s is cut short: it has %d bytes and needs %d", path, info.Size(), needs)
	}
	return m.alone, nil
}
