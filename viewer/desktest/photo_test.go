package desktest

import (
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"headcut/viewer/fieldtest/phone"
)

// A photo that a phone takes of a dam comes to the desk as it is sent: small on the dam's card, and
// in its whole size over the window when it is pressed, from which Escape leads back.
func TestDeskShowsPhotos(t *testing.T) {
	t.Parallel()
	office, code := newOffice(t)
	p := seated(t, office, code)
	open(p.Page)
	p.Tap("Dam 2, Check dam")
	p.WaitText("0.08 m")
	if phone.Eval[bool](p.Page, `document.querySelector(".album") !== null`) {
		t.Fatal("there is a photo before one was taken")
	}

	p.Expect("404") // of the photo, while its entry is there before it
	officer := phone.New(t, office, phone.Durable())
	officer.Enrol(property, office.Invite(property, "R. Field"), here)
	file := filepath.Join(t.TempDir(), "photo.jpg")
	picture := image.NewGray(image.Rect(0, 0, 800, 600))
	for i := range picture.Pix {
		picture.Pix[i] = uint8(i % 800 / 4)
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := jpeg.Encode(f, picture, nil); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	officer.Go("#/photo/" + dam2)
	officer.WaitText("Position ±")
	officer.Upload(func() { officer.Tap("Take photo") }, "input[type=file]", file)
	officer.WaitSaid("saved")

	// It comes after its entry: until then the desk asks again, with words in its place.
	p.WaitFor(`document.querySelector(".panel .album a") !== null`)
	officer.Go("#/")
	officer.WaitText("0 not sent")
	p.WaitFor(`(i => i !== null && i.naturalWidth > 0 && i.naturalWidth <= 320)(document.querySelector(".panel .album img"))`)
	p.CheckAxe("an item with a photo")
	p.TapSelector(".panel .album a")
	p.WaitFor(`document.querySelector("dialog[open] img")?.naturalWidth === 800`)
	p.WaitStill()
	p.Screenshot("photo")
	p.CheckAxe("a photo")
	p.Do(chromedp.KeyEvent(kb.Escape))
	p.WaitFor(`document.querySelector("dialog") === null && document.querySelector(".panel h2")?.innerText === "Dam 2"`)
	p.WaitFor(`document.activeElement === document.querySelector(".panel .album a")`)
}

// A level run is opened from the table: its rows as booked, with rise, fall and level as the
// computations reduce them, worked out on paper, and how far it is out.
func TestDeskShowsALevelBook(t *testing.T) {
	t.Parallel()
	office, code := newOffice(t)
	p := seated(t, office, code)
	open(p.Page)
	p.Tap("Run 1, Level run")
	p.WaitText("Misclosure 0.0 mm; 3.0 mm allowed.") // 12 mm on the root of 0.064 km
	rows := phone.Eval[[]string](p.Page, `[...document.querySelectorAll(".booked tbody tr")].map(r => [...r.cells].map(c => c.textContent.trim()).join("|"))`)
	for i, want := range map[int]string{
		0: "1|Gate postknown level 100.000, 0 m along the route|1.500|||||100.000",
		1: "2|bedchainage 0 m, 8 m along the route||3.000|||1.500|98.500",
		3: "4|crestchainage 0 m, 24 m along the route||2.600||0.400||98.900",
		8: "9|Gate postknown level 100.000, 64 m along the route|||1.500|0.400||100.000",
	} {
		if len(rows) != 9 || rows[i] != want {
			t.Fatalf("the rows are %q, want row %d to be %q", rows, i+1, want)
		}
	}
	p.CheckAxe("a level run")
	p.CheckWidth("a level run")
	p.Screenshot("level-run")
}
