package export

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Programs that judge our files run live here. One that is missing fails the test: a
// check that did not run proves nothing.

const schemas = "../testdata/schemas"

// judge runs a program and returns what it printed; a status other than 0 or a word on
// standard error fails the test.
func judge(t testing.TB, name string, args ...string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatalf("%s is not installed: run make test, which installs it", name)
	}
	catalog, err := filepath.Abs(filepath.Join(schemas, "catalog.xml"))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), "CPL_DEBUG=OFF", "LC_ALL=C.UTF-8", "XML_CATALOG_FILES="+catalog)
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	err = cmd.Run()
	said := complaint.String()
	if name == "xmllint" && strings.HasSuffix(said, " validates\n") && strings.Count(said, "\n") == 1 {
		said = ""
	}
	if err != nil || said != "" {
		t.Fatalf("%s %s: %v\n%s%s", name, strings.Join(args, " "), err, said, out.String())
	}
	return out.String()
}

func jsonSchema(t testing.TB, path, schema string) {
	t.Helper()
	judge(t, "/usr/bin/python3", "-W", "ignore", "-m", "jsonschema", "-i", path, filepath.Join(schemas, "geojson", schema))
}

func TestSchemas(t *testing.T) {
	sources := map[string]Source{
		"whole":  {Property: "Sandalwood Run", Features: of(land(t)...), Figures: figuresOf(of(land(t)...))},
		"shared": {Property: "Sandalwood Run", Features: of(land(t)...), Figures: figuresOf(of(land(t)...)), ForLink: true},
		"empty":  {Property: "No features", Features: of()},
	}
	for name, source := range sources {
		t.Run("geojson-"+name, func(t *testing.T) {
			path := onDisk(t, "geojson", source)
			jsonSchema(t, path, "rfc7946_strict.schema.json")
			jsonSchema(t, path, "FeatureCollection.json")
			judge(t, "jq", "-e", ".features | length >= 0", path) // strict JSON: no NaN
		})
		t.Run("kml-"+name, func(t *testing.T) {
			judge(t, "xmllint", "--nonet", "--noout", "--schema", filepath.Join(schemas, "kml22", "ogckml22.xsd"), onDisk(t, "kml", source))
		})
	}
}
