// Package e2e drives the built server in a real Chromium the way a hunter
// would: the printed address is opened, coins land on the virtual scale's pan,
// and what stands on the phone's glass is read. It has no code of its own.
//
// The tests need PANSIDE_CHROMIUM (a Chromium's path); the project's test
// command sets it, and PANSIDE_SERVER to the built server. Each has a browser and
// a server of its own, so they run side by side; the hands-free ones, whose
// coins come at a pace, and those that film run alone, and so does the one that
// needs the browser to keep a page in memory.
//
// # Benchmarks
//
// “Page throttled fourfold” is the browser's own throttling, which reaches a
// page's main thread only; it refuses workers, where the core runs. So beside it
// stands “whole browser slowed fourfold”: every process of the browser is stopped
// and let go again so that it runs a quarter of the time (slow_bench_test.go). A
// fixed loop in page and worker shows that this reaches both. What keeps one
// thread busy and nothing else, such as a verdict or a snapshot, is timed at full
// speed, the quickest of many, and multiplied by four.
//
// Goals: 100 ms is the usual limit for what feels immediate; 200 ms and 2.5 s are
// the browsers' published bounds for a good reaction and a good first display
// (web.dev, INP and LCP).
package e2e
