// Package pwa carries the built phone app inside the server's binary.
package pwa

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var dist embed.FS

// Files is the built app, with index.html at its root. In a program built
// before the app it holds only the placeholder that git keeps, and the server
// then says how to build it.
func Files() fs.FS {
	files, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // only for a path that isn't valid
	}
	return files
}
