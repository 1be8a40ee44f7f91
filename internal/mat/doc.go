// Package mat reads a photo of many coins of one kind spread out on a table: each is found, counted
// and cut out, told apart by color and by side against coins that the hunter taught by a tap, and
// numbered, so that the few to turn or to pick up can be named.
//
// Steps, each in its file:
//
//  1. size.go: all coins have one radius. If it isn't known, votes along the gradient are counted
//     for every radius in turn, on a small picture; the largest whose votes heap up nearly as high as
//     the best is that of the rims, since rings within a coin lie closer.
//  2. find.go: with the radius known each edge pixel votes for two middles. Around each heap the
//     clearest circle of that radius is sought, its middle free, first for all coins together with
//     the radius free as well. Of those that can't both be coins the better covered stays.
//  3. color.go: the medians of ln(R/G), ln(B/G) and of the brightness against what the table has there
//     are compared with those of the taught coins.
//  4. side.go: the size of the gradient and its direction against the ray, doubled, over angle and
//     radius: how like two coins are is the best correlation over all turns. Sides are handed on from
//     the taught coins to those like them, and on.
//  5. number.go: what is to be done with which.
//
// It works on a photo of two to four megapixels (picture.ShrunkColors by 2 of a phone's twelve): fifty
// coins are then some 150 px across, which is what telling sides takes.
package mat

// Why there is nothing to be counted. Words for the wire.
type Why string

// The reasons.
const (
	None     Why = "none"      // no coins of one size
	Small    Why = "small"     // the picture has too few pixels
	NotThere Why = "not-there" // no coin was found at a place that was tapped
	Stopped  Why = "stopped"   // the caller's progress said so
)
