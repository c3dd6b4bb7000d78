package journal

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
)

// bbolt trusts what it finds in a page: a damaged one makes it fault, or write
// over pages that are in use. So before it is let loose on a file, every page
// is read here and held against the others. The forms of the pages are bbolt's;
// numbers are in the machine's own byte order.
const (
	pageHeader   = 16 // id 8 bytes, kind 2, count 2, further pages 4
	branchHeader = 16 // one branch: place of the key 4, its length 4, page 8
	leafHeader   = 16 // one leaf: kind 4, place of the key 4, its length 4, the value's 4
	bucketHeader = 16 // a bucket's value: page 8 (0: the page follows), a counter 8

	kindBranch = 1
	kindLeaf   = 2
	kindFree   = 16
	leafBucket = 1

	noFreeList = ^uint64(0)
)

// pageWalk reads every page that the header leads to, each once.
type pageWalk struct {
	file io.ReaderAt
	header
	met []bool // by page
}

// checkPages returns a *DamageError if the pages of a file, which is as long
// as its header says, do not hang together.
func checkPages(file io.ReaderAt, h header) error {
	w := &pageWalk{file, h, make([]bool, h.end)}
	w.met[0], w.met[1] = true, true // the headers
	if err := w.tree(h.root, nil, nil); err != nil {
		return err
	}
	if err := w.freeList(); err != nil {
		return err
	}
	for id, met := range w.met {
		if !met {
			return damagedPage(uint64(id), "it is neither in use nor free")
		}
	}
	return nil
}

func damagedPage(id uint64, reason string, args ...any) error {
	return &DamageError{0, fmt.Sprintf("page %d of the file: %s: take the last good backup", id, fmt.Sprintf(reason, args...))}
}

// meet notes that a page is used, and refuses one that is beyond the end or
// that was met before.
func (w *pageWalk) meet(id uint64) error {
	if id >= w.end {
		return damagedPage(id, "the file ends at page %d", w.end)
	}
	if w.met[id] {
		return damagedPage(id, "it is used twice")
	}
	w.met[id] = true
	return nil
}

// page returns a page with those that belong to it.
func (w *pageWalk) page(id uint64) ([]byte, error) {
	if err := w.meet(id); err != nil {
		return nil, err
	}
	size := int64(w.pageSize)
	page := make([]byte, size)
	if _, err := w.file.ReadAt(page, int64(id)*size); err != nil {
		return nil, err
	}
	if self := binary.NativeEndian.Uint64(page); self != id {
		return nil, damagedPage(id, "it says that it is page %d", self)
	}
	further := uint64(binary.NativeEndian.Uint32(page[12:]))
	if further == 0 {
		return page, nil
	}
	for n := id + 1; n <= id+further; n++ {
		if err := w.meet(n); err != nil {
			return nil, err
		}
	}
	page = make([]byte, size*int64(further+1))
	_, err := w.file.ReadAt(page, int64(id)*size)
	return page, err
}

// tree reads the pages from id downwards, whose keys are from low on and below
// high. A nil bound is none.
func (w *pageWalk) tree(id uint64, low, high []byte) error {
	page, err := w.page(id)
	if err != nil {
		return err
	}
	switch kind, _ := kindAndCount(page); kind {
	case kindBranch:
		return w.branches(id, page, low, high)
	case kindLeaf:
		return w.leaves(id, page, low, high)
	default:
		return damagedPage(id, "it is of the unknown kind %#x", kind)
	}
}

func kindAndCount(page []byte) (kind, count int) {
	return int(binary.NativeEndian.Uint16(page[8:])), int(binary.NativeEndian.Uint16(page[10:]))
}

