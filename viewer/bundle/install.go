package main

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
)

// manifestIcon is one picture of a web app manifest.
type manifestIcon struct {
	Src     string `json:"src"`
	Sizes   string `json:"sizes"`
	Type    string `json:"type"`
	Purpose string `json:"purpose,omitempty"`
}

// appManifest is a manifest as the W3C's Web Application Manifest defines it.
type appManifest struct {
	ID              string         `json:"id"`
	Name            string         `json:"name"`
	ShortName       string         `json:"short_name"`
	Lang            string         `json:"lang"`
	StartURL        string         `json:"start_url"`
	Scope           string         `json:"scope"`
	Display         string         `json:"display"`
	BackgroundColor string         `json:"background_color"`
	ThemeColor      string         `json:"theme_color"`
	Icons           []manifestIcon `json:"icons"`
}

// pictures are the icon as phones want it, in the page's folder icon: files made once, from
// icon.svg. Of the one that may be masked, the drawing takes the middle 0.56: the circle in which a
// square of that part fits is the safe zone of the manifest's standard. The one for phones that read
// no manifest keeps a tenth free at each side.
var pictures = []struct {
	file    string
	size    int
	purpose string
}{{"192.png", 192, ""}, {"512.png", 512, ""}, {"512-maskable.png", 512, "maskable"}, {"180-touch.png", 180, "touch"}}

// addInstall adds what a phone needs in order to put a page on its home screen: NAME.webmanifest
// and pictures of the icon. It returns the name of the one for phones that read no manifest.
func (f files) addInstall(page page, icon, folder string) (touch string, err error) {
	m := appManifest{
		ID: page.address, Name: page.title, ShortName: page.short, Lang: "en", StartURL: page.address, Scope: page.address,
		Display: "standalone", BackgroundColor: "#ffffff", ThemeColor: "#ffffff",
		Icons: []manifestIcon{{Src: page.assets() + icon, Sizes: "any", Type: "image/svg+xml"}},
	}
	for _, p := range pictures {
		picture, err := os.ReadFile(filepath.Join(folder, p.file))
		if err != nil {
			return "", err
		}
		name := fmt.Sprintf("%s-%d-%.4X.png", page.name, p.size, sha256.Sum256(picture))
		f[name] = picture
		if p.purpose == "touch" {
			touch = name
			continue
		}
		m.Icons = append(m.Icons, manifestIcon{page.assets() + name, fmt.Sprintf("%dx%d", p.size, p.size), "image/png", p.purpose})
	}
	f[page.name+".webmanifest"], err = json.Marshal(m)
	return touch, err
}
