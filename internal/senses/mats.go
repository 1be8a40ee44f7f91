package senses

import (
	"slices"

	"panside/internal/mat"
	"panside/internal/picture"
)

// matPixels is the most that coins are told apart on: what package mat is made for.
const matPixels = 4_000_000

// spread is a photo of a mat, shrunk, and the coins that lie in it.
type spread struct {
	photo picture.Colors
	by    float64 // pixels of the photo for each of the shrunk one
	coins []mat.Coin
}

// layMat answers "mat": {picture} gives the number of the coins found in it, under "picture".
func layMat(p *Pictures, q asked, on going) Object {
	r := p.raster(q, "picture")
	if r == nil {
		return refused(NoSuchPicture)
	}
	by := picture.ShrinkBy(r.w, r.h, matPixels)
	photo, ok := picture.ShrunkColors(r.rgba, r.w, r.h, by)
	if !ok {
		return refused(mat.Small)
	}
	coins, why := mat.Find(photo, 0, on)
	if why != "" {
		return refused(why)
	}
	return Object{"why": "", "picture": float64(p.keep(&spread{photo, float64(by), coins}))}
}

// matOf answers "mat-of": {mat, taught: [{x, y, color, side}], pick: [color], up} gives the coins in
// the order of their numbers, as {x, y, r, color, side, act}, places in pixels of the photo. pick are
// the colors to be picked up, up is the side that must lie up, "" for any.
func matOf(p *Pictures, q asked, on going) Object {
	s, ok := p.held[int(q.number("mat"))].(*spread)
	if !ok {
		return refused(NoSuchPicture)
	}
	var taught []mat.Taught
	for _, x := range q.list("taught") {
		o, _ := x.(Object)
		t := asked(o)
		taught = append(taught, mat.Taught{X: t.number("x") / s.by, Y: t.number("y") / s.by, Class: t.text("color"), Side: t.text("side")})
	}
	wish := mat.Wish{Side: q.text("up")}
	for _, x := range q.list("pick") {
		if color, ok := x.(string); ok && color != "" {
			wish.Classes = append(wish.Classes, color)
		}
	}
	coins := slices.Clone(s.coins)
	if len(taught) > 0 {
		if why := mat.Colors(s.photo, coins, taught); why != "" {
			return refused(why)
		}
		if why := mat.Sides(s.photo, coins, taught, on); why != "" {
			return refused(why)
		}
	}
	out := []any{}
	for _, c := range coins {
		out = append(out, Object{"x": c.X * s.by, "y": c.Y * s.by, "r": c.Radius * s.by, "color": c.Class, "side": c.Side, "act": string(wish.For(c))})
	}
	return Object{"why": "", "coins": out}
}