func (w *pageWalk) branches(id uint64, page, low, high []byte) error {
	_, count := kindAndCount(page)
	keys, pages := make([][]byte, count), make([]uint64, count)
	for i := range count {
		at := pageHeader + i*branchHeader
		head, ok := part(page, at, branchHeader)
		if !ok {
			return damagedPage(id, "it has no room for %d branches", count)
		}
		n := binary.NativeEndian
		if keys[i], ok = part(page, at+int(n.Uint32(head)), int(n.Uint32(head[4:]))); !ok {
			return damagedPage(id, "the key of branch %d is outside of it", i)
		}
		pages[i] = n.Uint64(head[8:])
	}
	if count == 0 {
		return damagedPage(id, "it has no branches")
	}
	if err := inOrder(id, keys, low, high); err != nil {
		return err
	}
	for i, child := range pages {
		below := high
		if i+1 < count {
			below = keys[i+1]
		}
		if err := w.tree(child, keys[i], below); err != nil {
			return err
		}
	}
	return nil
}

func (w *pageWalk) leaves(id uint64, page, low, high []byte) error {
	_, count := kindAndCount(page)
	keys := make([][]byte, count)
	for i := range count {
		at := pageHeader + i*leafHeader
		head, ok := part(page, at, leafHeader)
		if !ok {
			return damagedPage(id, "it has no room for %d keys", count)
		}
		n := binary.NativeEndian
		place, length := at+int(n.Uint32(head[4:])), int(n.Uint32(head[8:]))
		if keys[i], ok = part(page, place, length); !ok {
			return damagedPage(id, "key %d is outside of it", i)
		}
		value, ok := part(page, place+length, int(n.Uint32(head[12:])))
		if !ok {
			return damagedPage(id, "the value of key %d is outside of it", i)
		}
		switch kind := n.Uint32(head); kind {
		case 0:
		case leafBucket:
			if err := w.bucket(id, value); err != nil {
				return err
			}
		default:
			return damagedPage(id, "key %d is of the unknown kind %#x", i, kind)
		}
	}
	return inOrder(id, keys, low, high)
}

// bucket reads the pages of a bucket, or the small page within its value.
func (w *pageWalk) bucket(id uint64, value []byte) error {
	if len(value) < bucketHeader {
		return damagedPage(id, "a bucket has %d bytes", len(value))
	}
	if root := binary.NativeEndian.Uint64(value); root != 0 {
		return w.tree(root, nil, nil)
	}
	page := value[bucketHeader:]
	if len(page) < pageHeader {
		return damagedPage(id, "a small bucket has %d bytes", len(page))
	}
	if kind, _ := kindAndCount(page); kind != kindLeaf {
		return damagedPage(id, "a small bucket is of the kind %#x", kind)
	}
	return w.leaves(id, page, nil, nil)
}

// freeList reads which pages are free.
func (w *pageWalk) freeList() error {
	if w.free == noFreeList {
		return damagedPage(0, "there is no list of free pages")
	}
	page, err := w.page(w.free)
	if err != nil {
		return err
	}
	kind, count := kindAndCount(page)
	if kind != kindFree {
		return damagedPage(w.free, "it should list the free pages and is of the kind %#x", kind)
	}
	list := page[pageHeader:]
	if count == 0xffff { // so many that the first number is their count
		count, list = int(binary.NativeEndian.Uint64(list)), list[8:]
	}
	if count < 0 || count > len(list)/8 {
		return damagedPage(w.free, "it has no room for %d free pages", count)
	}
	for i := range count {
		if err := w.meet(binary.NativeEndian.Uint64(list[8*i:])); err != nil {
			return err
		}
	}
	return nil
}

// part returns length bytes at a place in a page, if they are in it.
func part(page []byte, at, length int) ([]byte, bool) {
	if at < 0 || length < 0 || at > len(page) || length > len(page)-at {
		return nil, false
	}
	return page[at : at+length], true
}

// inOrder checks that keys grow, from low on and below high.
func inOrder(id uint64, keys [][]byte, low, high []byte) error {
	for i, key := range keys {
		switch {
		case i > 0 && bytes.Compare(keys[i-1], key) >= 0,
			low != nil && bytes.Compare(key, low) < 0,
			high != nil && bytes.Compare(key, high) >= 0:
			return damagedPage(id, "key %d is out of order", i)
		}
	}
	return nil
}
