// Package photocare looks after the photos on the laptop: it lets them be read
// again at a calm pace, compares them with what the finds name, and knows which
// are to be asked for from the phones, and which nobody has.
//
// What finds name (journal.NamedPhotos) and the laptop lacks is listed by GET
// /api/v1/photos/wanted, and a notice on the live stream says that the list
// changed. In its next round each phone counts what it has of these as unsent
// again, and says which it doesn't have. What no phone has is known so, and named
// by its find.
package photocare

import (
	"cmp"
	"context"
	"log/slog"
	"maps"
	"slices"
	"sync"
	"time"

	"panside/internal/device"
	"panside/internal/fault"
	"panside/internal/journal"
)

// onTheWay is how long after a find has named it a photo may take to arrive
// before it counts as absent: phones send entries first.
const onTheWay = time.Hour

// tellEvery is after how many photos read back for the first time the phones are
// told, and after the last of them.
const tellEvery = 25

// Trouble is a photo that was here and isn't any more: by why,
// journal.PhotoDamaged or journal.PhotoGone.
type Trouble struct{ Sum, Why string }

// Step is what one step of reading again came to.
type Step struct {
	// Sum is the photo that was read, empty if none was due.
	Sum   string
	Right bool
	First bool // for the first time since it came
	// Waiting is how many photos were never read back.
	Waiting int
	// Wait is how long to leave the disk alone.
	Wait time.Duration
}

// Options are the surroundings; all are required.
type Options struct {
	// ReadNext reads the photo again that is due first, if one is.
	ReadNext func() (Step, error)
	// Fresh tells of photos that came or were found damaged.
	Fresh <-chan struct{}
	// Troubled lists those that were here and aren't any more.
	Troubled func() ([]Trouble, error)
	// Missing tells which of some photos aren't here.
	Missing func(sums []string) (missing []string, err error)
	// EntriesAfter pages through the journal, as syncapi's does.
	EntriesAfter func(ctx context.Context, cursor, receipt string, limit int) (journal.Page, error)
	Devices      func(ctx context.Context) ([]device.Device, error)
	// Changed is told when phones have reason to ask again.
	Changed func()
	Now     func() time.Time
	Log     *slog.Logger
}

// Care is the caretaker. Its methods are safe for concurrent use.
type Care struct {
	o Options

	grown chan struct{}

	looking sync.Mutex // over what follows
	named   journal.NamedPhotos
	cursor  string

	mu      sync.Mutex
	wanted  []journal.PhotoWanted      // when it was last looked
	notHeld map[string]map[string]bool // by photo, the devices that said so
}

// New returns a Care that has looked at nothing yet.
func New(o Options) *Care {
	return &Care{o: o, grown: make(chan struct{}, 1), notHeld: map[string]map[string]bool{}}
}

// How often what is here is compared with what should be: at least and, unless
// something is wanted, at most.
const (
	lookAtLeast = 10 * time.Minute
	lookAtMost  = 2 * time.Second
)

// Run reads photos again until ctx ends.
func (c *Care) Run(ctx context.Context) {
	sinceTold, failed, looked := 0, "", time.Time{}
	for ctx.Err() == nil {
		step, err := c.o.ReadNext()
		if err != nil && err.Error() != failed { // once, not for each photo of a dead disk
			f := fault.Of(err)
			c.o.Log.Warn("photos could not be read again", "why", f.English(), "cause", f.Cause)
			failed = err.Error()
		}
		if step.Right && step.First {
			if sinceTold++; sinceTold >= tellEvery || step.Waiting == 0 {
				sinceTold = 0
				c.o.Changed()
			}
		}
		idle := step.Sum == ""
		wait := min(step.Wait, lookAtLeast)
		now := c.o.Now()
		switch age := now.Sub(looked).Abs(); {
		case age >= lookAtLeast, idle && age >= lookAtMost, !idle && !step.Right, c.anyWanted():
			looked = now
			if err := c.Look(ctx); err != nil && ctx.Err() == nil {
				c.o.Log.Warn("photos could not be compared with the finds", "cause", err)
			}
		case idle:
			wait = min(wait, lookAtMost)
		}
		c.wait(ctx, wait, idle)
	}
}

// Grown says that the journal has new entries. While photos are wanted, they are
// looked at: one may have been removed from its find.
func (c *Care) Grown() {
	if !c.anyWanted() {
		return
	}
	select {
	case c.grown <- struct{}{}:
	default: // told already
	}
}

func (c *Care) anyWanted() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	return len(c.wanted) > 0
}

// wait waits; new photos or entries end it if nothing was read before.
func (c *Care) wait(ctx context.Context, d time.Duration, idle bool) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	fresh, grown := c.o.Fresh, c.grown
	if !idle { // the disk has its rest first
		fresh, grown = nil, nil
	}
	select {
	case <-ctx.Done():
	case <-timer.C:
	case <-fresh:
	case <-grown:
	}
}

