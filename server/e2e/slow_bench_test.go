//go:build unix

package e2e

import (
	"context"
	"errors"
	"os/exec"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"
)

const (
	// fold is how many times slower than this machine a phone is taken to be.
	fold = 4
	// stretch is how long a slowed browser runs before it is stopped again.
	stretch = 4 * time.Millisecond
)

// slowable makes the browser the leader of a process group of its own, so that
// slowly can stop all of its processes at once.
func slowable() chromedp.ExecAllocatorOption {
	return chromedp.ModifyCmdFunc(func(cmd *exec.Cmd) {
		cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	})
}

// slowly runs act while every process of the browser runs a quarter of the time
// only: it is stopped and let go again some sixty times a second. The
// browser's own throttling (Emulation.setCPUThrottlingRate) reaches a page's main
// thread and refuses workers (“Operation is only supported for pages”), but the
// core runs in a worker, is compiled by threads beside it, and comes out of the
// service worker's store.
func slowly(browser context.Context, act func()) {
	group := -chromedp.FromContext(browser).Browser.Process().Pid
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		defer func() { _ = syscall.Kill(group, syscall.SIGCONT) }()
		var ran time.Duration
		for began := time.Now(); ; {
			let := time.Now()
			if errors.Is(syscall.Kill(group, syscall.SIGCONT), syscall.ESRCH) {
				return
			}
			time.Sleep(stretch)
			_ = syscall.Kill(group, syscall.SIGSTOP)
			ran += time.Since(let)
			// What a busy machine adds to one stretch is taken back in the pause.
			time.Sleep(max(time.Millisecond, fold*ran-time.Since(began)))
			select {
			case <-stop:
				return
			default:
			}
		}
	}()
	defer func() {
		close(stop)
		<-stopped
	}()
	act()
}

// throttled runs act under the browser's own throttling of the devices' pages, the
// usual meaning of four-fold throttling: their main threads run a quarter of the
// time. Workers, with the core in one, and the browser's other processes run as ever.
func throttled(act func(), pages ...*device) {
	rate := func(r float64) {
		for _, d := range pages {
			if _, err := chromedp.Call(d.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: r}); err != nil {
				d.t.Fatal(err)
			}
		}
	}
	rate(fold)
	defer rate(1)
	act()
}

// slowWay is one meaning of a phone four times slower than this machine. What is
// measured that way is reported under names that begin with its own.
type slowWay struct {
	name string
	run  func(browser context.Context, act func(), pages ...*device)
}

var slowWays = []slowWay{
	{"", func(_ context.Context, act func(), pages ...*device) { throttled(act, pages...) }},
	{"whole-", func(browser context.Context, act func(), _ ...*device) { slowly(browser, act) }},
}

// ask evaluates an expression, waiting if it is a promise.
func ask[T any](t testing.TB, ctx context.Context, expression string) T {
	t.Helper()
	ctx, cancel := context.WithTimeout(ctx, 2*patience)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("in the browser: %v\n%.300s", err, expression)
	}
	return v
}

// fixedLoop takes a time in ms that depends on nothing but the speed of the
// thread it runs on.
const fixedLoop = `(() => { const t = performance.now(); let x = 1; for (let i = 0; i < 3e7; i++) x = (x * 1103515245 + i) | 0; return performance.now() - t + (x & 0); })()`

// slowness tells how many times longer the fixed loop takes when the browser is
// slowed, on the thread behind ctx.
func slowness(t testing.TB, browser, ctx context.Context) float64 {
	t.Helper()
	quick, slow := ask[float64](t, ctx, fixedLoop), 0.0 // the first warms up
	for range 3 {
		quick = min(quick, ask[float64](t, ctx, fixedLoop))
	}
	slowly(browser, func() { slow = ask[float64](t, ctx, fixedLoop) })
	return slow / quick
}

// worker attaches to the page's worker whose address contains part.
func (d *device) worker(part string) context.Context {
	d.t.Helper()
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); time.Sleep(20 * time.Millisecond) {
		all, err := chromedp.CallBrowser(d.ctx, target.GetTargets, target.GetTargetsParams{Filter: target.Filter{{Type: "worker"}}})
		if err != nil {
			d.t.Fatal(err)
		}
		for _, w := range all.TargetInfos {
			if strings.Contains(w.URL, part) {
				ctx, stop := chromedp.NewContext(d.ctx, chromedp.WithTargetID(w.TargetID))
				d.t.Cleanup(stop)
				// The session lives as long as the context of its first use.
				if err := chromedp.Do(ctx); err != nil {
					d.t.Fatalf("attaching to the worker: %v", err)
				}
				return ctx
			}
		}
	}
	d.t.Fatalf("no worker %q", part)
	return nil
}
