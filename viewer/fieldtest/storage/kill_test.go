package storage

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"headcut/sync/store/storetest"
	"headcut/viewer/fieldtest/phone"
)

// work records without end, an entry with a photo of 600 KB each time, now and then two
// entries together, and tells the test what was called saved.
const work = `(async () => {
	const photo = () => { const b = new Uint8Array(600_000); for (let i = 0; i < b.length; i += 60_000) crypto.getRandomValues(b.subarray(i, i + 60_000)); return b.buffer; };
	for (let n = 0; ; n++) {
		const drafts = [{feature: "f-" + n % 3, set: {n}, photo: {bytes: photo(), takenFor: ""}}];
		if (n % 4 === 3) drafts.push({set: {kind: "note", n}}, {set: {kind: "note", n}, photo: {bytes: photo(), takenFor: ""}});
		try {
			calledSaved(JSON.stringify(await store.capture("` + property + `", drafts)));
		} catch (e) { calledSaved(JSON.stringify([{entry: "", feature: String(e)}])); }
	}
})()`

// shape is what the page finds of its store after a kill.
type shape struct {
	IDs    []string // of entries, in the order of capture
	Seqs   []uint64
	Photos map[string]string // of each entry, by id: "whole", "torn" or "missing"
	Bytes  int               // photos of which there are bytes
	Notes  int               // photos that are noted
}

const look = `store.db.read(async db => {
	const hex = async b => [...new Uint8Array(await crypto.subtle.digest("SHA-256", b))].map(b => b.toString(16).padStart(2, "0")).join("");
	const entries = (await db.getAllFromIndex("entries", "waiting")), photos = {};
	for (const e of entries.slice(%d)) {
		const list = JSON.parse(e.text).set.photos ?? [];
		const bytes = list.length ? await db.get("photoBytes", list.at(-1)) : null;
		if (list.length) photos[e.id] = !bytes ? "missing" : await hex(bytes) === list.at(-1) ? "whole" : "torn";
	}
	return {ids: entries.map(e => e.id), seqs: entries.map(e => e.seq), photos,
		bytes: await db.count("photoBytes"), notes: await db.count("photos")};
})`

// Row 7: the browser is killed at random moments of capture. Nothing that was called saved
// is lost, nothing is torn, nothing doubled.
func TestRow07Kill(t *testing.T) {
	p, s := newPhone(t)
	random := storetest.Random(t)
	var mu sync.Mutex
	var called []saved
	hear := func() {
		err := chromedp.Listen(s.Context(), func(event any) {
			if e, ok := event.(*runtime.EventBindingCalled); ok && e.Name == "calledSaved" {
				var some []saved
				_ = json.Unmarshal([]byte(e.Payload), &some) // an entry without an id fails below
				mu.Lock()
				called = append(called, some...)
				mu.Unlock()
			}
		})
		if err != nil {
			t.Fatal(err)
		}
		s.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			_, err := cdp.Call(ctx, target, runtime.AddBinding, runtime.AddBindingParams{Name: "calledSaved"})
			return err
		}))
	}
	looked, emptied := 0, 0
	kills := phone.Campaign(4, 100)
	for kill := range kills {
		hear()
		number(s, "("+work+", 1)")
		mu.Lock()
		before := len(called)
		mu.Unlock()
		for deadline := time.Now().Add(phone.Patience); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
			mu.Lock()
			begun := len(called) > before
			mu.Unlock()
			if begun {
				break
			}
		}
		time.Sleep(time.Duration(random.Int64N(int64(500 * time.Millisecond))))
		p.Kill()
		p.Start()
		s = tabOf(t, p.Page)
		s.open("{}")
		switch got := trouble(s); got {
		case "":
		case "gone": // row 8: the browser emptied its store, which a tap brings back
			emptied++
			did[any](s, "store.bringBack()")
		default:
			t.Fatalf("after kill %d the trouble is %q", kill, got)
		}
		got := did[shape](s, fmt.Sprintf(look, looked))
		mu.Lock()
		there := map[string]int{}
		for i, id := range got.IDs {
			there[id]++
			switch {
			case emptied == 0 && got.Seqs[i] != uint64(i+1):
				t.Errorf("after kill %d entry %d has deviceSeq %d, want %d", kill, i, got.Seqs[i], i+1)
			case i > 0 && got.Seqs[i] <= got.Seqs[i-1]: // a number whose entry was cut short is not given again
				t.Errorf("after kill %d entry %d has deviceSeq %d after %d", kill, i, got.Seqs[i], got.Seqs[i-1])
			}
		}
		for _, one := range called {
			if there[one.Entry] != 1 {
				t.Errorf("after kill %d entry %q (%s), which was called saved, is there %d times, want once", kill, one.Entry, one.Feature, there[one.Entry])
			}
		}
		if extra := len(got.IDs) - len(called); extra < 0 {
			t.Errorf("after kill %d there are %d entries fewer than were called saved", kill, -extra)
		} else if extra > 3*(kill+1) { // one capture, of at most three entries, may have been cut before it was told
			t.Errorf("after kill %d there are %d entries more than were called saved", kill, extra)
		}
		mu.Unlock()
		for id, how := range got.Photos {
			if how != "whole" {
				t.Errorf("after kill %d the photo of entry %s is %s", kill, id, how)
			}
		}
		if got.Bytes != got.Notes {
			t.Errorf("after kill %d there are bytes of %d photos and notes of %d", kill, got.Bytes, got.Notes)
		}
		looked = len(got.IDs)
	}
	s.wantFolded("after all kills")
	t.Logf("%d kills, the store emptied by the browser after %d: %d entries called saved, %d there, 0 lost", kills, emptied, len(called), looked)
}
