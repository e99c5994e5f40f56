// Command mutants changes the sources at random places, one change at a time, and counts how
// many of these changes the tests notice:
//
//	go run ./testdata/mutants -seed 1 -n 100 model sync server export
//	go run ./testdata/mutants -seed 1 -n 100 -browser viewer/src
//
// A change turns a boundary (< to <=), a condition (== to !=, && to ||, true to false), a sign,
// or leaves a statement out. One that does not compile is not counted. A Go change is tried on
// its own package's tests, and with -wide on those of all packages that import it as well. A
// TypeScript change is tried on the tests beside the scripts that import it, directly or
// not, and with -browser, where they notice nothing, on the browser tests that use its screens
// (browsers.go). The work is done in a worktree of the last commit, under the temporary folder, so
// the tree here stays as it is. The same seed and sources give the same list. It takes hours where
// browsers are tried; -pick takes up single changes of the list by their numbers.
package main

import (
	"bufio"
	"cmp"
	"context"
	"flag"
	"fmt"
	"io/fs"
	"log"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

type mutant struct {
	file     string
	from, to int // bytes of the file
	new      string
}

var (
	// Strings and comments, which are not changed. A template of TypeScript is one string.
	quoted = regexp.MustCompile("(?s)//[^\n]*|/\\*.*?\\*/|`[^`]*`|\"(?:\\\\.|[^\"\\\\\n])*\"|'(?:\\\\.|[^'\\\\\n])*'")
	// An operator with its spaces, as the formatters write it.
	operator = regexp.MustCompile(` (<=|>=|<|>|===|!==|==|!=|&&|\|\||\+|-) |[\w\])]([+-])[\w(]|[ (](!)[\w(]|\breturn (true|false)\b`)
	turned   = map[string]string{"<": "<=", "<=": "<", ">": ">=", ">=": ">", "==": "!=", "!=": "==", "===": "!==",
		"!==": "===", "&&": "||", "||": "&&", "+": "-", "-": "+", "!": "", "true": "false", "false": "true"}
	declared = regexp.MustCompile(`\) \(|\(\w+ [\w*.]+[,)]`) // a method of an interface, which looks like a call
	// A call or an assignment that has a line to itself.
	statement = regexp.MustCompile(`(?m)^[\t ]+((?:await )?[\w.\[\]]+(?:\(.*\)|(?: [-+|]?= .*[\w)\]"'])|\+\+|--);?)$`)
)

func main() {
	log.SetFlags(0)
	seed := flag.Uint64("seed", 1, "of the random choice")
	n := flag.Int("n", 100, "how many")
	skip := flag.Int("skip", 0, "how many of the list to pass over, to go on where a run stopped")
	wide := flag.Bool("wide", false, "try Go changes on the packages that import theirs too")
	browser := flag.Bool("browser", false, "try TypeScript changes that the tests beside the scripts do not notice in browsers")
	only := flag.String("pick", "", "take up these `numbers` of the list alone, with commas between")
	flag.Parse()
	picked := strings.FieldsFunc(*only, func(r rune) bool { return r == ',' })
	all := sites(flag.Args())
	rand.New(rand.NewPCG(*seed, 0)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	tree, err := os.MkdirTemp("", "mutants")
	check(err)
	defer os.RemoveAll(tree)
	check(run(".", "git", "worktree", "add", "-q", "--detach", tree, "HEAD"))
	defer run(".", "git", "worktree", "remove", "--force", tree)
	modules, err := filepath.Abs("viewer/node_modules")
	check(err)
	check(os.Symlink(modules, filepath.Join(tree, "viewer/node_modules")))

	caught, counted := map[string]int{}, map[string]int{}
	for i, m := range all {
		if i < *skip || len(picked) > 0 && !slices.Contains(picked, strconv.Itoa(i)) {
			continue
		}
		if *n == 0 {
			break
		}
		began := time.Now()
		src, err := os.ReadFile(filepath.Join(tree, m.file))
		check(err)
		check(os.WriteFile(filepath.Join(tree, m.file), []byte(string(src[:m.from])+m.new+string(src[m.to:])), 0o600))
		compiles, noticed := try(tree, m, *wide, *browser)
		check(os.WriteFile(filepath.Join(tree, m.file), src, 0o600))
		if !compiles {
			continue
		}
		*n--
		area, _, _ := strings.Cut(m.file, "/")
		counted[area]++
		said := "NOT CAUGHT"
		if noticed != "" {
			caught[area]++
			said = "caught by " + noticed
		}
		start := strings.LastIndex(string(src[:m.from]), "\n") + 1
		end := m.to + strings.Index(string(src[m.to:]), "\n")
		fmt.Printf("%d %s:%d: %s: %s  =>  %s (%.0f s)\n", i, m.file, 1+strings.Count(string(src[:m.from]), "\n"), said,
			strings.TrimSpace(string(src[start:end])), cmp.Or(strings.TrimSpace(string(src[start:m.from])+m.new+string(src[m.to:end])), "nothing"), time.Since(began).Seconds())
	}
	for area := range counted {
		fmt.Printf("%s: %d of %d caught\n", area, caught[area], counted[area])
	}
}

// sites are all the changes that the sources below the folders allow, in order.
func sites(folders []string) (all []mutant) {
	for _, folder := range folders {
		check(filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
			ext := filepath.Ext(path)
			if err == nil && d.IsDir() && strings.HasSuffix(d.Name(), "test") { // tests, and what they are made of
				return fs.SkipDir
			}
			if err != nil || d.IsDir() || ext != ".go" && ext != ".ts" && ext != ".tsx" ||
				strings.HasSuffix(path, "_test.go") || strings.HasSuffix(path, ".test"+ext) {
				return err
			}
			raw, err := os.ReadFile(path)
			if err != nil || strings.Contains(string(raw), "DO NOT EDIT") || strings.Contains(string(raw), "\t\"testing\"\n") {
				return err // what tests are made of is not tried either
			}
			code := quoted.ReplaceAllStringFunc(string(raw), func(s string) string {
				return s[:1] + strings.Map(func(r rune) rune { return '_' }, strings.Repeat("_", len(s)-2)) + s[len(s)-1:]
			})
			for _, at := range operator.FindAllStringSubmatchIndex(code, -1) {
				for g := 2; g < len(at); g += 2 {
					if at[g] >= 0 && !strings.HasSuffix(code[:at[g]], "err ") { // which any test notices
						all = append(all, mutant{path, at[g], at[g+1], turned[code[at[g]:at[g+1]]]})
					}
				}
			}
			for _, at := range statement.FindAllStringSubmatchIndex(code, -1) {
				if !declared.MatchString(code[at[2]:at[3]]) {
					all = append(all, mutant{path, at[2], at[3], ""})
				}
			}
			return nil
		}))
	}
	return all
}

