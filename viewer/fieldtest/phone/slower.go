package phone

import "time"

// idleMS is what a page takes for the work below on the machine that the budgets were set on, an AMD EPYC, while
// it does nothing else.
const idleMS = 5.0

// Within stretches a limit by how many times slower the machine is at this moment than the one
// that the limit was set on, others on it included: a baseline of the same run. The factor is
// the page's throttle.
func (p *Page) Within(limit time.Duration, factor float64) time.Duration {
	p.t.Helper()
	took := Eval[float64](p, `(async () => {
		const all = [];
		for (let n = 0; n < 9; n++) {
			await new Promise(done => setTimeout(done, 5));
			const began = performance.now();
			let x = 2463534242, sum = 0;
			for (let i = 0; i < 3e6; i++) { x ^= x << 13; x ^= x >>> 17; x ^= x << 5; sum = (sum + x) | 0; }
			globalThis.ignored = sum;
			all.push(performance.now() - began);
		}
		return all.sort((a, b) => a - b)[4];
	})()`)
	slower := max(1, took/(idleMS*factor))
	p.t.Logf("the machine is %.1f times slower than an idle one", slower)
	return time.Duration(float64(limit) * slower)
}
