package compute

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"headcut/model/modeltest"
)

// sayable is how many decimals a sentence may give a number of each unit: what an officer
// with a tape and a staff can use.
var sayable = map[string]int{
	"m": 3, "mm": 1, "m2": 2, "m3": 2, "m3/s": 3, "m/s": 2, "mm/h": 1, "min": 2, "%": 2, "ha": 3, "km": 1, "t": 2, "h": 1,
}

// finer are the numbers of sentences that may be finer, with why.
var finer = []struct {
	text *regexp.Regexp
	why  string
}{
	{regexp.MustCompile(`near \[[-0-9., ]+\]`), "a place, in degrees"},
	{regexp.MustCompile(`bare 0\.0275, poor grass`), "roughness as its table prints it"},
	{regexp.MustCompile(`doi 10`), "a name of a paper"},
}

var numberInText = regexp.MustCompile(`\d+\.(\d+)(?:e-?\d+)?(?: (m3/s|mm/h|m/s|m2|m3|mm|min|km|ha|m|t|h|%)(?:[^\w/]|$))?`)

// TestSentencesEndTheirNumbers: no sentence of an answer or a refusal prints a number finer
// than its unit allows, but for one that was typed in. Each number of each golden input is
// also given a tail of digits, one after the other, so that what is worked out of it has one.
func TestSentencesEndTheirNumbers(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range All() {
		for _, g := range modeltest.Goldens(t, c.Name) {
			if g.Input == nil || len(g.Input) > 20_000 {
				continue
			}
			for _, in := range append(tailed(t, g.In()), g.In()) {
				answer, _ := Answer(c.Name, in)
				var v any
				if err := json.Unmarshal(answer, &v); err != nil {
					t.Fatal(err)
				}
				walk(v, "", func(at string, v any) {
					text, _ := v.(string)
					if text == "" || strings.Contains(strings.ToLower(at), "source") {
						return
					}
					for _, f := range finer {
						text = f.text.ReplaceAllString(text, "")
					}
					for _, m := range numberInText.FindAllStringSubmatch(text, -1) {
						most, known := sayable[m[2]]
						if !known {
							most = 3
						}
						number, _, _ := strings.Cut(m[0], " ")
						typed := strings.Contains(string(in), strings.TrimRight(number, "0"))
						if key := c.Name + at + m[2]; len(m[1]) > most && !typed && !seen[key] {
							seen[key] = true
							t.Errorf("%s of %.300s: %s says %s in %q", c.Name, in, at, m[0], text)
						}
					}
				})
			}
		}
	}
}

var numberInJSON = regexp.MustCompile(`[:\[,]-?\d+(\.\d+)?`)

// tailed are the inputs that have a tail of digits on one of their numbers, and one that has
// it on all of them that have decimals.
func tailed(t *testing.T, in []byte) [][]byte {
	var all [][]byte
	var every strings.Builder
	end := 0
	for i, at := range numberInJSON.FindAllIndex(in, -1) {
		old := string(in[at[0]+1 : at[1]])
		v, err := strconv.ParseFloat(old, 64)
		if err != nil {
			t.Fatal(err)
		}
		long := fmt.Sprint(v*1.0012345678 + 0.0000123)
		if i < 40 {
			all = append(all, []byte(string(in[:at[0]+1])+long+string(in[at[1]:])))
		}
		every.Write(in[end : at[0]+1])
		end = at[1]
		if strings.Contains(old, ".") {
			old = long
		}
		every.WriteString(old)
	}
	every.Write(in[end:])
	return append(all, []byte(every.String()))
}
