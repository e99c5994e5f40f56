package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// flagged finds options in a text.
var flagged = regexp.MustCompile(`(?:^|[^-\w])--([a-z][a-z-]*)`)

// optionsOf are the options that a command has, as its help lists them.
func optionsOf(t *testing.T, name string) (forms, text string, options map[string]bool) {
	t.Helper()
	var out, complaints bytes.Buffer
	if code := run(t.Context(), []string{name, "--help"}, nil, &out, &complaints); code != 0 || complaints.Len() > 0 {
		t.Fatalf("headcut %s --help: %d, %s", name, code, complaints.String())
	}
	text, list, _ := strings.Cut(out.String(), "\nOptions:\n")
	forms, text, _ = strings.Cut(text, "\n\n")
	options = map[string]bool{}
	for _, line := range strings.Split(strings.TrimSpace(list), "\n") {
		if one, ok := strings.CutPrefix(strings.TrimSpace(line), "--"); ok {
			one, about, _ := strings.Cut(one, " ")
			options[one] = true
			if len(strings.Fields(about)) < 2 {
				t.Errorf("headcut %s --help says nothing of --%s", name, one)
			}
		}
	}
	return forms, text, options
}

// The forms at the head of a command's help have every option that it has, and neither they
// nor its text name one that it has not, unless they say of which command.
func TestHelpNamesEveryOption(t *testing.T) {
	for _, c := range commands {
		forms, text, options := optionsOf(t, c.name)
		for _, line := range strings.Split(forms, "\n") {
			if line != "headcut "+c.name && !strings.HasPrefix(line, "headcut "+c.name+" ") {
				t.Errorf("headcut %s --help begins with %q", c.name, line)
			}
		}
		for one := range options {
			if !regexp.MustCompile(`--` + one + `\b`).MatchString(forms) {
				t.Errorf("the forms of headcut %s lack --%s", c.name, one)
			}
		}
		ofOthers := regexp.MustCompile(`(?s)'headcut .*?'|headcut [a-z-]+ [^|\n]*`)
		for _, found := range flagged.FindAllStringSubmatch(forms+"\n"+ofOthers.ReplaceAllString(text, ""), -1) {
			if !options[found[1]] {
				t.Errorf("the help of headcut %s names --%s, which it does not have", c.name, found[1])
			}
		}
	}
}

// Every command is in the README, and every command and option there exists.
func TestReadmeNamesCommandsThatExist(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	known := map[string]map[string]bool{"help": {}}
	for _, c := range commands {
		_, _, known[c.name] = optionsOf(t, c.name)
	}
	shown := map[string]bool{}
	one := regexp.MustCompile(`headcut ([a-z]+(?:-[a-z]+)?)((?:[^|\x60\n]|\n {16})*)`)
	for _, found := range one.FindAllStringSubmatch(string(readme), -1) {
		name := found[1]
		options, ok := known[name]
		if !ok {
			if strings.HasPrefix(found[2], "  ") || strings.Contains(found[2], "--") {
				t.Errorf("README shows headcut %s, which is no command", name)
			}
			continue
		}
		shown[name] = true
		for _, f := range flagged.FindAllStringSubmatch(found[2], -1) {
			if !options[f[1]] {
				t.Errorf("README shows headcut %s --%s, which it does not have", name, f[1])
			}
		}
	}
	for _, c := range commands {
		if !shown[c.name] {
			t.Errorf("README does not show headcut %s", c.name)
		}
	}
}

// TestOptionsInHelp: each with what to write for its value, and what it is if not given.
func TestOptionsInHelp(t *testing.T) {
	f := flag.NewFlagSet("sow", flag.ContinueOnError)
	f.String("seed", "couch", "`NAME` what to sow")
	f.String("out", "-", "`FILE` file to write")
	f.Int("rows", 0, "`NUMBER` how many")
	f.Bool("dry", false, "sow `nothing`")
	for name, want := range map[string]string{
		"seed": "seed NAME              what to sow; couch if not given", "out": "out FILE               file to write",
		"rows": "rows NUMBER            how many", "dry": "dry                    sow `nothing`",
	} {
		if got := option(f.Lookup(name)); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
