package storage

import (
	"context"
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"headcut/viewer/fieldtest/phone"
)

// limit sets how many bytes the browser gives the page, 0 for the usual. It must be set
// before the database is first written to: Chromium remembers for a while how much was
// left. What navigator.storage.estimate() says is not changed by it; for years it has been
// a round number that says little about the disk.
func (s tab) limit(bytes float64) {
	s.t.Helper()
	params := storage.OverrideQuotaForOriginParams{Origin: phone.Eval[string](s.Page, "location.origin")}
	if bytes > 0 {
		params.QuotaSize = &bytes
	}
	s.Do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, storage.OverrideQuotaForOrigin, params)
		return err
	}))
}

// Row 11: when the storage is full, photos stop and entries go on, on the room that was
// kept for them; nothing that was saved is lost; when there is room, photos go on.
func TestRow11FullStorage(t *testing.T) {
	const allowed = 9.5 * (1 << 20) // of which 5 are given to ballast
	p := phone.New(t, phone.NewOffice(t))
	s := tabOf(t, p.Page)
	s.limit(allowed)
	s.open("{}")
	s.enrol("phone-1")
	did[any](s, `(async () => { while (!(await store.db.read(db => db.count("ballast")))) await new Promise(r => setTimeout(r, 10)); })()`)
	const photo = `[{set: {kind: "note"}, photo: {bytes: crypto.getRandomValues(new Uint8Array(65536)).buffer, takenFor: ""}}]`
	const large = `[{set: {kind: "note"}, photo: {bytes: (b => { for (let i = 0; i < b.length; i += 65536) crypto.getRandomValues(b.subarray(i, i + 65536)); return b.buffer; })(new Uint8Array(2**20)), takenFor: ""}}]`
	capture := func(drafts string) outcome[any] {
		return tried[any](s, fmt.Sprintf("store.capture(%q, %s)", property, drafts))
	}
	photos, got := 0, outcome[any]{}
	for ; photos < 20; photos++ {
		if got = capture(large); got.Kind != "" {
			break
		}
	}
	if photos == 0 || photos > 8 || got.Kind != "full" || got.Todo == "" {
		t.Fatalf("with room for 4 photos of 1 MiB, %d were saved, then %q: %s %s", photos, got.Kind, got.Words, got.Todo)
	}
	s.want("when photos are full", count{Entries: photos, Unsent: photos, PhotosUnsent: photos, PhotoBytesUnsent: photos << 20})
	const entries = 400 // more than a day's
	for i := range entries / 10 {
		drafts := ""
		for range 10 {
			drafts += fmt.Sprintf(`{set: {kind: "note", note: "%d"}},`, i)
		}
		if got := capture("[" + drafts + "]"); got.Kind != "" {
			t.Fatalf("with storage full, after %d entries: %s: %s", i*10, got.Kind, got.Words)
		}
	}
	want := count{Entries: photos + entries, Unsent: photos + entries, PhotosUnsent: photos, PhotoBytesUnsent: photos << 20}
	s.want("after a day without photos", want)
	p.Restart()
	s = tabOf(t, p.Page)
	s.limit(allowed)
	s.open("{}")
	s.want("after a start", want)
	if got := capture(large); got.Kind != "full" {
		t.Errorf("after a start, with storage full, a photo is taken: %+v", got)
	}
	if got := capture(`[{set: {note: "still"}}]`); got.Kind != "" {
		t.Errorf("after a start, with storage full: %s: %s", got.Kind, got.Words)
	}
	intact := did[int](s, `store.outbox.photosWaiting().then(async all => { let good = 0;
		for (const p of all) good += [...new Uint8Array(await crypto.subtle.digest("SHA-256", await p.bytes()))].map(b => b.toString(16).padStart(2, "0")).join("") === p.sha;
		return good; })`)
	if intact != photos {
		t.Errorf("%d of %d photos are intact", intact, photos)
	}
	s.limit(0)
	if got := capture(photo); got.Kind != "" {
		t.Errorf("with room again a photo is refused: %s: %s", got.Kind, got.Words)
	}
}
