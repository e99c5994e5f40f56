package compute

import (
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// What the phone's build must not carry, and why.
var tooHeavy = map[string]string{
	"github.com/paulmach/orb/geojson": "it pulls in a database driver's encoder: megabytes",
	"net/http":                        "the page fetches; the model never does",
	"net":                             "the model is pure",
	"text/template":                   "it keeps every exported method in the build",
	"html/template":                   "it keeps every exported method in the build",
	"math/rand":                       "the same input gives the same answer",
	"math/rand/v2":                    "the same input gives the same answer",
	"go.etcd.io/bbolt":                "it does not compile for the phone",
}

func TestBuildForThePhoneIsLight(t *testing.T) {
	list := exec.Command("go", "list", "-deps", ".")
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := list.Output()
	if err != nil {
		t.Fatalf("go list -deps for the phone: %v", err)
	}
	packages := strings.Fields(string(out))
	if !slices.Contains(packages, "headcut/model/levelling") {
		t.Fatalf("%d packages, and not levelling among them", len(packages))
	}
	for heavy, why := range tooHeavy {
		if slices.Contains(packages, heavy) {
			t.Errorf("compute depends on %s: %s", heavy, why)
		}
	}
}
