package e2e

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"panside/internal/simcoin"
)

// turnedByTag writes a JPEG whose pixels lie on their side, to be turned by a quarter clockwise when
// shown: an Exif block with orientation 6 (CIPA DC-008, 4.6.4; TIFF 6.0, big-endian).
func turnedByTag(t *testing.T, name string, s simcoin.Shot) string {
	t.Helper()
	file := asJPEG(t, name, s)
	plain, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	exif := "Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00\x00\x00\x00\x00"
	out := fmt.Appendf(nil, "%s\xff\xe1%c%c%s%s", plain[:2], 0, len(exif)+2, exif, plain[2:])
	if err := os.WriteFile(file, out, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestPicturesThatDontFit: two coins, one that is cut off, one taken by a hand that moved, one on a screen, and
// one whose pixels lie on their side, each on the bench; and files that are no pictures where a second one is asked for.
func TestPicturesThatDontFit(t *testing.T) {
	t.Parallel()
	phone := phoneForCents(t)
	phone.goTo("second-look")
	const photo = `input[name="picture"]`
	coin := simcoin.Coin{Diameter: centMM, Thickness: 1.55, Face: centObverse().Strike(14), Metal: simcoin.Brown, Seed: 3}
	table := func(width int, at ...float64) simcoin.Shot {
		s := simcoin.Simple(coin, 600, 0.5, 4)
		s.Camera.Width, s.Camera.PxPerMM = width, 14
		if len(at) == 1 && at[0] == 0 {
			s.Camera.PxPerMM = 24
		}
		s.Coins = nil
		for _, x := range at {
			s.Coins = append(s.Coins, simcoin.Placed{Coin: coin, X: x})
		}
		return s.Render()
	}
	because := func(why string) string {
		return fmt.Sprintf(`document.querySelector('[data-part="rim-refused"]')?.dataset.why === %q`, why)
	}

	two := table(900, -13, 13.5)
	phone.files(photo, asJPEG(t, "two", two))
	phone.until("word of two coins", because("two"))
	phone.says(`[data-part="rim-refused"]`, "More than one coin", "Tap")
	v, e := phone.glass(), two.Coins[1].Edge
	phone.do(chromedp.MouseClickXY(v.Left+(e.X-v.X)*v.Scale, v.Top+(e.Y-v.Y)*v.Scale))
	phone.rimFound()
	phone.press(`[data-do="another-picture"]`)

	phone.files(photo, asJPEG(t, "cut", table(600, 16)))
	phone.until("word of a coin that is cut off", because("cut-off"))
	phone.says(`[data-part="rim-refused"]`, "outside of the picture")
	phone.press(`[data-do="another-picture"]`)

	moved := simcoin.Simple(coin, 600, 0.5, 4)
	moved.Camera.MotionX, moved.Camera.MotionY = 28, 21
	phone.files(photo, asJPEG(t, "moved", moved.Render()))
	phone.until("word of a hand that moved", because("blurred"))
	phone.says(`[data-part="rim-refused"]`, "smeared", "Hold the camera still")
	phone.press(`[data-do="another-picture"]`)

	// A display's pixels, as a camera sees them: a grid all over the coin.
	shown := table(900, 0)
	for i := range shown.Pix {
		x, y := i/4%shown.Width, i/4/shown.Width
		shown.Pix[i] = byte(float64(shown.Pix[i]) * (0.8 + 0.1*math.Cos(2*math.Pi*float64(x)/5.3) + 0.1*math.Cos(2*math.Pi*float64(y)/5.3)))
		if i%4 == 3 {
			shown.Pix[i] = 255
		}
	}
	phone.files(photo, asJPEG(t, "shown", shown))
	phone.rimFound()
	phone.says(`[data-part="rim-screen"]`, "photo of a screen")
	phone.axeHere("a coin on a screen")
	phone.press(`[data-do="another-picture"]`)

	// 900 wide and 600 high as stored, so 600 wide as shown; the coin at the right comes to the bottom.
	side := table(900, 13.5)
	phone.files(photo, turnedByTag(t, "side", side))
	phone.rimFound()
	e = side.Coins[0].Edge
	x, y := phone.number(`.glass-lines [data-part="rim"]`, "cx"), phone.number(`.glass-lines [data-part="rim"]`, "cy")
	v = phone.glass()
	var width, height float64
	if _, err := fmt.Sscan(phone.ask(`(r => r.width + " " + r.height)(document.querySelector(".glass").getBoundingClientRect())`), &width, &height); err != nil {
		t.Fatal(err)
	}
	gotX, gotY := v.X+(x-width/2)/v.Scale, v.Y+(y-height/2)/v.Scale
	if wantX, wantY := float64(side.Height)-e.Y, e.X; math.Hypot(gotX-wantX, gotY-wantY) > 0.05*e.A {
		t.Errorf("the coin lies at %.0f, %.0f of the upright picture, want %.0f, %.0f", gotX, gotY, wantX, wantY)
	}

	// Where a second picture is asked for, the bench stays as it is.
	broken := filepath.Join(t.TempDir(), "broken.jpg")
	if err := os.WriteFile(broken, []byte("\xff\xd8\xff\xe0 and nothing more"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, step := range []string{"over", "light", "sides"} {
		phone.press(fmt.Sprintf(`[data-step=%q]`, step))
		if step == "sides" {
			phone.press(`[data-face="reverse"]`)
		}
		field := fmt.Sprintf(`[data-part="%s-panel"]`, step)
		phone.files(field+` `+photo, broken)
		phone.until(step+": word of the broken file", fmt.Sprintf(`/broken|read/.test(document.querySelector('%s [data-part="trouble"]')?.innerText)`, field))
	}
	phone.axeHere("a broken second picture")
}
