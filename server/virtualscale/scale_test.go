package virtualscale_test

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/book/data"
	"panside/internal/dialect"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/simscale"
	"panside/server/virtualscale"
)

// wire is a line that keeps what was sent. It lives in fake time.
type wire struct {
	name   string
	heard  chan []byte
	closed chan struct{}
	once   sync.Once

	mu   sync.Mutex
	sent []byte
}

func (w *wire) Name() string { return w.name }
func (w *wire) Close() error { w.once.Do(func() { close(w.closed) }); return nil }
func (w *wire) Write(b []byte) (int, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.sent = append(w.sent, b...)
	return len(b), nil
}
func (w *wire) Read(b []byte) (int, error) {
	select {
	case p := <-w.heard:
		return copy(b, p), nil
	case <-w.closed:
		return 0, io.EOF
	}
}

// take returns what was sent since the last call.
func (w *wire) take() []byte {
	w.mu.Lock()
	defer w.mu.Unlock()
	out := w.sent
	w.sent = nil
	return out
}

// bench is a virtual scale in fake time.
type bench struct {
	*virtualscale.Scale
	wires []*wire
}

func setUp(t *testing.T, o virtualscale.Options) *bench {
	t.Helper()
	b := &bench{}
	o.Tray = virtualscale.Tray(data.Coins())
	o.NewLine = func() (virtualscale.Line, error) {
		w := &wire{name: fmt.Sprintf("/dev/line%d", len(b.wires)), heard: make(chan []byte), closed: make(chan struct{})}
		b.wires = append(b.wires, w)
		return w, nil
	}
	s, err := virtualscale.New(o)
	if err != nil {
		t.Fatal(err)
	}
	b.Scale = s
	go s.Run(t.Context())
	return b
}

func (b *bench) wire() *wire { return b.wires[len(b.wires)-1] }

// readings decodes what was sent during the next d.
func (b *bench) readings(d time.Duration) []mass.Reading {
	b.wire().take()
	time.Sleep(d) // in fake time
	synctest.Wait()
	return dialect.NewDecoder(dialect.Options{}).Feed(b.wire().take(), time.Now())
}

func last(t *testing.T, rs []mass.Reading) mass.Reading {
	t.Helper()
	if len(rs) == 0 {
		t.Fatal("no reading")
	}
	return rs[len(rs)-1]
}

func TestCoinsGoOnAndOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		if r := last(t, b.readings(2*time.Second)); r.Quantity.String() != "0.00 g" {
			t.Errorf("the empty pan shows %v", r.Quantity)
		}
		if err := b.Put("bronze-cent", ""); err != nil {
			t.Fatal(err)
		}
		rs := b.readings(4 * time.Second)
		if len(rs) < 38 || len(rs) > 42 {
			t.Errorf("%d lines in 4 s, want about 40", len(rs))
		}
		r := last(t, rs)
		if v := r.Quantity.Value.Float64(); r.Status != mass.StatusStable || math.Abs(v-3.11) > 0.011 {
			t.Errorf("a bronze cent shows %v, %s", r.Quantity, r.Status)
		}
		wantFault(t, b.Put("bronze-cent", ""), fault.BadInput)
		wantFault(t, b.Put("doubloon", ""), fault.NotFound)
		wantFault(t, b.Lift("zinc-cent"), fault.NotFound)
		st := b.State()
		if len(st.Pan) != 1 || len(st.Pan)+len(st.Tray) != len(virtualscale.Tray(data.Coins())) {
			t.Errorf("pan %v, tray %v", st.Pan, st.Tray)
		}
		if err := b.Lift("bronze-cent"); err != nil {
			t.Fatal(err)
		}
		if err := b.Put("half", simscale.Dropped); err != nil {
			t.Fatal(err)
		}
		b.Clear()
		if r := last(t, b.readings(4*time.Second)); math.Abs(r.Quantity.Value.Float64()) > 0.011 || len(b.State().Pan) != 0 {
			t.Errorf("the cleared pan shows %v and holds %v", r.Quantity, b.State().Pan)
		}
	})
}

// TestItStaysOn: who sets the table up takes longer than a scale stays on by itself.
func TestItStaysOn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		b.readings(10 * time.Minute)
		last(t, b.readings(time.Second))
	})
}

func TestTareMakesTheLoadZero(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		if err := b.Put("nickel", ""); err != nil {
			t.Fatal(err)
		}
		b.readings(4 * time.Second)
		b.Tare()
		if r := last(t, b.readings(3*time.Second)); math.Abs(r.Quantity.Value.Float64()) > 0.011 {
			t.Errorf("after tare it shows %v", r.Quantity)
		}
	})
}

