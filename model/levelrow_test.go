package model

import (
	"encoding/json"
	"reflect"
	"testing"
)

// FuzzPlainLevelRows: what the quick reader takes, the thorough one takes as the same.
func FuzzPlainLevelRows(f *testing.F) {
	for _, seed := range []string{
		`[{"point":"BM 1","bs":1.234,"knownLevelM":100},{"is":1.2,"feature":"g-1","spot":"bed","chainageM":10.5},{"point":"BM 1","fs":1.5,"remark":"closed"}]`,
		`[]`, `[{}]`, `[{"bs":1,"bs":2}]`, `[{"BS":1}]`, `[{"bs":null}]`, `[{"bs":-0.5,"inverted":true}]`, `[{"point":"a\"b"}]`, `[{"point":"ä"}]`,
		`[{"point":"a"} ]`, `[{"point":1}]`, `[{"bs":01}]`, `[{"point":"}],["}]`, `[{"bs":1,}]`, `{}`, `null`, `[{"bookedLevelM":1.50,"distanceM":3}]`, `[{"point":"`,
		`[{"is":1.2,"feature":"x","spot":"section","offsetM":-2.5},{"is":1.2,"spot":"section","offsetM":1e3}]`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		quick, ok := plainLevelRows(raw)
		if !ok {
			return
		}
		var thorough []LevelRow
		if err := json.Unmarshal(raw, &thorough); err != nil || !reflect.DeepEqual(quick, thorough) {
			t.Errorf("%s: the quick reader gives %+v, the thorough one %+v, %v", raw, quick, thorough, err)
		}
	})
}

// TestPlainLevelRowsAreUsual: the books of phones are read by the quick reader.
func TestPlainLevelRowsAreUsual(t *testing.T) {
	const book = `[{"point":"BM 1","bs":1.234,"knownLevelM":100},{"is":1.2,"feature":"g-1","spot":"bed","chainageM":10.5},{"is":1.1,"feature":"x","spot":"section","offsetM":-2.5},{"point":"BM 1","fs":1.501,"distanceM":80}]`
	if rows, ok := plainLevelRows([]byte(book)); !ok || len(rows) != 4 || *rows[1].ChainageM != 10.5 || *rows[2].OffsetM != -2.5 {
		t.Errorf("%s is read as %+v, %v", book, rows, ok)
	}
}
