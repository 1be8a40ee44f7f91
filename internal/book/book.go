// Package book is the coin book as both homes of the core load it: files that
// are handed over as bytes, each under a name with the hash of its content, and
// a manifest that names them. The server hands all of them over at its start; a
// phone those that judging needs, and the others when something is asked that
// needs them.
//
// Where the facts stand and how files are built: internal/book/data.
//
// # What a phone keeps
//
// Its service worker keeps the files of every country, denomination and language,
// together with the app and the core (pwa/installable.ts). So they change
// together or not at all, and a sheet that was never opened is there offline.
// While the core is still on its way, the manifest and what the chosen country's
// judgements take are fetched (Country.Judging). When a question needs more, the
// core answers with the names (internal/bridge/shelf.go), and its worker fetches
// them (pwa/src/core/book-files.ts).
//
// A file that isn't the one its name was made for is refused, and fetched once
// more past the kept copy, which is mended. If it can't be had, the laptop answers;
// out of its reach the app says what to do.
package book

import (
	"strings"

	"panside/internal/digest"
	"panside/internal/fault"
	"panside/internal/json"
	"panside/internal/say"
	"panside/internal/stable"
)

// Format is the version of manifest and files that this core reads. It goes up
// whenever an older core could not read the files, or a newer one not the old.
const Format = 4

// DefaultLanguage is the one that has every text.
const DefaultLanguage = "en"

// ManifestName is the only name without a hash.
const ManifestName = "manifest.json"

// Manifest names the files of each language.
type Manifest struct {
	Format    int                `json:"format"`
	Languages map[string]Edition `json:"languages"`
}

// Edition is the book in one language. Its strings are names of files.
type Edition struct {
	Metals    string    `json:"metals"`    // alloys and the sources of figures
	Strangers string    `json:"strangers"` // coins of the countries that no judgement is made for
	Looks     string    `json:"looks"`     // what every sheet needs: kinds, general entries, cautions
	Key       string    `json:"key"`       // the identification key
	Countries []Country `json:"countries"`
	// Say are the templates of sentences; none for English, whose are in the core.
	Say string `json:"say,omitempty"`
	// Unread: no native speaker has read the language's texts yet.
	Unread bool `json:"unread,omitempty"`
}

// Country is one's part of an edition.
type Country struct {
	ID    string `json:"id"` // "US"
	Order int    `json:"order"`
	Coins string `json:"coins"` // denominations, planchets, issues, wants
	// Judging are the files that a judgement takes: the metals, this country's
	// coins, those of the countries whose coins stray in, and the strangers if
	// some of these do.
	Judging []string `json:"judging"`
	// Denominations are the files of look-fors, for those that have some.
	Denominations map[string]string `json:"denominations"`
}

// hashDigits of SHA-256, as hex, stand in a name: damage is to be noticed, and
// no two versions of a file are to meet under one name.
const hashDigits = 16

// FileName is a path with the content's hash and the ending: "en/us/cent" becomes
// "en/us/cent-0123456789abcdef.json".
func FileName(path string, content []byte) string {
	return path + "-" + hash(content) + ".json"
}

func hash(content []byte) string {
	sum := digest.Sum256(content)
	return digest.Hex(sum[:hashDigits/2])
}

// holds reports whether the content is the one that the name was made for.
func holds(name string, content []byte) bool {
	return strings.HasSuffix(name, "-"+hash(content)+".json")
}

// ReadManifest reads a manifest. Errors: fault.BookDamaged, fault.BookVersion
// for one of another format.
func ReadManifest(raw []byte) (Manifest, error) {
	var m Manifest
	var version struct{ Format int }
	if err := json.Unmarshal(raw, &version); err != nil {
		return m, fault.Wrap(fault.BookDamaged, say.New("book-list-unreadable"), err)
	}
	if version.Format != Format {
		return m, fault.New(fault.BookVersion, say.New("book-versions-differ"))
	}
	if err := json.Strict(raw, &m); err != nil || m.Languages[DefaultLanguage].Metals == "" {
		return m, fault.Wrap(fault.BookDamaged, say.New("book-list-unreadable"), err)
	}
	return m, nil
}

// files are all of an edition, in order.
func (e Edition) files() []string {
	all := []string{e.Metals, e.Strangers, e.Looks, e.Key}
	if e.Say != "" {
		all = append(all, e.Say)
	}
	for _, c := range e.Countries {
		all = append(all, c.Coins)
		for _, d := range stable.Keys(c.Denominations) {
			all = append(all, c.Denominations[d])
		}
	}
	return all
}

func (e Edition) country(id string) (Country, bool) {
	for _, c := range e.Countries {
		if c.ID == id {
			return c, true
		}
	}
	return Country{}, false
}
