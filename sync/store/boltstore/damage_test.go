package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"iter"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"headcut/sync/register"
	"headcut/sync/store"
	"headcut/sync/store/storetest"
)

var (
	flips = flag.Int("flips", 1000, "how many bytes TestRule16 flips, one at a time")
	cuts  = flag.Int("cuts", 100, "at how many lengths TestRule16 cuts the file")
)

// damagedStore makes a small store that uses every bucket and page sort, and returns its file.
func damagedStore(t *testing.T) string {
	t.Helper()
	s := openNew(t)
	for _, property := range []string{"p", "q"} {
		a, b := &storetest.Maker{Property: property, Device: "a"}, &storetest.Maker{Property: property, Device: "b"}
		for i := range 9 {
			feature := fmt.Sprint("f", i%6)
			raw := []json.RawMessage{a.Entry(feature, nil, "geometry", storetest.Point(147+float64(i)/10, -20)), b.Entry(feature, nil, "name", `"dam"`, "notes", strconv.Quote(string(bytes.Repeat([]byte{'n'}, 60*i))))}
			if i == 7 {
				raw = append(raw, a.Strike(feature, nil, true), a.Entry("long", nil, "notes", strconv.Quote(string(bytes.Repeat([]byte{'l'}, 9000)))))
			}
			if _, err := s.Append(t.Context(), property, raw); err != nil {
				t.Fatal(err)
			}
		}
	}
	mustVerify(t, s)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return s.path
}

// everything is all that a store tells: entries, positions, features, epochs.
func everything(s *Store) (string, error) {
	var out bytes.Buffer
	ctx := context.Background()
	for _, property := range []string{"p", "q"} {
		for at := (store.Position{}); ; {
			page, next, err := s.EntriesAfter(ctx, property, at, 25)
			if err != nil {
				return "", err
			}
			if len(page) == 0 {
				fmt.Fprintln(&out, at)
				break
			}
			for _, e := range page {
				fmt.Fprintln(&out, e.N, e.Capped, e.Arrived.UnixMilli(), e.Hash, string(e.Raw))
			}
			at = next
		}
		for f, err := range s.Features(ctx, property) {
			if err != nil {
				return "", err
			}
			text, _ := json.Marshal(f)
			fmt.Fprintln(&out, string(text))
		}
	}
	epochs, err := s.Epochs(ctx)
	fmt.Fprintln(&out, epochs)
	return out.String(), err
}

// doubles offers again what the store says it lacks of its own entries: a broken index
// may hide some. Each must be known after all, or the damage named.
func doubles(s *Store) error {
	ctx := context.Background()
	for _, property := range []string{"p", "q"} {
		page, _, err := s.EntriesAfter(ctx, property, store.Position{}, 1000)
		if err != nil {
			return err
		}
		for _, e := range page {
			lacks, err := s.Missing(ctx, property, []register.ID{e.Entry.ID})
			if err != nil {
				return err
			}
			if len(lacks) == 0 {
				continue
			}
			receipts, err := s.Append(ctx, property, []json.RawMessage{e.Raw})
			if err != nil {
				return err
			}
			if !receipts[0].Known {
				return fmt.Errorf("entry %d is taken twice: %+v", e.N, receipts[0])
			}
		}
	}
	return nil
}

