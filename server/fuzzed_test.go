package server

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"headcut/model/compute"
)

// readers names, for each function that reads what came from outside, the fuzz target that
// reaches it; or, after a dash, why none does.
var readers = map[string]string{
	"model.ParseGeometry":                 "model FuzzParseGeometry",
	"model.UnmarshalJSON":                 "- tests read entries by it; sync/register FuzzDecode has what a server reads",
	"model.decodeText":                    "model FuzzFieldCheck",
	"model.parseCollection":               "model FuzzParseGeometry",
	"model.parseCoordinates":              "model FuzzParseGeometry",
	"model.parseGeometry":                 "model FuzzParseGeometry",
	"model/calendar.Parse":                "model/calendar FuzzParse",
	"model/compute.decode":                "model/compute FuzzDecode",
	"model/compute.decodeAs":              "model/compute FuzzDecode",
	"model/compute.read":                  "model/compute FuzzRun",
	"model/jsonvalue.Unmarshal":           "model/jsonvalue FuzzRead",
	"model/levelling.read":                "model/levelling FuzzReduce",
	"model/levelling.readRow":             "model/levelling FuzzReduce",
	"model/modeltest.ParseTolerance":      "- the tests' own",
	"model/modeltest.parsePart":           "- the tests' own",
	"model/modeltest.read":                "- the tests' own",
	"model/monitor.ParseDay":              "model/monitor FuzzRetreat",
	"model/monitor.UnmarshalText":         "model/monitor FuzzRetreat",
	"model/runoff.read":                   "model/runoff FuzzPeak",
	"model/works.read":                    "model/compute FuzzDamLayoutPlaces",
	"server.ParseSize":                    "server FuzzAddresses",
	"server.ParseProxies":                 "server FuzzAddresses",
	"server.UnmarshalJSON":                "server FuzzOfficeRecord",
	"server.ReadFile":                     "- reads what the program was built with",
	"server.readFields":                   "server FuzzOfficeRecord",
	"server.readJSON":                     "server FuzzRequest",
	"server/headcut.parse":                "- a command's own flags",
	"server/headcut.readCertificate":      "- the operator's own file, by the standard library",
	"server/headcut.readInput":            "- reads to the end; model/compute FuzzRun has the text",
	"sync/exchange.decode":                "sync/exchange FuzzConversation",
	"sync/exchange.read":                  "sync/exchange FuzzConversation",
	"sync/handover.Read":                  "sync/handover FuzzRead",
	"sync/intake.Read":                    "sync/intake FuzzGPX",
	"sync/intake.ReadAs":                  "sync/intake FuzzGPX",
	"sync/intake.parse":                   "sync/intake FuzzGeoJSON",
	"sync/intake.parseDecimal":            "sync/intake FuzzCSVPoints",
	"sync/intake.parseInstant":            "sync/intake FuzzGPX",
	"sync/intake.parsePlace":              "sync/intake FuzzGeoJSON",
	"sync/intake.parseWKT":                "sync/intake FuzzWKT",
	"sync/intake.read":                    "sync/intake FuzzLevelBook",
	"sync/intake.readCSV":                 "sync/intake FuzzLevelBook",
	"sync/intake.readGPX":                 "sync/intake FuzzGPX",
	"sync/intake.readGeoJSON":             "sync/intake FuzzGeoJSON",
	"sync/phonecompute.read":              "sync/phonecompute FuzzQuestions",
	"sync/photo.ParseSHA":                 "sync/photo FuzzParseSHA",
	"sync/photo.read":                     "server FuzzRequest",
	"sync/photo.readProgress":             "sync/photo FuzzProgress",
	"sync/register.Decode":                "sync/register FuzzDecode",
	"sync/register.DecodeNew":             "sync/store/boltstore FuzzAppend",
	"sync/register.DecodeState":           "sync/register FuzzState",
	"sync/register.ParseFingerprint":      "sync/register FuzzTexts",
	"sync/register.Read":                  "sync/register FuzzFolded",
	"sync/register.ReadAlike":             "sync/handover FuzzRead",
	"sync/register.UnmarshalText":         "sync/register FuzzTexts",
	"sync/register.decode":                "sync/register FuzzDecode",
	"sync/register.parseStamp":            "sync/register FuzzTexts",
	"sync/register.read":                  "sync/register FuzzDecode",
	"sync/store/boltstore.parseMeta":      "sync/store/boltstore FuzzPage",
	"sync/store/boltstore.parseReceived":  "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.read":           "sync/store/boltstore FuzzAppend",
	"sync/store/boltstore.readBucket":     "sync/store/boltstore FuzzPage",
	"sync/store/boltstore.readDir":        "- lists a folder",
	"sync/store/boltstore.readElements":   "sync/store/boltstore FuzzPage",
	"sync/store/boltstore.readEpochs":     "- FuzzSealed has the values, TestRule16DamageIsNamed the files",
	"sync/store/boltstore.readFreelist":   "sync/store/boltstore FuzzPage",
	"sync/store/boltstore.readMark":       "- what the program sealed; FuzzSealed has the seal",
	"sync/store/boltstore.readMeta":       "sync/store/boltstore FuzzPage",
	"sync/store/boltstore.readPage":       "sync/store/boltstore FuzzAppend",
	"sync/store/boltstore.readPast":       "sync/store/boltstore FuzzAppend",
	"sync/store/boltstore.readProperty":   "sync/store/boltstore FuzzAppend",
	"sync/store/boltstore.readThrough":    "- TestRule16DamageIsNamed has the files",
	"sync/store/boltstore.unseal":         "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealFeature":  "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealProperty": "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealRecord":   "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealSeqs":     "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealSized":    "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealState":    "sync/store/boltstore FuzzSealed",
	"sync/store/boltstore.unsealed":       "sync/store/boltstore FuzzSealed",
	"sync/store/storetest.ReadAll":        "- the tests' own",
	"sync/wire.Decode":                    "sync/wire FuzzDecode",
	"sync/wire.decodeHead":                "sync/wire FuzzDecode",
	"viewer/bundle.read":                  "- the build's own",
}

