package parity

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"headcut/model"
	"headcut/model/modeltest"
)

// BenchmarkPlanOfALongGully plans 10,000 levels with three heights side by side in a slowed browser, each time after
// an entry about a dam; the goal is 150 ms. Of the processor's time, which other programs do not lengthen, it tells too.
func BenchmarkPlanOfALongGully(b *testing.B) {
	put := model.Each(modeltest.LongGully(), func(f model.Feature) string {
		f.Fields["kind"] = json.RawMessage(`"` + f.Kind + `"`)
		if f.Geometry != nil {
			f.Fields["geometry"] = model.AppendGeometry(nil, f.Geometry)
		}
		text, err := json.Marshal(map[string]any{"id": f.ID, "fields": f.Fields})
		if err != nil {
			b.Fatal(err)
		}
		return string(text)
	})
	p := loaded(b)
	eval[int](p, fmt.Sprintf(`c.sheets({property: "p", put: %s}), globalThis.dam = %s,
		globalThis.plan = () => {
			const asked = {property: "p", put: [dam], request: {of: "g", plans: "dams", compare: {crestHeightM: [0.3, 0.4, 0.5]}}};
			const from = performance.now(), answer = c.plan(asked), took = performance.now() - from;
			if (!answer.ok || answer.output.beside.length != 3 || !answer.output.beside[2].count) throw new Error(JSON.stringify(answer).slice(0, 300));
			return took;
		}, 1`, "["+strings.Join(put, ",")+"]", put[len(put)-1]))
	for range 10 { // a browser compiles what is called often a second time, and well
		eval[float64](p, "plan()")
	}
	p.slow()
	clock, before := 0.0, p.taskMillis()
	for range b.N {
		clock += eval[float64](p, "plan()")
	}
	b.ReportMetric(clock/float64(b.N), "ms/plan")
	b.ReportMetric((p.taskMillis()-before)/float64(b.N), "processor-ms/plan")
}