// Look compares what is here with what should be, notes in the log what is newly
// wanted and what came again, and tells the phones of it.
func (c *Care) Look(ctx context.Context) error {
	c.looking.Lock()
	defer c.looking.Unlock()
	list, err := c.list(ctx)
	if err != nil {
		return err
	}
	c.mu.Lock()
	before := whys(c.wanted)
	now := whys(list)
	c.wanted = list
	// What came again may be lost once more, and a phone that had none then may have one.
	maps.DeleteFunc(c.notHeld, func(sum string, _ map[string]bool) bool { return now[sum] == "" })
	c.mu.Unlock()
	if maps.Equal(before, now) {
		return nil
	}
	for _, w := range list {
		if before[w.Photo] != w.Why {
			c.o.Log.Warn("a photo is asked for from the phones", "photo", w.Photo, "why", w.Why, "find", w.Record)
		}
	}
	for _, sum := range slices.Sorted(maps.Keys(before)) {
		if now[sum] == "" {
			c.o.Log.Info("a photo isn’t asked for any more", "photo", sum)
		}
	}
	c.o.Changed()
	return nil
}

func whys(list []journal.PhotoWanted) map[string]string {
	m := map[string]string{}
	for _, w := range list {
		m[w.Photo] = w.Why
	}
	return m
}

// list lists what should be here and isn't, by name.
func (c *Care) list(ctx context.Context) ([]journal.PhotoWanted, error) {
	names, removed, err := c.readJournal(ctx)
	if err != nil {
		return nil, err
	}
	troubled, err := c.o.Troubled()
	if err != nil {
		return nil, err
	}
	why := map[string]string{}
	for _, t := range troubled {
		if !removed[t.Sum] { // nobody wants it any more
			why[t.Sum] = t.Why
		}
	}
	now := c.o.Now()
	var named []string
	for sum, name := range names {
		// A stamp from a clock that is ahead counts as old: better asked for once
		// too often.
		age := now.Sub(time.UnixMilli(name.At.Millis)).Abs()
		if why[sum] == "" && age >= onTheWay {
			named = append(named, sum)
		}
	}
	absent, err := c.o.Missing(named)
	if err != nil {
		return nil, err
	}
	for _, sum := range absent {
		why[sum] = journal.PhotoAbsent
	}
	list := []journal.PhotoWanted{}
	for sum, why := range why {
		list = append(list, journal.PhotoWanted{Photo: sum, Why: why, Record: names[sum].Record})
	}
	slices.SortFunc(list, func(a, b journal.PhotoWanted) int { return cmp.Compare(a.Photo, b.Photo) })
	return list, nil
}

// readJournal takes in what is new in the journal.
func (c *Care) readJournal(ctx context.Context) (names map[string]journal.PhotoName, removed map[string]bool, err error) {
	for {
		page, err := c.o.EntriesAfter(ctx, c.cursor, "", journal.MaxPage)
		if err != nil {
			return nil, nil, err
		}
		if page.Restart { // the records were put back
			c.named = journal.NamedPhotos{}
		}
		c.named.Add(page.Entries)
		if page.Cursor != "" {
			c.cursor = page.Cursor
		}
		if !page.More {
			break
		}
	}
	return c.named.Now(), c.named.Removed(), nil
}

// Wanted lists what should be here and isn't, as a device is to see it.
func (c *Care) Wanted(ctx context.Context, by string) (journal.PhotosWanted, error) {
	answer := journal.PhotosWanted{V: journal.WireVersion, Photos: []journal.PhotoWanted{}}
	c.mu.Lock()
	list := slices.Clone(c.wanted)
	c.mu.Unlock()
	if len(list) == 0 {
		return answer, nil
	}
	var sums []string
	for _, w := range list {
		sums = append(sums, w.Photo)
	}
	missing, err := c.o.Missing(sums) // some may have come since it was last looked
	if err != nil {
		return answer, err
	}
	devices, err := c.o.Devices(ctx)
	if err != nil {
		return answer, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, w := range list {
		if !slices.Contains(missing, w.Photo) {
			continue
		}
		w.Told, w.WaitingFor = c.notHeld[w.Photo][by], []string{}
		for _, d := range devices {
			if !c.notHeld[w.Photo][d.ID] {
				w.WaitingFor = append(w.WaitingFor, d.Name)
			}
		}
		answer.Photos = append(answer.Photos, w)
	}
	return answer, nil
}

// NotHeld takes a device's word that it doesn't have photos. Others than those
// that are wanted are passed over, so that nobody fills the memory.
func (c *Care) NotHeld(by string, sums []string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, w := range c.wanted {
		if !slices.Contains(sums, w.Photo) {
			continue
		}
		if c.notHeld[w.Photo] == nil {
			c.notHeld[w.Photo] = map[string]bool{}
		}
		c.notHeld[w.Photo][by] = true
	}
}
