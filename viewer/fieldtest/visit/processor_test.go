package visit

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// browserMillis is the processor's time so far of every browser process that this test has
// started, in milliseconds: the ticks in user and kernel mode of proc(5), fields 14 and 15,
// of which Linux tells 100 a second.
func browserMillis(t *testing.T) float64 {
	t.Helper()
	parent, ticks, browser := map[int]int{}, map[int]float64{}, map[int]bool{}
	files, err := filepath.Glob("/proc/[0-9]*/stat")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			continue // it has ended meanwhile
		}
		var pid int
		if _, err := fmt.Sscanf(string(raw), "%d", &pid); err != nil {
			t.Fatal(err)
		}
		open, last := bytes.IndexByte(raw, '('), bytes.LastIndexByte(raw, ')')
		fields := strings.Fields(string(raw[last+1:])) // from field 3, the state
		parent[pid], _ = strconv.Atoi(fields[1])
		user, _ := strconv.ParseFloat(fields[11], 64)
		system, _ := strconv.ParseFloat(fields[12], 64)
		ticks[pid], browser[pid] = user+system, strings.HasPrefix(string(raw[open+1:last]), "chrom")
	}
	sum := 0.0
	for pid := range ticks {
		for at := pid; at > 1 && browser[pid]; at = parent[at] {
			if at == os.Getpid() {
				sum += ticks[pid]
				break
			}
		}
	}
	if sum == 0 {
		t.Fatal("no process of the browser was found")
	}
	return sum * 10
}
