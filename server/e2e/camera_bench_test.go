//go:build unix

package e2e

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// BenchmarkFrameInTheBrowser has the app's own senses, in their worker, read one picture of a display
// that was taught, as the camera gave it: the quickest of many on a phone four times slower than this
// machine, by the same reckoning as BenchmarkVerdictInTheBrowser, and how many times longer that takes
// than a bare loop over the picture's pixels there.
func BenchmarkFrameInTheBrowser(b *testing.B) {
	s := weighingFilm(b)
	browser := startBrowser(b, append(fakeCamera(s.save(b), chromedp.Flag("use-fake-ui-for-media-stream", true)), slowable())...)
	server := startServer(b, b.TempDir(), "--scale", "virtual")
	phone := newDevice(b, browser, phoneScreen)
	phone.open(server.phone)
	phone.weighing()
	phone.frames(s)
	phone.teaches(lessons...)
	worker := &device{t: b, ctx: phone.worker("senses.worker")}
	ask[bool](b, worker.ctx, `(() => {
		const door = self.pansideSenses, look = door.look;
		door.look = (width, height, rgba, ms) => {
			self.picture ??= { width, height, rgba: rgba.slice(), look };
			self.ms = ms;
			return look(width, height, rgba, ms);
		};
		return true;
	})()`)
	ask[bool](b, worker.ctx, `new Promise((ok) => { const wait = () => (self.picture ? ok(true) : setTimeout(wait, 20)); wait(); })`)
	for b.Loop() {
		took := ask[[]float64](b, worker.ctx, fmt.Sprintf(`(() => {
			const { width, height, rgba, look } = self.picture;
			let [frame, bare, answer, sum] = [Infinity, Infinity, null, 0];
			for (let k = 0; k < %d; k++) {
				let t = performance.now();
				for (let j = 0; j < %d; j++) answer = look(width, height, rgba, (self.ms += 40));
				frame = Math.min(frame, (performance.now() - t) / %d);
				t = performance.now();
				for (let j = 0; j < %d; j++) for (let i = 0; i < rgba.length; i += 4) sum = (sum + rgba[i] + 2 * rgba[i + 1] + rgba[i + 2]) | 0;
				bare = Math.min(bare, (performance.now() - t) / %d);
			}
			if (!answer.taught || sum === 0) throw new Error(JSON.stringify(answer));
			return [frame, bare, width, height];
		})()`, 100, 4, 4, 4, 4))
		b.Logf("%.0f by %.0f pixels: %.2f ms unslowed, a bare loop %.2f ms", took[2], took[3], took[0], took[1])
		b.ReportMetric(fold*took[0], "frame-ms")
		b.ReportMetric(took[0]/took[1], "over-bare-loop")
	}
}
