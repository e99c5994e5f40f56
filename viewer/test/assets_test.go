package pages

import (
	"bytes"
	"compress/gzip"
	"io/fs"
	"os"
	"path"
	"regexp"
	"strings"
	"testing"

	"headcut/viewer"
)

// firstLoadBudget is what the landholder's scripts may weigh, gzipped, before the map shows.
const firstLoadBudget = 130 << 10

func TestFirstLoadStaysWithinItsBudget(t *testing.T) {
	html, err := fs.ReadFile(viewer.Pages(), "landholder.html")
	if err != nil {
		t.Fatal(err)
	}
	scripts := regexp.MustCompile(`<script[^>]* src="/assets/([^"]+)"`).FindAllSubmatch(html, -1)
	if len(scripts) == 0 {
		t.Fatalf("the page names no script: %s", html)
	}
	total := 0
	for _, s := range scripts {
		content, err := fs.ReadFile(viewer.Pages(), string(s[1]))
		if err != nil {
			t.Fatal(err)
		}
		var zipped bytes.Buffer
		w, _ := gzip.NewWriterLevel(&zipped, gzip.DefaultCompression)
		if _, err := w.Write(content); err != nil {
			t.Fatal(err)
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		total += zipped.Len()
	}
	t.Logf("scripts of the first load: %.1f KB gzipped", float64(total)/1024)
	if total > firstLoadBudget {
		t.Errorf("scripts of the first load: %d bytes gzipped, want at most %d", total, firstLoadBudget)
	}
}

func TestPageNamesOnlyFilesThatAreThere(t *testing.T) {
	html, err := fs.ReadFile(viewer.Pages(), "landholder.html")
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile(`(?:src|href)="([^"]+)"`).FindAllSubmatch(html, -1)
	if len(named) != 3 {
		t.Errorf("the page names %d files, want its script, style and icon: %s", len(named), html)
	}
	for _, n := range named {
		name, ours := strings.CutPrefix(string(n[1]), "/assets/")
		if !ours {
			t.Errorf("the page asks for %s, which is not among its assets", n[1])
			continue
		}
		if !regexp.MustCompile(`^landholder-[0-9A-Z]{8}\.(js|css|svg)$`).MatchString(name) {
			t.Errorf("%s carries no hash of its content and would be cached for ever", name)
		}
		if _, err := fs.Stat(viewer.Pages(), name); err != nil {
			t.Error(err)
		}
	}
	if bytes.Contains(html, []byte("<style")) || regexp.MustCompile(`<script[^>]*>[^<]`).Match(html) || bytes.Contains(html, []byte("style=")) {
		t.Errorf("the page has script or style inline: %s", html)
	}
}

func TestContentPolicyIsStrict(t *testing.T) {
	if !strings.HasPrefix(viewer.ContentPolicy, "default-src 'none';") {
		t.Errorf("the policy %q does not begin by refusing everything", viewer.ContentPolicy)
	}
	for _, never := range []string{"unsafe", "*", "http", "data:", "blob:"} {
		if strings.Contains(viewer.ContentPolicy, never) {
			t.Errorf("the policy %q allows %q", viewer.ContentPolicy, never)
		}
	}
}

func TestNoticeHoldsEveryLibrarysLicence(t *testing.T) {
	notice, err := fs.ReadFile(viewer.Pages(), "NOTICE.txt")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"ol 10.11.0 (BSD-2-Clause)", "preact 11.2.0 (MIT)", "rbush", "quickselect", "Redistribution and use in source and binary forms", "Permission is hereby granted"} {
		if !bytes.Contains(notice, []byte(want)) {
			t.Errorf("NOTICE.txt lacks %q", want)
		}
	}
}

// A lockfile that names a host ties the build to it.
func TestNoCommittedFileNamesARegistry(t *testing.T) {
	for _, name := range []string{"package-lock.json", "package.json", ".npmrc", "bundle/go.mod", "bundle/go.sum"} {
		content, err := os.ReadFile(path.Join("..", name))
		if err != nil {
			t.Fatal(err)
		}
		for _, never := range []string{`"resolved"`, "registry.", "proxy."} {
			if bytes.Contains(content, []byte(never)) {
				t.Errorf("viewer/%s holds %q", name, never)
			}
		}
	}
}
