package serialport

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"go.bug.st/serial"
)

// Found is a port that could carry a scale.
type Found struct {
	// Name stays the same when the cable is pulled and plugged in again, where
	// the system offers such names.
	Name string
	// Node is the device behind Name at this moment.
	Node string
}

// Devices is where the operating system lists its devices; the zero value is
// the real place.
type Devices struct {
	Dev string // "/dev" if empty
	Sys string // "/sys" if empty
}

func (d Devices) dev(parts ...string) string { return rooted(d.Dev, "/dev", parts) }
func (d Devices) sys(parts ...string) string { return rooted(d.Sys, "/sys", parts) }

func rooted(root, usual string, parts []string) string {
	if root == "" {
		root = usual
	}
	return filepath.Join(append([]string{root}, parts...)...)
}

// List gives the ports in the order in which a scale is most likely on them:
// USB first, then Bluetooth, then built-in ports: those are there always, seldom
// carry anything, and take long to ask. Where /dev/serial/by-id exists (Linux
// with udev) USB ports carry those names. Pseudo-terminals are not listed.
func (d Devices) List() []Found {
	if runtime.GOOS != "linux" && d.Dev == "" {
		return listElsewhere()
	}
	var all []Found
	taken := map[string]bool{}
	for _, link := range d.links() {
		if node, err := filepath.EvalSymlinks(link); err == nil && !taken[node] {
			taken[node] = true
			all = append(all, Found{Name: link, Node: node})
		}
	}
	for _, family := range []string{"ttyUSB", "ttyACM", "rfcomm", "ttyS", "ttyAMA"} {
		for _, node := range d.numbered(family) {
			if taken[node] || family == "ttyS" && !d.wired(node) {
				continue
			}
			all = append(all, Found{Name: node, Node: node})
		}
	}
	return all
}

func listElsewhere() []Found {
	names, err := serial.GetPortsList()
	if err != nil {
		return nil
	}
	var all []Found
	for _, name := range names {
		// Each port of macOS has two names; /dev/tty.* would wait for a carrier.
		if !strings.HasPrefix(name, "/dev/tty.") {
			all = append(all, Found{Name: name, Node: name})
		}
	}
	return all
}

// links are the names of the USB ports that stay.
func (d Devices) links() []string {
	links, _ := filepath.Glob(d.dev("serial", "by-id", "*")) // the pattern is fine
	slices.Sort(links)
	return links
}

// numbered lists the nodes of a family by their number.
func (d Devices) numbered(family string) []string {
	nodes, _ := filepath.Glob(d.dev(family + "[0-9]*")) // the pattern is fine
	slices.SortFunc(nodes, func(a, b string) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		return strings.Compare(a, b)
	})
	return nodes
}

// wired reports whether there is hardware behind a built-in port. Linux makes
// nodes for many that don't exist and gives those the type 0.
func (d Devices) wired(node string) bool {
	kind, err := os.ReadFile(d.sys("class", "tty", filepath.Base(node), "type"))
	return err == nil && strings.TrimSpace(string(kind)) != "0"
}

// Stable is the name that stays for a device given by any name; the given name
// itself if there is none.
func (d Devices) Stable(name string) string {
	node, err := filepath.EvalSymlinks(name)
	if err != nil {
		return name
	}
	for _, link := range d.links() {
		if at, err := filepath.EvalSymlinks(link); err == nil && at == node {
			return link
		}
	}
	return name
}
