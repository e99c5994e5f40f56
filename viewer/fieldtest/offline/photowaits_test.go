package offline

import (
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"

	"headcut/server"
	"headcut/viewer/fieldtest/phone"
)

// A photo that does not go through waits like an entry: the strip counts it, and after days
// it is told loudly, though every entry is on the server.
func TestPhotoThatWaitsIsTold(t *testing.T) {
	t.Parallel()
	for _, c := range phone.Hands {
		t.Run(c.Name, func(t *testing.T) {
			p := enrolled(t, phone.NewOffice(t), phone.Size(c.Width, c.Height))
			if c.Big {
				p.BigText()
			}
			p.Expect("ERR_BLOCKED_BY_CLIENT")
			p.Do(phone.Command(network.SetBlockedURLs, network.SetBlockedURLsParams{
				URLPatterns: []*network.BlockPattern{{URLPattern: "*://*:*/photos/*", Block: true}},
			}))
			mark(p)
			addPhoto(t, p)
			p.WaitFor(unsent + ".then(n => n === 0)")
			p.WaitText("0 + 1 photo not sent")
			p.CheckFit("a photo that waits")
			p.Screenshot(c.Name + "-photo-waits")
			p.Go("#/status")
			p.WaitText("Oldest not sent yet")
			p.CheckFit("how it stands with a photo that waits")
			p.Screenshot(c.Name + "-photo-waits-status")
			p.SetClock(4*24*time.Hour + time.Hour)
			p.Reload()
			p.WaitText("Something on this phone has not been sent for 4 days.")
			p.Screenshot(c.Name + "-photo-waits-loud")
			if !p.Comes(`document.body.innerText.includes("Photos do not get through to the server.")`, time.Minute) {
				t.Errorf("the page does not tell that photos do not get through: %s", p.Text())
			}
			p.Do(phone.Command(network.SetBlockedURLs, network.SetBlockedURLsParams{}))
			p.Tap("Send now")
			if !p.Comes(`document.querySelector(".numbers .waiting") === null`, 10*time.Second) { // the page by itself waits for 20 s
				t.Errorf("a photo that was broken off is not sent when somebody asks for it: %s", p.Text())
			}
			p.WaitGone("has not been sent for")
			p.WaitText("Everything recorded here is sent")
		})
	}
}

// An office without room for photos says so on the phone in plain words, which keeps the photo and
// has sent the entry; with room again the photo goes by itself.
func TestPhotoWithoutRoomIsTold(t *testing.T) {
	t.Parallel()
	office := phone.NewOffice(t)
	office.GiveRoom(server.Room{Device: 30_000})
	p := enrolled(t, office, phone.Size(390, 844))
	p.Expect("507")
	mark(p)
	sha := addPhoto(t, p)
	p.WaitFor(unsent + ".then(n => n === 0)")
	p.WaitText("0 + 1 photo not sent")
	p.Go("#/status")
	p.WaitText("The office's server has no more room for photos of this phone. Everything stays on this phone and is sent once there is room: tell the office.")
	p.CheckFit("a server without room")
	p.Screenshot("no-room-status")
	if _, ok := office.Photo(sha); ok {
		t.Error("the photo is on the server, which has no room for it")
	}
	office.GiveRoom(server.Room{Device: 1e9})
	p.Tap("Send now")
	p.WaitText("Everything recorded here is sent")
	if _, ok := office.Photo(sha); !ok {
		t.Error("the photo is not on the server, which has room again")
	}
}
