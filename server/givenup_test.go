package server

import (
	"context"
	"encoding/json"
	"log/slog"
	"net/url"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"headcut/sync/store"
	"headcut/sync/store/boltstore"
	"headcut/viewer"
)

// leaver is a store of which a caller goes away in the middle of a commit that it waits for.
type leaver struct {
	store.Register
	leave  context.CancelFunc
	waits  atomic.Bool            // the caller waits as long as the commit takes, whatever becomes of it
	during func(part string) bool // whether to go during the commit of what is appended now
	now    atomic.Bool            // it is that commit
	gone   chan struct{}          // it was given up, and what is there was counted
}

func (l *leaver) Append(ctx context.Context, part string, raw []json.RawMessage, may ...store.May) ([]store.Receipt, error) {
	l.waits.Store(ctx.Done() == nil)
	if l.during != nil && l.during(part) {
		l.during = nil
		l.now.Store(true)
	}
	return l.Register.Append(ctx, part, raw, may...)
}

func (l *leaver) Newest(ctx context.Context, part string) (uint64, error) {
	n, err := l.Register.Newest(ctx, part)
	select {
	case l.gone <- struct{}{}:
	default:
	}
	return n, err
}

// clock is asked by each commit, as it begins.
func (l *leaver) clock() time.Time {
	if l.now.CompareAndSwap(true, false) {
		select { // what was counted before
		case <-l.gone:
		default:
		}
		l.leave()
		if !l.waits.Load() {
			<-l.gone
		}
	}
	return time.Now()
}

func leaverSite(t *testing.T) (*Server, *leaver) {
	t.Helper()
	l := &leaver{gone: make(chan struct{}, 1)}
	dir := t.TempDir()
	bolt, err := boltstore.Open(filepath.Join(dir, "register.bolt"), boltstore.Options{Now: l.clock})
	if err != nil {
		t.Fatal(err)
	}
	l.Register = bolt
	photos, err := boltstore.OpenPhotos(filepath.Join(dir, "photos"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := New(t.Context(), Config{Store: l, Photos: photos, Pages: viewer.Pages(), Computations: viewer.Computations(), Log: slog.New(slog.DiscardHandler), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = s.Close(context.Background())
		_ = bolt.Close()
	})
	return s, l
}

// live counts what of a property is not struck out.
func live(t *testing.T, s *Server, property string) (n int) {
	t.Helper()
	for f, err := range s.folded(t.Context(), property) {
		if err != nil {
			t.Fatal(err)
		}
		if !f.Struck {
			n++
		}
	}
	return n
}

// What is on its way to the disk when the command of an intake is killed is of the intake: it is undone
// with it, and counted.
func TestUndoReachesWhatWasOnItsWay(t *testing.T) {
	s, l := leaverSite(t)
	ctx, leave := context.WithCancel(t.Context())
	batch := 0
	l.leave = leave
	l.during = func(part string) bool {
		if part != officeProperty {
			batch++
		}
		return batch == 2
	}
	take := func(ctx context.Context) Taken {
		t.Helper()
		taken, err := s.takeFile(ctx, strings.NewReader(points(2500)), url.Values{"property": {"Saltbush"}, "file": {"x.geojson"}})
		if err != nil {
			t.Fatal(err)
		}
		return taken
	}
	taken := take(ctx)
	if taken.CutOff == nil || taken.Intake != 1 {
		t.Fatalf("the intake whose command was killed: %+v", taken)
	}
	there := live(t, s, taken.Property.ID)
	if all := s.Intakes(t.Context()); len(all) != 1 || !all[0].CutOff || all[0].New != there {
		t.Errorf("the list is %+v, and %d are there", all, there)
	}
	if again := take(t.Context()); !again.Resumed || again.NewFeatures != 2500-there {
		t.Errorf("taken in again: %+v, with %d there before", again, there)
	}
	if undone, err := s.UndoIntake(t.Context(), 1, ""); err != nil || undone.Struck != 2500 || live(t, s, taken.Property.ID) > 0 {
		t.Errorf("undone: %d struck out, %v; %d left", undone.Struck, err, live(t, s, taken.Property.ID))
	}
}

// An intake that was cut off, and whose next command is killed while the last of it is on its way, counts all
// that came in.
func TestCountOfWhatCameInWhileKilled(t *testing.T) {
	s, l := leaverSite(t)
	killed := func(at int) Taken {
		t.Helper()
		ctx, leave := context.WithCancel(t.Context())
		batch := 0
		l.leave = leave
		l.during = func(part string) bool {
			if part != officeProperty {
				batch++
			}
			return batch == at
		}
		taken, err := s.takeFile(ctx, strings.NewReader(points(2500)), url.Values{"property": {"Saltbush"}, "file": {"x.geojson"}})
		if err != nil {
			t.Fatal(err)
		}
		return taken
	}
	if taken := killed(2); taken.CutOff == nil || taken.Intake != 1 {
		t.Fatalf("the intake whose command was killed: %+v", taken)
	}
	if taken := killed(1); !taken.Resumed || taken.NewFeatures != 500 {
		t.Fatalf("the next, which was killed too: %+v", taken)
	}
	if all := s.Intakes(t.Context()); len(all) != 1 || all[0].CutOff || all[0].New != 2500 {
		t.Errorf("the list is %+v, want 2500 new", all)
	}
}

// A command that is killed while the office's register is written leaves an office that can be written,
// and knows what was written.
func TestOfficeWritesAfterOneWasKilled(t *testing.T) {
	s, l := leaverSite(t)
	ctx, leave := context.WithCancel(t.Context())
	l.leave, l.during = leave, func(string) bool { return true }
	_, _, err := s.PropertyOrNew(ctx, "Saltbush")
	l.gone <- struct{}{}
	again, made, failed := s.PropertyOrNew(t.Context(), "Saltbush")
	if failed != nil || made != (err != nil) {
		t.Errorf("after a first try that ended with %v: %+v, made: %t, %v", err, again, made, failed)
	}
	stored := 0
	for f, err := range s.store.Features(t.Context(), officeProperty) {
		if err != nil {
			t.Fatal(err)
		}
		if string(f.Fields["kind"]) == `"property"` {
			stored++
		}
	}
	if stored != 1 {
		t.Errorf("%d properties are stored of the name, want 1", stored)
	}
}
