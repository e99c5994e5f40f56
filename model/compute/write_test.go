package compute

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"
)

// wide has a field of every type that an answer may have, filled and empty.
type wide struct {
	Number  float64      `json:"number"`
	Maybe   *float64     `json:"maybe"`
	Left    *float64     `json:"left,omitempty"`
	Whole   int          `json:"whole,omitempty"`
	Yes     bool         `json:"yes,omitempty"`
	Text    string       `json:"text"`
	Little  string       `json:"little,omitempty"`
	List    []float64    `json:"list"`
	Short   []string     `json:"short,omitempty"`
	Place   [2]float64   `json:"place,omitempty"`
	Rows    []*wideRow   `json:"rows"`
	Deep    [][][2]int64 `json:"deep"`
	Row     wideRow      `json:"row,omitempty"`
	wideRow              // its fields stand beside the others
}

type wideRow struct {
	Off *float64 `json:"offM,omitempty"`
	Why string   `json:"why"`
}

func standard(t testing.TB, v any) string {
	t.Helper()
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		t.Fatal(err)
	}
	return string(bytes.TrimSuffix(b.Bytes(), []byte("\n")))
}

func FuzzWrite(f *testing.F) {
	f.Add(0.1, "a \"b\" \\ <c> & é \u2028\u2029 \x00\x1f\x7f\b\f\n\r\t \xff\xc3", 3, true)
	for _, n := range []float64{0, math.Copysign(0, -1), 1e-6, 9.99e-7, 1e-9, -1e-10, 1e20, 1e21, 123456789012345678, 5e-324, math.MaxFloat64, 1e-100} {
		f.Add(n, "", 0, false)
	}
	f.Fuzz(func(t *testing.T, n float64, text string, length int, filled bool) {
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return // an answer never holds one: encode refuses it
		}
		v := wide{Number: n, Text: text, Whole: length, Yes: filled, Place: [2]float64{n, -n}}
		if filled {
			v.Maybe, v.Left, v.Little, v.Off, v.Why = &n, &n, text, &n, text
			v.List, v.Short, v.Deep = []float64{n, n / 3}, []string{text}, [][][2]int64{{{1, int64(length)}}, {}, nil}
			v.Rows = []*wideRow{nil, {}, {Off: &n, Why: text}}
		}
		got, err := shapes{}.encode(&v, allDigits, 0, MaxInput, nil)
		if n == 0 { // minus nought is written as nought, and lists that are nil as empty
			n, v.Number, v.Place = 0, 0, [2]float64{}
			clear(v.List)
		}
		if filled {
			v.Deep[2] = [][2]int64{}
		} else {
			v.List, v.Rows, v.Deep = []float64{}, []*wideRow{}, [][][2]int64{}
		}
		if want := standard(t, v); err != nil || string(got) != want {
			t.Errorf("encode, %v\n got %s\nwant %s", err, got, want)
		}
	})
}
