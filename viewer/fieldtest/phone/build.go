package phone

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"headcut/viewer/tab"
)

var campaign = flag.Bool("campaign", false, "run the long campaigns at full length")

// Campaign is how often to repeat something random: few times, or in full with -campaign.
func Campaign(few, full int) int {
	if *campaign {
		return full
	}
	return few
}

// built is what Main made ready for all tests of the package.
var built struct {
	dir          string // temporary; everything below is in it
	pages        string
	computations string
	root         string // of the module
}

// Main builds the pages and the computations from the sources, unless make just did, runs the tests and ends the
// process. When the process was started to be an office, it is one instead.
//
// Given scripts, files below the viewer folder, it builds those instead of the pages: the
// field page is then empty, and a test brings a script into it with Page.Import. So a part
// of the page can be tested by itself.
func Main(m *testing.M, scripts ...string) {
	if os.Getenv(officeVariable) != "" {
		os.Exit(beOffice())
	}
	flag.Parse()
	code, err := prepared(m, scripts)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		code = 1
	}
	os.Exit(code)
}

func prepared(m *testing.M, scripts []string) (code int, err error) {
	if built.root, err = tab.Root(); err != nil {
		return 1, err
	}
	if _, err = tab.Chromium(); err != nil { // before building what only it can open
		return 1, err
	}
	if built.dir, err = os.MkdirTemp("", "phone"); err != nil {
		return 1, err
	}
	defer os.RemoveAll(built.dir)
	built.pages, built.computations = filepath.Join(built.dir, "pages"), filepath.Join(built.dir, "computations")
	if tab.Built() {
		built.computations = filepath.Join(Viewer(), "wasm", "built")
	} else if err := Build(built.computations, "-unpacked", "-computations"); err != nil {
		return 1, err
	}
	switch {
	case len(scripts) > 0:
		err = buildScripts(scripts)
	case tab.Built():
		built.pages = filepath.Join(Viewer(), "dist")
	default:
		err = Build(built.pages, "-out")
	}
	if err != nil {
		return 1, err
	}
	if err := tab.Alone(); err != nil { // before a test begins, whose time would run
		return 1, err
	}
	return m.Run(), nil
}

// emptyPage stands for the field page in tests of single scripts.
const emptyPage = `<!doctype html>
<html lang="en">
<title>Field</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<link rel="icon" href="/assets/icon.svg">
<div id="page"></div>
`

func buildScripts(scripts []string) error {
	if err := os.MkdirAll(built.pages, 0o755); err != nil {
		return err
	}
	for _, script := range scripts {
		if err := Build(built.pages, "-script", script, "-out"); err != nil {
			return err
		}
	}
	icon, err := os.ReadFile(filepath.Join(Viewer(), "src", "field", "icon.svg"))
	if err != nil {
		return err
	}
	return errors.Join(
		os.WriteFile(filepath.Join(built.pages, "icon.svg"), icon, 0o644),
		os.WriteFile(filepath.Join(built.pages, "field.html"), []byte(emptyPage), 0o644))
}

// BuildOf builds the pages and the computations of another checkout of the repository, by its own
// bundler, into temporary folders.
func BuildOf(t testing.TB, root string) (pages, computations string) {
	t.Helper()
	dir := t.TempDir()
	pages, computations = filepath.Join(dir, "pages"), filepath.Join(dir, "computations")
	err := errors.Join(buildIn(root, pages, "-out"), buildIn(root, computations, "-unpacked", "-computations"))
	if err != nil {
		t.Fatal(err)
	}
	return pages, computations
}

// Build runs the bundler of the viewer with flags that end before the name of a folder.
func Build(dir string, flags ...string) error { return buildIn(built.root, dir, flags...) }

func buildIn(root, dir string, flags ...string) error {
	bundle := exec.Command("go", append(append([]string{"run", "."}, flags...), dir)...)
	bundle.Dir = filepath.Join(root, "viewer", "bundle")
	if said, err := bundle.CombinedOutput(); err != nil {
		return fmt.Errorf("building the pages: %w\n%s", err, said)
	}
	return nil
}

// Pages is the folder of built pages, as the server serves it.
func Pages() fs.FS { return os.DirFS(built.pages) }

// Viewer is the folder of the pages' sources.
func Viewer() string { return filepath.Join(built.root, "viewer") }