// try says whether the changed tree compiles, and which test notices the change.
func try(tree string, m mutant, wide, browser bool) (compiles bool, noticed string) {
	if filepath.Ext(m.file) != ".go" {
		return tryScript(tree, m.file, browser)
	}
	noticed = test(tree, "./"+filepath.Dir(m.file))
	if noticed == unbuilt {
		return false, ""
	}
	if noticed != "" || !wide {
		return true, noticed
	}
	list := exec.Command("go", "list", "-test", "-f", `{{if .ForTest}}{{.ForTest}} {{join .Deps " "}}{{end}}`, "./model/...", "./sync/...", "./export/...", "./server/...")
	list.Dir = tree
	said, err := list.Output()
	check(err)
	var others []string
	for line := range strings.Lines(string(said)) {
		deps := strings.Fields(line)
		if slices.Contains(deps[1:], "headcut/"+filepath.Dir(m.file)) && !slices.Contains(others, deps[0]) && deps[0] != "headcut/"+filepath.Dir(m.file) {
			others = append(others, deps[0])
		}
	}
	if len(others) > 0 {
		noticed = test(tree, others...)
	}
	return true, noticed
}

const unbuilt = "[build failed]"

// test runs the tests of the packages, and names the first that fails.
func test(dir string, args ...string) string {
	return failing(dir, "go", append([]string{"test", "-vet=off", "-count=1", "-failfast", "-timeout=10m"}, args...)...)
}

var failure = regexp.MustCompile(`(?m)^not ok \d+ - (.*)|^not ok: (.*)|--- FAIL: (\S+)|^panic: (.*)`)

// failing runs a command of tests until one fails, and names that one.
func failing(dir, command string, args ...string) string {
	ctx, stop := context.WithTimeout(context.Background(), 20*time.Minute)
	defer stop()
	c := exec.CommandContext(ctx, command, args...)
	c.Dir, c.Env = dir, append(os.Environ(), "RAPID_SEED=20261125", "RAPID_NOFAILFILE=1")
	c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	end := func() error { return syscall.Kill(-c.Process.Pid, syscall.SIGKILL) }
	c.Cancel = end
	said, err := c.StdoutPipe()
	check(err)
	c.Stderr = c.Stdout
	check(c.Start())
	lines := bufio.NewScanner(said)
	lines.Buffer(nil, 64<<20)
	unfit := false
	for lines.Scan() {
		unfit = unfit || strings.Contains(lines.Text(), unbuilt)
		if name := failure.FindStringSubmatch(lines.Text()); name != nil {
			_ = end()
			_ = c.Wait()
			return strings.Join(name[1:], "")
		}
	}
	err = c.Wait()
	_ = end() // what a change left running
	switch {
	case unfit:
		return unbuilt
	case err != nil:
		return "a test that did not end"
	}
	return ""
}

func run(dir string, name string, args ...string) error {
	c := exec.Command(name, args...)
	c.Dir = dir
	return c.Run()
}

func check(err error) {
	if err != nil {
		log.Panic(err)
	}
}
