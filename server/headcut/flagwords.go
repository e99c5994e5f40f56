package main

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"strconv"
	"strings"

	"headcut/model"
)

// flagWords is what is wrong with the options of a call, as a person reads it.
func flagWords(f *flag.FlagSet, err error) string {
	said := err.Error()
	if name, ok := strings.CutPrefix(said, "flag provided but not defined: -"); ok {
		var known []string
		f.VisitAll(func(one *flag.Flag) { known = append(known, one.Name) })
		return "there is no option --" + name + nearly("--", name, known)
	}
	if name, ok := strings.CutPrefix(said, "flag needs an argument: -"); ok {
		return fmt.Sprintf("--%s needs a value: --%s %s", name, name, valueOf(f, name))
	}
	for _, fault := range flagFaults {
		if fault.said.MatchString(said) {
			return fault.said.ReplaceAllString(said, fault.words)
		}
	}
	return said
}

// flagFaults are what package flag says of values, $1 being the value and $2 the option.
var flagFaults = []struct {
	said  *regexp.Regexp
	words string
}{
	{regexp.MustCompile(`(?s)^invalid boolean value (.*?) for -(.*?): .*$`), "--$2 takes no value: leave $1 out"},
	{regexp.MustCompile(`(?s)^invalid value (.*?) for flag -(.*?): parse error$`), "--$2 takes a whole number, not $1"},
	{regexp.MustCompile(`(?s)^invalid value (.*?) for flag -(.*?): value out of range$`), "--$2 takes no number as large as $1"},
	{regexp.MustCompile(`(?s)^invalid value (.*?) for flag -(.*?): (.*)$`), "--$2 $1: $3"},
}

// nearly suggests the near one of the known names, "" when none is near.
func nearly(before, name string, known []string) string {
	if near := model.NearestName(name, known); near != "" {
		return ": did you mean " + before + near + "?"
	}
	return ""
}

// valueOf is what the help writes for the value of an option.
func valueOf(f *flag.FlagSet, name string) string {
	if one := f.Lookup(name); one != nil {
		if value, _, ok := strings.Cut(strings.TrimPrefix(one.Usage, "`"), "` "); ok {
			return value
		}
	}
	return "VALUE"
}

// folderWithoutData is a folder that was named without --data before it, "" when there is none.
func folderWithoutData(f *flag.FlagSet, args []string) string {
	data := f.Lookup("data")
	if data == nil || data.Value.String() != "" || len(args) == 0 {
		return ""
	}
	if info, err := os.Stat(args[0]); err != nil || !info.IsDir() {
		return ""
	}
	if strings.ContainsAny(args[0], " \t'\"") {
		return strconv.Quote(args[0])
	}
	return args[0]
}
