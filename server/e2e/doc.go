// Package e2e drives the built server in a real Chromium the way a hunter
// would: the printed address is opened, coins land on the virtual scale's pan,
// and what stands on the phone's glass is read. It has no code of its own.
//
// The tests need PANSIDE_CHROMIUM (a Chromium's path); the project's test
// command sets it, and PANSIDE_SERVER to the built server.
package e2e
