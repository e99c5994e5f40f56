package gotables

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// stress is the program testdata/stress before it is made blank, built once for all tests.
var stress []byte

func TestMain(m *testing.M) {
	code := 1
	var err error
	if stress, err = buildStress(); err != nil {
		os.Stderr.WriteString(err.Error() + "\n")
	} else {
		code = m.Run()
	}
	os.Exit(code)
}

// buildStress builds it with everything inlined that Go inlines.
func buildStress() ([]byte, error) {
	dir, err := os.MkdirTemp("", "stress")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "stress.wasm")
	build := exec.Command("go", "build", "-trimpath", "-ldflags", "-s -w", "-o", file, "./testdata/stress")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOFLAGS=", "GOEXPERIMENT=nogreenteagc")
	if said, err := build.CombinedOutput(); err != nil {
		return nil, errors.New(string(said))
	}
	return os.ReadFile(file)
}

func blankStress(t *testing.T) []byte {
	t.Helper()
	blank, err := Blank(stress)
	if err != nil {
		t.Fatal(err)
	}
	return blank
}

// run runs a program in Node by Go's own script, and returns what it wrote and how it ended.
func run(t *testing.T, program []byte, what string) (stdout, stderr string, code int) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "program.wasm")
	if err := os.WriteFile(file, program, 0o600); err != nil {
		t.Fatal(err)
	}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	script := filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec_node.js")
	node := exec.CommandContext(t.Context(), "node", "--stack-size=984", script, file, what)
	var out, said bytes.Buffer
	node.Env = append(os.Environ(), "GODEBUG=gcstoptheworld=1,clobberfree=1") // what is freed too early is seen to be
	node.Stdout, node.Stderr = &out, &said
	if err := node.Run(); err != nil {
		failed, ended := errors.AsType[*exec.ExitError](err)
		if !ended {
			t.Fatal(err)
		}
		code = failed.ExitCode()
	}
	return out.String(), said.String(), code
}

// TestBlankProgramRuns: under a collector that never rests the program says what it says
// with its names, and finds the same deadlocks.
func TestBlankProgramRuns(t *testing.T) {
	blank := blankStress(t)
	for _, what := range []string{"all", "deadlock", "exit-main"} {
		want, wantSaid, wantCode := run(t, stress, what)
		got, said, code := run(t, blank, what)
		if got != want || code != wantCode {
			t.Errorf("%s: the blank program ends with %d and says\n%s%swant %d and\n%s%s", what, code, got, said, wantCode, want, wantSaid)
		}
		wantFirst, _, _ := strings.Cut(wantSaid, "\n")
		if first, _, _ := strings.Cut(said, "\n"); first != wantFirst {
			t.Errorf("%s: the blank program fails with %q, want %q", what, first, wantFirst)
		}
		if what == "all" && strings.Count(got, "\n") != 18 {
			t.Errorf("all: %d lines, want 18:\n%s", strings.Count(got, "\n"), got)
		}
	}
}

// TestCrashIsStillTold: a panic that nobody recovers says what it is, and its trace that it has no names.
func TestCrashIsStillTold(t *testing.T) {
	_, said, code := run(t, blankStress(t), "panic")
	if code != 2 || !strings.HasPrefix(said, "panic: below zero\n") || !strings.Contains(said, nameless) || strings.Contains(said, "main.deep") {
		t.Errorf("ended with %d, saying\n%s", code, said)
	}
	if _, said, _ := run(t, stress, "panic"); !strings.Contains(said, "main.deep(...)") && !strings.Contains(said, "main.deep(") {
		t.Errorf("with its names it says\n%s", said)
	}
}

// TestNamesThatDecideStay: of all names those are left by which the runtime decides something.
func TestNamesThatDecideStay(t *testing.T) {
	before, after := tablesOf(t, stress), tablesOf(t, blankStress(t))
	left := map[string]int{}
	for i := range before.count {
		var names [2]string
		for k, of := range []*tables{before, after} {
			at, err := of.record(i)
			if err != nil {
				t.Fatal(err)
			}
			if names[k], err = of.name(at); err != nil {
				t.Fatal(err)
			}
		}
		left[names[1]]++
		if strings.HasPrefix(names[0], "runtime.") != strings.HasPrefix(names[1], "runtime.") || strings.HasPrefix(names[0], "reflect.m") && strings.HasSuffix(names[0], "l") && names[0] != names[1] {
			t.Errorf("%s is now called %s", names[0], names[1])
		}
	}
	if len(left) != 4 || left["reflect.makeFuncStub"] != 1 || left["reflect.methodValueCall"] != 1 || left[nameless] < 500 || left[namelessRuntime] < 500 {
		t.Errorf("the names that are left: %v", left)
	}
	if text := bytes.Trim(after.bytes(after.names), "\x00"); len(text) > 200 || len(bytes.Trim(after.bytes(after.paths), "\x00")) > 0 {
		t.Errorf("of names %d bytes are left: %.300q", len(text), text)
	}
}
