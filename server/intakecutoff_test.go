package server

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"

	"headcut/sync/handover"
)

// ending is a file during whose reading the command is ended.
type ending struct {
	io.Reader
	left int
	end  func()
}

func (e *ending) Read(p []byte) (int, error) {
	n, err := e.Reader.Read(p[:min(len(p), 4096)])
	if e.left -= n; e.left < 0 {
		e.end()
	}
	return n, err
}

// What is handed in from a phone's file is known as far as it came, while another file comes in between,
// and goes on.
func TestHandingInThatIsCutOffIsKnown(t *testing.T) {
	s, _, _, property := twoPhones(t)
	const entries = 1500
	var file bytes.Buffer
	if err := handover.Write(&file, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at}, saved(t, property, 1, entries)); err != nil {
		t.Fatal(err)
	}
	ctx, end := context.WithCancel(t.Context())
	taken, err := s.takeHandover(ctx, "saved.tar", clerk, &ending{bytes.NewReader(file.Bytes()), file.Len() * 8 / 10, end})
	if err != nil || taken.CutOff == nil || taken.Intake != 1 || !strings.Contains(taken.CutOff.Reason, "after 1000 entries") {
		t.Fatalf("got %+v (%v), want it cut off after 1000 entries", taken, err)
	}
	if all := s.Intakes(t.Context()); len(all) != 1 || !all[0].CutOff || all[0].Underway || all[0].New != takeInAtOnce {
		t.Fatalf("the intakes are %+v, want one that was cut off after %d", all, takeInAtOnce)
	}
	if other := carryAs(t, s, handover.About{Device: "d-1", Author: "R. Field", MadeAt: s.at.Add(1)}, clerk, 0, saved(t, property, 2000, 3)...); other.Intake != 2 {
		t.Fatalf("another file: %+v", other)
	}
	if again := carryFile(t, s, clerk, file.Bytes()); again.Intake != 1 || !again.Resumed || again.Known != takeInAtOnce || again.HandedIn != entries-takeInAtOnce {
		t.Errorf("taken in again: %+v", again)
	}
	if all := s.Intakes(t.Context()); len(all) != 2 || all[0].CutOff || all[0].New != entries || all[1].New != 3 {
		t.Errorf("the intakes are %+v, want one of %d and one of 3", all, entries)
	}
	if undone, err := s.UndoIntake(t.Context(), 1, ""); err != nil || undone.Struck != entries || len(undone.Kept) > 0 {
		t.Errorf("undone: %d struck out, %d kept (%v), want %d of one file", undone.Struck, len(undone.Kept), err, entries)
	}
}