func TestPullingTheCable(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		first, err := b.Name()
		if err != nil {
			t.Fatal(err)
		}
		b.readings(time.Second)
		w := b.wire()
		b.Unplug()
		b.Unplug() // twice is once
		if cut := w.take(); len(cut) == 0 || bytes.Contains(cut, []byte("\n")) {
			t.Errorf("the last bytes are %q, want half a line", cut)
		}
		select {
		case <-w.closed:
		default:
			t.Error("the line is still there")
		}
		_, err = b.Name()
		wantFault(t, err, fault.PortMissing)
		if b.State().PluggedIn {
			t.Error("it says it is plugged in")
		}
		time.Sleep(time.Second)
		if late := w.take(); len(late) > 0 {
			t.Errorf("an unplugged scale sent %q", late)
		}
		for range 2 {
			if err := b.Plug(); err != nil {
				t.Fatal(err)
			}
		}
		second, err := b.Name()
		if err != nil || second == first || len(b.wires) != 2 {
			t.Errorf("it is back as %q, %v, the %d. line", second, err, len(b.wires))
		}
		if rs := b.readings(time.Second); len(rs) < 8 {
			t.Errorf("only %d lines in a second after plugging in", len(rs))
		}
	})
}

func TestGarbageGivesNoNumberAndPasses(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{})
		b.Garbage()
		for _, r := range b.readings(4900 * time.Millisecond) {
			if r.HasValue {
				t.Errorf("noise %q became %v", r.Raw, r.Quantity)
			}
		}
		b.readings(200 * time.Millisecond)
		if r := last(t, b.readings(time.Second)); !r.HasValue {
			t.Errorf("after the noise: %+v", r)
		}
	})
}

func TestOnDemandAnswersOnlyWhenAsked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{OnDemand: true, Dialect: "print-line"})
		if rs := b.readings(2 * time.Second); len(rs) != 0 {
			t.Errorf("it sends unasked: %v", rs)
		}
		b.wire().heard <- []byte("IP\r\n")
		synctest.Wait()
		if got := string(b.wire().take()); !strings.HasSuffix(got, "g     \r\n") || strings.Count(got, "\n") != 1 {
			t.Errorf("the answer is %q, want one print line", got)
		}
	})
}

func TestScaleThatSwitchedItselfOffWakesForTheNextCoin(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := setUp(t, virtualscale.Options{Config: simscale.DefaultConfig()})
		time.Sleep(3 * time.Minute)
		if !b.State().Shows.Off {
			t.Fatal("it is still on after three idle minutes")
		}
		if rs := b.readings(2 * time.Second); len(rs) != 0 {
			t.Errorf("switched off, it sends %v", rs)
		}
		if err := b.Put("zinc-cent", simscale.Gentle); err != nil {
			t.Fatal(err)
		}
		if r := last(t, b.readings(4*time.Second)); math.Abs(r.Quantity.Value.Float64()-2.5) > 0.011 {
			t.Errorf("it shows %v", r.Quantity)
		}
	})
}

func wantFault(t *testing.T, err error, want fault.Code) {
	t.Helper()
	if err == nil || fault.Of(err).Code != want {
		t.Errorf("got %v, want the fault %s", err, want)
	}
}

// The tray's masses are checked against the figures they stand for: the
// statute's 3.11 g and 2.268 g (31 U.S.C. 5112), 5 g and 5.67 g, and so on
// through internal/coin, whose own tests name the sources.
func TestTrayIsOfTheCataloguesMasses(t *testing.T) {
	tray := virtualscale.Tray(data.Coins())
	seen := map[string]bool{}
	got := map[string]float64{}
	for _, c := range tray {
		if seen[c.ID] || c.Name == "" || c.Note == "" {
			t.Errorf("%+v: every coin needs an id of its own, a name and a note", c)
		}
		seen[c.ID] = true
		got[c.ID] = float64(c.Grams)
		if c.Grams < 1 || c.Grams > 15 {
			t.Errorf("%s weighs %v g", c.ID, c.Grams)
		}
	}
	for id, want := range map[string]float64{
		"bronze-cent": 3.11, "zinc-cent": 2.5, "cent-on-dime": 2.268, "nickel": 5, "clad-quarter": 5.67,
		"thin-quarter": 4.725, // 5.67 g less one of the two faces, together a third
		"half":         11.5,
	} {
		if math.Abs(got[id]-want) > 0.003 {
			t.Errorf("%s weighs %v g, want %v g", id, got[id], want)
		}
	}
}
