package cameraport

import (
	"errors"
	"os"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"panside/internal/fault"
)

// said reads one word of an opened display.
func said(t *testing.T, s *Scale) string {
	t.Helper()
	b := make([]byte, 64)
	n, err := s.Read(b)
	if err != nil {
		t.Fatal(err)
	}
	r := s.Feed(b[:n], time.Now())
	if len(r) != 1 {
		t.Fatalf("%q gives %v", b[:n], r)
	}
	if !r[0].HasValue {
		return string(r[0].Status)
	}
	return r[0].Quantity.Value.String()
}

// opened is the scale that a phone shows once somebody listens.
func opened(t *testing.T, p *Port, id string) *Scale {
	t.Helper()
	var phone sync.WaitGroup
	defer phone.Wait()
	phone.Go(func() {
		synctest.Wait() // until Open waits
		p.Shows(id, "phone "+id, "1.00", "")
	})
	s, err := p.Open(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestOnePhoneIsListenedTo: the first, until it falls silent; then another may speak.
func TestOnePhoneIsListenedTo(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := New()
		p.Shows("a", "early", "9.99", "") // nobody listens
		s := opened(t, p, "a")
		if s.Name() != "phone a" || said(t, s) != "1.00" {
			t.Errorf("%q reads something else", s.Name())
		}
		for len(s.chunks) > 0 {
			said(t, s)
		}
		p.Shows("b", "other", "2.00", "")
		p.Shows("a", "phone a", "", "moving")
		p.Shows("a", "phone a", "3.00", "both say nothing")
		p.Shows("a", "phone a", strings.Repeat("8", 99), "")
		p.Shows("a", "phone a", "3.00", "")
		if got := said(t, s) + " " + said(t, s); got != "moving 3.00" {
			t.Errorf("heard %s", got)
		}
		var lost *fault.Error
		if _, err := s.Read(make([]byte, 64)); !errors.As(err, &lost) || lost.Code != fault.PortLost {
			t.Errorf("a silent phone: %v", err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
		if _, err := s.Read(make([]byte, 64)); !errors.Is(err, os.ErrClosed) {
			t.Errorf("closed: %v", err)
		}
		if s := opened(t, p, "b"); s.Name() != "phone b" {
			t.Errorf("then %q", s.Name())
		}
	})
}

// TestANewestWordIsNeverHeldUp: a phone's line doesn't wait for a scale that nobody reads.
func TestANewestWordIsNeverHeldUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := New()
		s := opened(t, p, "a")
		for range 100 {
			p.Shows("a", "phone a", "1.00", "")
		}
		p.Shows("a", "phone a", "2.00", "")
		last := ""
		for len(s.chunks) > 0 {
			last = said(t, s)
		}
		if last != "2.00" {
			t.Errorf("the newest is %s", last)
		}
	})
}

func TestNobodyComes(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := New()
		begun := time.Now()
		_, err := p.Open(t.Context())
		var none *fault.Error
		if !errors.As(err, &none) || none.Code != fault.PortMissing || time.Since(begun) != waitLimit {
			t.Errorf("%v after %v", err, time.Since(begun))
		}
	})
}
