package backup

import (
	"fmt"
	"io"
	"time"
)

// Progress tells somebody who waits how far a long work is: first after a
// second, then every two. A nil one tells nobody.
type Progress struct {
	Out          io.Writer
	Now          func() time.Time
	First, Every time.Duration // 0 for the usual

	what     string
	all, did int64
	next     time.Time
}

// begin names a part of the work, and how many bytes it has; 0 for not known.
func (p *Progress) begin(what string, all int64) {
	if p == nil {
		return
	}
	if p.First == 0 {
		p.First, p.Every = time.Second, 2*time.Second
	}
	if p.next.IsZero() {
		p.next = p.Now().Add(p.First)
	}
	p.what, p.all, p.did = what, all, 0
	p.add(0)
}

// add reports whether so many bytes more are done.
func (p *Progress) add(bytes int) {
	if p == nil {
		return
	}
	p.did += int64(bytes)
	now := p.Now()
	if now.Before(p.next) {
		return
	}
	p.next = now.Add(p.Every)
	if p.all == 0 {
		fmt.Fprintln(p.Out, p.what+" …")
		return
	}
	fmt.Fprintf(p.Out, "%s: %d %% of %s\n", p.what, min(100, 100*p.did/p.all), megabytes(p.all))
}

func megabytes(n int64) string {
	if n < 1e6 {
		return fmt.Sprintf("%d kB", (n+999)/1000)
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}