// reads are the names of functions that turn bytes or text into something.
var reads = regexp.MustCompile(`^(Parse|parse|Read|read|Decode|decode|Unmarshal|unseal|unsealed)([A-Z][A-Za-z]*)?$`)

// TestEveryReaderIsFuzzed: a new parser names its fuzz target, and every name is true.
func TestEveryReaderIsFuzzed(t *testing.T) {
	here, targets := readersAndTargets(t)
	for reader := range readers {
		if !slices.Contains(here, reader) {
			t.Errorf("%s is no function any more", reader)
		}
	}
	for _, reader := range here {
		target, known := readers[reader]
		switch {
		case !known:
			t.Errorf("%s reads something: name the fuzz target that reaches it", reader)
		case strings.HasPrefix(target, "- "):
		case !slices.Contains(targets, target):
			t.Errorf("%s is fuzzed by %q, which is no target", reader, target)
		}
	}
}

// TestFuzzScriptForgetsNothing: the script, which finds its targets by their text, runs each.
func TestFuzzScriptForgetsNothing(t *testing.T) {
	_, targets := readersAndTargets(t)
	cmd := exec.Command("./fuzz.sh", "-list")
	cmd.Dir = ".."
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("fuzz.sh -list: %v\n%s", err, out)
	}
	listed := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(listed)
	slices.Sort(targets)
	if !slices.Equal(listed, targets) {
		t.Errorf("fuzz.sh lists\n%s\nthe tree has\n%s", strings.Join(listed, "\n"), strings.Join(targets, "\n"))
	}
}

// TestEveryComputationIsSeeded: FuzzRun begins with the golden inputs of each computation.
func TestEveryComputationIsSeeded(t *testing.T) {
	for _, c := range compute.All() {
		if text, err := os.ReadFile(filepath.Join("..", "testdata", "compute", c.Name+".json")); err != nil || !strings.Contains(string(text), `"input"`) {
			t.Errorf("%s has no golden input: %v", c.Name, err)
		}
	}
}

// readersAndTargets are the functions of the tree that read something, as "folder.Function", and
// its fuzz targets, as "folder Function".
func readersAndTargets(t *testing.T) (here, targets []string) {
	t.Helper()
	for _, top := range []string{"model", "sync", "export", "server", "viewer"} {
		err := filepath.WalkDir(filepath.Join("..", top), func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return err
			case d.IsDir() && (d.Name() == "node_modules" || d.Name() == "testdata"):
				return fs.SkipDir
			case filepath.Ext(path) != ".go":
				return nil
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			folder, _ := filepath.Rel("..", filepath.Dir(path))
			for _, declared := range file.Decls {
				f, ok := declared.(*ast.FuncDecl)
				switch test := strings.HasSuffix(path, "_test.go"); {
				case !ok:
				case test && strings.HasPrefix(f.Name.Name, "Fuzz"):
					targets = append(targets, folder+" "+f.Name.Name)
				case !test && reads.MatchString(f.Name.Name) && !isIOReader(f):
					here = append(here, folder+"."+f.Name.Name)
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	slices.Sort(here)
	if here = slices.Compact(here); len(here) < 50 || len(targets) < 50 {
		t.Fatalf("only %d readers and %d targets were found", len(here), len(targets))
	}
	return here, targets
}

// isIOReader reports whether a method is io.Reader's or io.ByteReader's.
func isIOReader(f *ast.FuncDecl) bool {
	if f.Recv == nil || f.Name.Name != "Read" || len(f.Type.Params.List) != 1 {
		return f.Recv != nil && f.Name.Name == "ReadByte"
	}
	_, bytes := f.Type.Params.List[0].Type.(*ast.ArrayType)
	return bytes
}
