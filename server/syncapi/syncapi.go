// Package syncapi brings the journal and the photos of phones and laptop
// together: the routes for pushing and pulling entries and for sending photos.
// openapi.json in this folder describes them.
package syncapi

import (
	"context"
	_ "embed" // for the description
	"encoding/json"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/gofiber/fiber/v2"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
	"panside/internal/say"
	"panside/server/route"
	"panside/server/spoken"
)

// Description is this package's part of the API's description.
//
//go:embed openapi.json
var Description []byte

// Fields is the part about what the entries of finds, hunts and settings say.
//
//go:embed fields.json
var Fields []byte

// Entries is the laptop's journal; *sqlite.DB is one.
type Entries interface {
	AddEntries(ctx context.Context, device string, at time.Time, batch journal.Batch) (journal.Receipt, error)
	EntriesAfter(ctx context.Context, cursor, receipt string, limit int) (journal.Page, error)
}

// Photos is the laptop's photos; *photostore.Store is one.
type Photos interface {
	Have(sum string) (journal.PhotoProgress, error)
	Put(sum string, offset, total int64, chunk []byte) (journal.PhotoProgress, error)
	Missing(sums []string, readNow bool) (missing, verified []string, err error)
	Read(sum string) (content io.ReadSeekCloser, kind string, err error)
}

// Care knows which photos should be on the laptop and aren't; *photocare.Care
// does.
type Care interface {
	// Wanted lists them, as a device is to see them.
	Wanted(ctx context.Context, device string) (journal.PhotosWanted, error)
	// NotHeld takes a device's word that it doesn't have photos.
	NotHeld(device string, sums []string)
}

// Options are what the routes need; all but Whole are required.
type Options struct {
	Entries Entries
	Photos  Photos
	Care    Care
	Now     func() time.Time
	// Grown is told the newest cursor when entries have come in.
	Grown func(cursor string)
	// Whole, if set, is told of a device that has pulled to the end of the journal.
	Whole func(ctx context.Context, by device.Device)
}

// API answers the routes.
type API struct{ Options }

// New returns the API.
func New(o Options) *API { return &API{o} }

// Routes lists them.
func (a *API) Routes() []route.Route {
	return []route.Route{
		route.Post("/journal", a.push),
		route.Get("/journal", a.pull),
		route.Post("/photos/missing", a.missing),
		route.Get("/photos/wanted", a.wanted),
		route.Post("/photos/wanted", a.notHeld),
		route.Get("/photos/:sha256/progress", a.progress),
		route.Put("/photos/:sha256", a.putPhoto),
		route.Get("/photos/:sha256", a.photo),
		route.Head("/photos/:sha256", a.photo),
	}
}

// sameVersion refuses what another version of the wire says.
func sameVersion(v int) error {
	switch {
	case v < journal.WireVersion:
		return fault.New(fault.WireVersion, say.New("sync-phone-older"))
	case v > journal.WireVersion:
		return fault.New(fault.WireVersion, say.New("sync-phone-newer"))
	}
	return nil
}

func notUnderstood(cause error) error {
	return fault.Wrap(fault.BadInput, say.New("sync-phone-not-understood"), cause)
}

func (a *API) push(c *fiber.Ctx, by device.Device) error {
	in, err := journal.ParseBatch(c.Body())
	if err != nil {
		return notUnderstood(err)
	}
	if err := sameVersion(in.V); err != nil {
		return err
	}
	if len(in.Entries) > journal.MaxBatch {
		return fault.New(fault.BadInput, say.New("sync-too-many-entries", say.Count("most", journal.MaxBatch)))
	}
	receipt, err := a.Entries.AddEntries(c.UserContext(), by.ID, a.Now(), in)
	if err != nil {
		return err
	}
	if receipt.Stored > 0 {
		a.Grown(receipt.Cursor)
	}
	t := spoken.To(c)
	for i := range receipt.Refused {
		r := &receipt.Refused[i]
		r.Sentence = t.Write(r.Why)
	}
	return route.Answer(c, receipt)
}

func (a *API) pull(c *fiber.Ctx, by device.Device) error {
	v, err := strconv.Atoi(c.Query("v", strconv.Itoa(journal.WireVersion)))
	if err != nil {
		return notUnderstood(err)
	}
	if err := sameVersion(v); err != nil {
		return err
	}
	limit, err := strconv.Atoi(c.Query("limit", strconv.Itoa(journal.MaxPage)))
	if err != nil || limit < 1 {
		return notUnderstood(err)
	}
	page, err := a.Entries.EntriesAfter(c.UserContext(), c.Query("after"), c.Query("receipt"), min(limit, journal.MaxPage))
	if err != nil {
		return err
	}
	if a.Whole != nil && !page.More && !page.Restart {
		a.Whole(c.UserContext(), by)
	}
	return route.AnswerJSON(c, encodePage(page))
}

