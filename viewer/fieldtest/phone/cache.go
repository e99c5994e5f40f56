package phone

import (
	"os"
	"path/filepath"
)

// EmptyHTTPCache removes what the browser has cached of its own accord, as it does when room
// is short or some weeks have passed: answers, compiled scripts and programs. What pages
// stored themselves stays: databases, Cache Storage and service workers. The phone must be off.
func (p *Phone) EmptyHTTPCache() {
	p.t.Helper()
	if p.running {
		p.t.Fatal("the browser has its cache open")
	}
	removed := 0
	for _, name := range []string{"Cache", "Code Cache", "GPUCache"} {
		for _, under := range []string{"Default", "."} {
			folder := filepath.Join(p.profile, under, name)
			if _, err := os.Stat(folder); err != nil {
				continue
			}
			if err := os.RemoveAll(folder); err != nil {
				p.t.Fatal(err)
			}
			removed++
		}
	}
	if removed == 0 {
		p.t.Fatalf("%s has no cache: the browser keeps it elsewhere", p.profile)
	}
}
