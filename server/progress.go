package main

import (
	"fmt"
	"io"
	"time"
)

// progress tells somebody who waits how far a long work is: first after a
// second, then every two. A nil one tells nobody.
type progress struct {
	out          io.Writer
	now          func() time.Time
	first, every time.Duration // 0 for the usual

	what     string
	all, did int64
	next     time.Time
}

// begin names a part of the work, and how many bytes it has; 0 for not known.
func (p *progress) begin(what string, all int64) {
	if p == nil {
		return
	}
	if p.first == 0 {
		p.first, p.every = time.Second, 2*time.Second
	}
	if p.next.IsZero() {
		p.next = p.now().Add(p.first)
	}
	p.what, p.all, p.did = what, all, 0
	p.add(0)
}

// add tells that so many bytes more are done.
func (p *progress) add(bytes int) {
	if p == nil {
		return
	}
	p.did += int64(bytes)
	now := p.now()
	if now.Before(p.next) {
		return
	}
	p.next = now.Add(p.every)
	if p.all == 0 {
		fmt.Fprintln(p.out, p.what+" …")
		return
	}
	fmt.Fprintf(p.out, "%s: %d %% of %s\n", p.what, min(100, 100*p.did/p.all), megabytes(p.all))
}

func megabytes(n int64) string {
	if n < 1e6 {
		return fmt.Sprintf("%d kB", (n+999)/1000)
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}
