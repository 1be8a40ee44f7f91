//go:build unix

package e2e

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// BenchmarkFrameInTheBrowser has the app's own senses, in their worker, read pictures of a display that
// was taught, one after the other as the camera gave them: the quickest of many rounds on a phone four
// times slower than this machine, by the same reckoning as BenchmarkVerdictInTheBrowser, and how many
// times longer that takes than a bare loop over the pictures' pixels there.
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
		self.pictures = [];
		door.look = (width, height, rgba, ms) => {
			if (self.pictures.length < 12) self.pictures.push({ width, height, rgba: rgba.slice() });
			Object.assign(self, { look, ms });
			return look(width, height, rgba, ms);
		};
		return true;
	})()`)
	ask[bool](b, worker.ctx, `new Promise((ok) => { const wait = () => (self.pictures.length === 12 ? ok(true) : setTimeout(wait, 20)); wait(); })`)
	for b.Loop() {
		took := ask[[]float64](b, worker.ctx, `(() => {
			// Four at a time, as the worker's clock has tenths of a millisecond.
			const { pictures, look } = self, fours = [0, 4, 8].map((k) => ({ of: pictures.slice(k, k + 4), frame: Infinity, bare: Infinity }));
			let [answer, sum] = [null, 0];
			for (let k = 0; k < 50; k++)
				for (const four of fours) {
					const start = performance.now();
					for (const { width, height, rgba } of four.of) answer = look(width, height, rgba, (self.ms += 80));
					const read = performance.now();
					for (const { rgba } of four.of)
						for (let i = 0; i < rgba.length; i += 4) sum = (sum + rgba[i] + 2 * rgba[i + 1] + rgba[i + 2]) | 0;
					four.frame = Math.min(four.frame, read - start);
					four.bare = Math.min(four.bare, performance.now() - read);
				}
			if (!answer.taught || sum === 0) throw new Error(JSON.stringify(answer));
			const mean = (name) => fours.reduce((all, four) => all + four[name], 0) / pictures.length;
			return [mean("frame"), mean("bare"), pictures[0].width, pictures[0].height];
		})()`)
		b.Logf("%.0f by %.0f pixels: %.2f ms unslowed, a bare loop %.2f ms", took[2], took[3], took[0], took[1])
		b.ReportMetric(fold*took[0], "frame-ms")
		b.ReportMetric(took[0]/took[1], "over-bare-loop")
	}
}