// damagePart breaks copies of the file args[0] in the folder args[1], one byte flipped at
// a time, then cut short, and reads each. It ends with an error when one gives a wrong
// value, and with a signal or a fatal error of the runtime when one brings it down.
func damagePart(args []string) error {
	whole, err := os.ReadFile(args[0])
	if err != nil {
		return err
	}
	nFlips, _ := strconv.Atoi(args[2])
	nCuts, _ := strconv.Atoi(args[3])
	s, err := Open(args[0], Options{})
	if err != nil {
		return err
	}
	want, err := everything(s)
	if err != nil {
		return err
	}
	if err := s.Close(); err != nil {
		return err
	}
	meta, err := readMeta(bytes.NewReader(whole))
	if err != nil {
		return err
	}
	used := whole[:meta.pages*uint64(meta.pageSize)]
	seed := storetest.Seed()
	fmt.Fprintf(os.Stderr, "again with RAPID_SEED=%d\n", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	path := filepath.Join(args[1], "broken.db")
	counts := make(map[string]int)
	for i := range nFlips {
		at, bit := r.IntN(len(used)), byte(1)<<r.IntN(8)
		broken := bytes.Clone(used)
		broken[at] ^= bit
		if i < 2 { // the meta pages always, where a flip brings back the last commit but one
			at = i*int(meta.pageSize) + 40 + r.IntN(30)
			broken = bytes.Clone(used)
			broken[at] ^= bit
		}
		found, err := readBroken(path, broken, want)
		if err != nil {
			return fmt.Errorf("byte %d with %#x flipped: %w", at, bit, err)
		}
		counts[found]++
	}
	for range nCuts {
		length := r.IntN(len(whole))
		found, err := readBroken(path, whole[:length], want)
		if err != nil {
			return fmt.Errorf("cut to %d of %d bytes: %w", length, len(whole), err)
		}
		if length < len(used) && found != "told on opening" {
			return fmt.Errorf("cut to %d of %d bytes in use, and it was %s", length, len(used), found)
		}
	}
	for at, broken := range ledAstray(used, int(meta.pageSize)) {
		found, err := readBroken(path, broken, want)
		if err != nil {
			return fmt.Errorf("the branch key at byte %d taken for another: %w", at, err)
		}
		counts[found]++
	}
	if counts["told by a new epoch"] == 0 {
		return errors.New("a broken meta page was not told")
	}
	fmt.Println(counts)
	return nil
}

// ledAstray gives copies of a file in which a branch page has the key of one element at
// another, so that a search goes to the wrong page, with the place of what was changed.
func ledAstray(file []byte, pageSize int) iter.Seq2[int, []byte] {
	return func(yield func(int, []byte) bool) {
		for page := 0; page < len(file); page += pageSize {
			if order.Uint64(file[page:]) != uint64(page/pageSize) || order.Uint16(file[page+8:]) != branchPage {
				continue // what is no page's beginning, and leaves
			}
			elements := page + pageHeader
			for i := range int(order.Uint16(file[page+10:])) {
				for _, j := range []int{i - 1, i + 1} {
					if j < 0 || j >= int(order.Uint16(file[page+10:])) {
						continue
					}
					broken := bytes.Clone(file)
					at := elements + 16*i // places of keys are told from the element
					order.PutUint32(broken[at:], uint32(int(order.Uint32(file[elements+16*j:]))+16*(j-i)))
					if !yield(at, broken) {
						return
					}
				}
			}
		}
	}
}

// endless is how long nothing takes that a broken file may do.
const endless = time.Minute

// readBroken tells what became of a broken file; the error is what must not be.
func readBroken(path string, file []byte, want string) (found string, err error) {
	late := time.AfterFunc(endless, func() { panic("reading a broken file does not end") })
	defer late.Stop()
	// A new file each time: what a broken one still holds locked is no matter here.
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if err := os.WriteFile(path, file, 0o600); err != nil {
		return "", err
	}
	s, err := open(path, Options{})
	if err != nil {
		return "told on opening", mustName(err)
	}
	defer s.Close()
	got, err := everything(s)
	if err != nil {
		return "told on reading", mustName(err)
	}
	if epochs, _ := s.Epochs(context.Background()); len(epochs) > 1 {
		return "told by a new epoch", mustFork(s)
	}
	if got != want {
		return "", errors.New("it reads otherwise, and nothing was said")
	}
	_, verified := s.Verify(context.Background(), nil)
	if err := doubles(s); err != nil {
		return "told on sending again", mustName(err)
	}
	if verified != nil {
		return "told by verify", mustName(verified)
	}
	return "all right", nil
}

// mustFork checks that a reader who has read all that there was is told of the new epoch.
func mustFork(s *Store) error {
	at := store.Position{Epoch: s.epochs[0].ID, N: 1}
	_, _, err := s.EntriesAfter(context.Background(), "p", at, 1)
	if !errors.Is(err, store.ErrForked) {
		return fmt.Errorf("a new epoch, and the former position gives %v", err)
	}
	if _, err := s.Verify(context.Background(), nil); err != nil {
		return fmt.Errorf("a new epoch on a store that does not verify: %w", err)
	}
	return nil
}

func mustName(err error) error {
	if errors.Is(err, store.ErrDamaged) {
		return nil
	}
	return fmt.Errorf("%w: which does not name the damage", err)
}

func TestRule16DamageIsNamed(t *testing.T) {
	t.Parallel()
	path := damagedStore(t)
	cmd := startPart(t, "damage", path, t.TempDir(), strconv.Itoa(*flips), strconv.Itoa(*cuts))
	out := lines(t, cmd)
	t.Logf("flipped bytes: %s", <-out)
	if err := cmd.Wait(); err != nil {
		t.Fatalf("the process that reads damaged files: %v", err)
	}
}

// TestOpenFindsABrokenProperty breaks the key of a property's row, in its letters and by
// losing the row: the property would read as one without entries.
func TestOpenFindsABrokenProperty(t *testing.T) {
	for name, breakRow := range map[string]func(props *bbolt.Bucket, key, value []byte) error{
		"other-key": func(props *bbolt.Bucket, key, value []byte) error {
			return errors.Join(props.Delete(key), props.Put([]byte{key[0] ^ 0x10}, value))
		},
		"no-row": func(props *bbolt.Bucket, key, _ []byte) error { return props.Delete(key) },
	} {
		for _, property := range []string{"p", "q"} {
			t.Run(name+"-"+property, func(t *testing.T) {
				path := damagedStore(t)
				db, err := openFile(path, Options{})
				if err != nil {
					t.Fatal(err)
				}
				err = db.Update(func(tx *bbolt.Tx) error {
					props := tx.Bucket(propsBucket)
					return breakRow(props, []byte(property), bytes.Clone(props.Get([]byte(property))))
				})
				if err := errors.Join(err, db.Close()); err != nil {
					t.Fatal(err)
				}
				if s, err := Open(path, Options{}); !errors.Is(err, store.ErrDamaged) {
					t.Errorf("opening gives %v, %v, want the damage", s, err)
				}
			})
		}
	}
}

// TestVerifyFindsMissingRows takes one row out of each bucket, which no checksum shows.
func TestVerifyFindsMissingRows(t *testing.T) {
	for _, bucket := range allBuckets {
		if bytes.Equal(bucket, metaBucket) || bytes.Equal(bucket, epochsBucket) {
			continue
		}
		t.Run(string(bucket), func(t *testing.T) {
			s := reopen(t, damagedStore(t))
			err := s.db.Update(func(tx *bbolt.Tx) error {
				key, _ := tx.Bucket(bucket).Cursor().First()
				return tx.Bucket(bucket).Delete(bytes.Clone(key))
			})
			if err != nil {
				t.Fatal(err)
			}
			if _, err := s.Verify(t.Context(), nil); !errors.Is(err, store.ErrDamaged) {
				t.Errorf("a row taken out of %s: Verify = %v, want ErrDamaged", bucket, err)
			}
		})
	}
}

// TestFoldAgain: a store folded by another version of the fold is folded again on opening.
func TestFoldAgain(t *testing.T) {
	s := reopen(t, damagedStore(t))
	err := s.db.Update(func(tx *bbolt.Tx) error {
		features := tx.Bucket(featuresBucket)
		key, sealed := features.Cursor().First()
		key = bytes.Clone(key)
		newest := bytes.Clone(sealed[sealLen : sealLen+8])
		if err := features.Put(key, seal(key, newest, register.NewState(string(key[4:])).Encode())); err != nil {
			return err
		}
		return tx.Bucket(metaBucket).Put(formatKey, seal(formatKey, []byte{diskFormat, register.Version, register.StateVersion + 1}))
	})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Verify(t.Context(), nil); !errors.Is(err, store.ErrDamaged) {
		t.Fatalf("the planted state verifies: %v", err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	mustVerify(t, reopen(t, s.path))
}

// TestFirstDiskFormatIsReadAndBroughtUp: a file of the first disk format, with its index of
// places, is read as it is where it cannot be written, and is of the present format once it can.
func TestFirstDiskFormatIsReadAndBroughtUp(t *testing.T) {
	s := reopen(t, damagedStore(t))
	want, err := everything(s)
	if err != nil {
		t.Fatal(err)
	}
	err = s.db.Update(func(tx *bbolt.Tx) error {
		places, err := tx.CreateBucket(cellsBucket)
		if err != nil {
			return err
		}
		for i := range 5000 {
			if err := places.Put(u32(uint32(i)), nil); err != nil {
				return err
			}
		}
		return tx.Bucket(metaBucket).Put(formatKey, seal(formatKey, []byte{1, register.Version, register.StateVersion}))
	})
	if err := errors.Join(err, s.Close()); err != nil {
		t.Fatal(err)
	}
	for _, o := range []Options{{ReadOnly: true}, {}, {}, {ReadOnly: true}} {
		s, err := Open(s.path, o)
		if err != nil {
			t.Fatalf("opening it with %+v: %v", o, err)
		}
		if got, err := everything(s); err != nil || got != want {
			t.Errorf("opened with %+v it tells otherwise than before: %v", o, err)
		}
		mustVerify(t, s)
		var format []byte
		var places bool
		err = s.view(func(tx *bbolt.Tx) (err error) {
			places = tx.Bucket(cellsBucket) != nil
			format, err = unseal(formatKey, tx.Bucket(metaBucket).Get(formatKey))
			format = bytes.Clone(format)
			return err
		})
		if first := format[0] == withPlaces; err != nil || first != places || !o.ReadOnly && first {
			t.Errorf("opened with %+v: format %d, index of places there: %t, %v", o, format[0], places, err)
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// TestOneProcessAtATime: a second server on one file fails fast and says why.
func TestOneProcessAtATime(t *testing.T) {
	s := openNew(t)
	start := time.Now()
	if _, err := Open(s.path, Options{LockTimeout: 50 * time.Millisecond}); err == nil || time.Since(start) > 5*time.Second {
		t.Errorf("opening a store that is open = %v after %v, want an error at once", err, time.Since(start))
	}
}

// TestRule16RingsAreRefused makes a branch page lead to itself, which bbolt would follow
// until the stack is full.
func TestRule16RingsAreRefused(t *testing.T) {
	s := openNew(t)
	m := &storetest.Maker{Property: "p", Device: "a"}
	for range 40 {
		var raw []json.RawMessage
		for range 25 {
			raw = append(raw, m.Entry("f", nil, "notes", `"a note to fill pages with"`))
		}
		appendNew(t, s, raw...)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	file, err := os.ReadFile(s.path)
	if err != nil {
		t.Fatal(err)
	}
	meta, err := readMeta(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	rings := 0
	walk := treeWalk{pages: pageReader{file: bytes.NewReader(file), meta: meta}, seen: make([]bool, meta.pages)}
	roots, err := walk.level(meta.root)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range roots {
		page := file[id*uint64(meta.pageSize):]
		if order.Uint16(page[8:]) != branchPage {
			continue
		}
		broken := bytes.Clone(file)
		order.PutUint64(broken[id*uint64(meta.pageSize)+pageHeader+8:], id)
		if err := os.WriteFile(s.path, broken, 0o600); err != nil {
			t.Fatal(err)
		}
		if _, err := Open(s.path, Options{}); !errors.Is(err, store.ErrDamaged) {
			t.Errorf("opening a store whose page %d leads to itself = %v, want ErrDamaged", id, err)
		}
		rings++
	}
	if rings == 0 {
		t.Error("the store has no branch page to break")
	}
}
