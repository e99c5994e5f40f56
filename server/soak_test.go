package server

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Each package with a random test, by rapid or by storetest.Seed, is named in soak of the
// Makefile; and nothing is drawn from a seed that nobody can give again.
func TestSoakDrawsAllThatIsRandom(t *testing.T) {
	makefile, err := os.ReadFile("../Makefile")
	if err != nil {
		t.Fatal(err)
	}
	_, soak, _ := strings.Cut(string(makefile), "\nsoak: ")
	soak, _, _ = strings.Cut(soak, "\n\n")
	random := regexp.MustCompile(`"pgregory.net/rapid"|\bstoretest\.(Random|Seed)\(`)
	unseeded := regexp.MustCompile(`\brand\.(IntN|Int64N|Uint64|Uint32|Float64|N|Perm|Shuffle)\(|\bMath\.random\(`)
	named := map[string]bool{}
	for _, folder := range []string{"model", "sync", "export", "server", "viewer"} {
		err := filepath.WalkDir(filepath.Join("..", folder), func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				if err == nil && (d.Name() == "node_modules" || d.Name() == "dist" || d.Name() == "src") {
					return filepath.SkipDir
				}
				return err
			}
			if !strings.HasSuffix(path, "_test.go") && !strings.Contains(path, "fieldtest") || path == filepath.Join("..", "server", "soak_test.go") {
				return nil
			}
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if at := unseeded.Find(text); at != nil {
				t.Errorf("%s draws by %s: draw from storetest.Random, which tells its seed", path, at)
			}
			in, _ := filepath.Rel("..", filepath.Dir(path))
			if random.Match(text) && !named[in] {
				named[in] = true
				if !regexp.MustCompile(regexp.QuoteMeta("./"+filepath.ToSlash(in)) + `(\s|$)`).MatchString(soak) {
					t.Errorf("./%s has random tests, and make soak does not run them", filepath.ToSlash(in))
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(named) < 18 {
		t.Errorf("random tests are seen in %d packages: too few to be all", len(named))
	}
}
