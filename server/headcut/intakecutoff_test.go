package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

// manyRows is a file of so many points.
func manyRows(t *testing.T, n int) string {
	t.Helper()
	var text strings.Builder
	text.WriteString("latitude,longitude,name,kind\n")
	for i := range n {
		fmt.Fprintf(&text, "-22.%05d,147.3,Dam %d,check-dam\n", i, i)
	}
	path := filepath.Join(t.TempDir(), "many.csv")
	if err := os.WriteFile(path, []byte(text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// runHeadcut runs a command of the real program to its end.
func runHeadcut(t *testing.T, args ...string) (out string, err error) {
	t.Helper()
	text, err := exec.Command("headcut", args...).CombinedOutput()
	return string(text), err
}

func emptyData(t *testing.T, dir string) {
	t.Helper()
	d, err := openDataDir(context.Background(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	if err := d.close(context.Background()); err != nil {
		t.Fatal(err)
	}
}

var listed = regexp.MustCompile(`^1  .*, many\.csv: (\d+) new, 0 edited(.*)\n$`)

// cutOffIntake reads of the list that intake 1 was cut off, and how many features it made.
func cutOffIntake(t *testing.T, data string, rows int) (made int) {
	t.Helper()
	out, err := runHeadcut(t, "intake", "--data", data, "--list")
	found := listed.FindStringSubmatch(out)
	if err != nil || found == nil || !strings.HasPrefix(found[2], ": cut off") {
		t.Fatalf("the list of intakes is %q (%v), want intake 1 cut off", out, err)
	}
	fmt.Sscan(found[1], &made)
	exported, err := runHeadcut(t, "export", "--data", data, "--property", "Ridge Block", "--out", "-")
	if n := strings.Count(exported, `"name":"Dam `); err != nil || n != made || made == 0 || made >= rows {
		t.Fatalf("the list says that %d of %d features came in, and %d are here (%v)", made, rows, n, err)
	}
	return made
}

// goesOn takes the same file in again and then undoes it.
func goesOn(t *testing.T, data, file string, rows, made int) {
	t.Helper()
	out, err := runHeadcut(t, "intake", "--data", data, "--property", "Ridge Block", file)
	if err != nil || !strings.Contains(out, fmt.Sprintf("%d new, %d known already", rows-made, made)) || !strings.Contains(out, "It was cut off before") {
		t.Fatalf("taken in again: %v\n%s", err, out)
	}
	if out, err = runHeadcut(t, "intake", "--data", data, "--list"); err != nil || listed.FindStringSubmatch(out) == nil || !strings.Contains(out, fmt.Sprintf(": %d new, 0 edited\n", rows)) {
		t.Fatalf("the list is %q (%v), want one intake of %d features", out, err, rows)
	}
	if out, err = runHeadcut(t, "intake", "--data", data, "--undo", "1"); err != nil || !strings.Contains(out, fmt.Sprintf("%d features struck out", rows)) {
		t.Fatalf("undone: %v\n%s", err, out)
	}
}

// An intake that is killed is listed with what came in, goes on when the file is taken in again, and can
// be undone whole; or what came in can be undone at once.
func TestKilledIntakeIsKnown(t *testing.T) {
	t.Parallel()
	const rows = 12_000
	file := manyRows(t, rows)
	for _, undo := range []bool{false, true} {
		t.Run(fmt.Sprint("undo: ", undo), func(t *testing.T) {
			t.Parallel()
			data := filepath.Join(t.TempDir(), "data")
			emptyData(t, data)
			register := filepath.Join(data, registerFile)
			before, err := os.Stat(register)
			if err != nil {
				t.Fatal(err)
			}
			taking := exec.Command("headcut", "intake", "--data", data, "--property", "Ridge Block", file)
			if err := taking.Start(); err != nil {
				t.Fatal(err)
			}
			for { // until some of it is in
				if now, err := os.Stat(register); err == nil && now.Size() > before.Size()+512<<10 {
					break
				}
				if syscall.Kill(taking.Process.Pid, 0) != nil {
					break
				}
				time.Sleep(time.Millisecond)
			}
			if err := taking.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			if err := taking.Wait(); err == nil {
				t.Fatal("the intake came to its end before it was killed")
			}
			made := cutOffIntake(t, data, rows)
			if !undo {
				goesOn(t, data, file, rows, made)
				return
			}
			out, err := runHeadcut(t, "intake", "--data", data, "--undo", "1")
			if err != nil || !strings.Contains(out, fmt.Sprintf("%d features struck out", made)) {
				t.Fatalf("undone: %v\n%s", err, out)
			}
			if out, _ = runHeadcut(t, "intake", "--data", data, "--list"); !strings.Contains(out, "undone") || strings.Contains(out, "cut off") {
				t.Errorf("after undoing the list is %q", out)
			}
		})
	}
}

// An intake that a full disk cuts off says what is in and what to do, and is listed.
func TestIntakeOnAFullDiskIsKnown(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=16m"); err != nil {
		t.Fatalf("mounting a small disk: %v; run this test as root, as make test does", err)
	}
	defer syscall.Unmount(dir, syscall.MNT_DETACH)
	const rows = 12_000
	file, data := manyRows(t, rows), filepath.Join(dir, "data")
	emptyData(t, data)
	out, err := runHeadcut(t, "intake", "--data", data, "--property", "Ridge Block", file)
	if err == nil || !strings.Contains(out, "is full: intake 1 was cut off; it made ") || !strings.Contains(out, "take the same file in again") || strings.Contains(out, "nothing was changed") || strings.Contains(out, "refused whole") {
		t.Fatalf("an intake on a full disk says %q (%v)", out, err)
	}
	if err := syscall.Mount("tmpfs", dir, "tmpfs", syscall.MS_REMOUNT, "size=256m"); err != nil {
		t.Fatal(err)
	}
	made := cutOffIntake(t, data, rows)
	if !strings.Contains(out, fmt.Sprintf("it made %d and edited 0 features", made)) {
		t.Errorf("the command said %q, and %d features are here", out, made)
	}
	goesOn(t, data, file, rows, made)
}