// encodePage is json.Marshal without looking at every entry again: they are in
// their wire form, which is compact JSON.
func encodePage(p journal.Page) []byte {
	size := 200
	for _, e := range p.Entries {
		size += len(e) + 1
	}
	b := make([]byte, 0, size)
	b = append(b, `{"v":`...)
	b = strconv.AppendInt(b, int64(p.V), 10)
	b = append(b, `,"entries":[`...)
	for i, e := range p.Entries {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, e...)
	}
	b = append(b, `],"cursor":"`...)
	b = append(b, p.Cursor...) // digits, letters and a point
	b = append(b, `","more":`...)
	b = strconv.AppendBool(b, p.More)
	b = append(b, `,"restart":`...)
	b = strconv.AppendBool(b, p.Restart)
	return append(b, '}')
}

func (a *API) progress(c *fiber.Ctx, _ device.Device) error {
	p, err := a.Photos.Have(c.Params("sha256"))
	if err != nil {
		return err
	}
	return route.Answer(c, p)
}

// maxAsked is how many photos may be asked about at once.
const maxAsked = 1000

// maxRead is how many of them may be read for the answer: 500 MB at most.
const maxRead = 20

var tooManyPhotos = fault.New(fault.BadInput, say.New("sync-too-many-photos", say.Count("most", maxAsked), say.Count("read", maxRead)))

func (a *API) missing(c *fiber.Ctx, _ device.Device) error {
	var in struct {
		Photos  []string
		ReadNow bool `json:"read_now"`
	}
	if err := json.Unmarshal(c.Body(), &in); err != nil {
		return notUnderstood(err)
	}
	if len(in.Photos) > maxAsked || in.ReadNow && len(in.Photos) > maxRead {
		return tooManyPhotos
	}
	missing, verified, err := a.Photos.Missing(in.Photos, in.ReadNow)
	if err != nil {
		return err
	}
	return route.Answer(c, struct {
		V        int      `json:"v"`
		Missing  []string `json:"missing"`
		Verified []string `json:"verified"`
	}{journal.WireVersion, missing, verified})
}

func (a *API) wanted(c *fiber.Ctx, by device.Device) error {
	w, err := a.Care.Wanted(c.UserContext(), by.ID)
	if err != nil {
		return err
	}
	return route.Answer(c, w)
}

// notHeld takes a device's word for the photos that it doesn't have, and answers
// as wanted does.
func (a *API) notHeld(c *fiber.Ctx, by device.Device) error {
	var in struct {
		V       int
		NotHeld []string `json:"not_held"`
	}
	if err := json.Unmarshal(c.Body(), &in); err != nil {
		return notUnderstood(err)
	}
	if err := sameVersion(in.V); err != nil {
		return err
	}
	if len(in.NotHeld) > maxAsked {
		return tooManyPhotos
	}
	a.Care.NotHeld(by.ID, in.NotHeld)
	return a.wanted(c, by)
}

func (a *API) putPhoto(c *fiber.Ctx, _ device.Device) error {
	body := c.Body()
	offset, total := int64(0), int64(len(body))
	if r := c.Get(fiber.HeaderContentRange); r != "" {
		var ok bool
		if offset, total, ok = readRange(r, int64(len(body))); !ok {
			return fault.New(fault.BadInput, say.New("photo-range-wrong"))
		}
	}
	p, err := a.Photos.Put(c.Params("sha256"), offset, total, body)
	if err != nil {
		return err
	}
	return route.Answer(c, p)
}

// readRange reads “bytes FIRST-LAST/TOTAL” (RFC 9110, section 14.4) of a body of
// a length.
func readRange(s string, length int64) (offset, total int64, ok bool) {
	s, ok = strings.CutPrefix(s, "bytes ")
	span, size, ok1 := strings.Cut(s, "/")
	from, to, ok2 := strings.Cut(span, "-")
	if !ok || !ok1 || !ok2 {
		return 0, 0, false
	}
	first, err1 := strconv.ParseUint(from, 10, 62)
	last, err2 := strconv.ParseUint(to, 10, 62)
	all, err3 := strconv.ParseUint(size, 10, 62)
	if err1 != nil || err2 != nil || err3 != nil || last < first || int64(last-first)+1 != length {
		return 0, 0, false
	}
	return int64(first), int64(all), true
}

// photo sends a kept photo, or the parts of it that are asked for. Its bytes
// never change, so the phone may keep them for good; private, because they are
// shown only with a token.
func (a *API) photo(c *fiber.Ctx, _ device.Device) error {
	sum := c.Params("sha256")
	content, kind, err := a.Photos.Read(sum)
	if err != nil {
		return err
	}
	c.Set(fiber.HeaderETag, `"`+sum+`"`)
	c.Set(fiber.HeaderCacheControl, "private, max-age=31536000, immutable")
	c.Set(fiber.HeaderContentType, kind)
	return serveContent(c, content)
}
