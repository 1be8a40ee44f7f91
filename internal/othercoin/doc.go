// Package othercoin is a second world to judge the second look by: coins on a table under lamps, as
// a phone or a microscope photographs them, written by another hand and by other means than the
// pictures that it is tuned on. No constant of the second look may be chosen on it.
//
// # From the die to the bytes
//
//	strokes and domes -> height field -> strike, wear, scratches, dirt, tone -> coin on a table
//	-> rays through a camera -> micro-facets under lamps -> lens -> sensor -> JPEG
//
// Lengths are millimeters, x to the right, y down, z toward the camera; the table is z = 0. A
// face is a height field z(x, y), whose letters are polylines of this package's own with the
// profile of a draft: h·s((w/2−d)/g), d being the distance from the line, s(t) = t²(3−2t). A
// doubled word is struck twice, the second time d mm aside, and the higher of the two
// remains. A clash lowers the field, where nothing of its own stands, by a few micrometers within
// the outlines of the other side as it lies behind, mirrored.
//
// A ray from each of several places in a pixel meets the table, a side wall with its reeds, or a
// height field, which it marches into. What it meets is lit by lamps at a finite distance,
//
//	L = Σ I/r²·max(0, n·l)·(k/π + F·D·G/(4 (n·l)(n·v)))·shadow + F·E(mirrored v) + k·E(n)
//
// with k the share that dirt and tarnish scatter evenly, D of Trowbridge and Reitz, its two
// widths along and across the flow of metal, G of Smith, F of Schlick, and E light that comes from
// everywhere, more of it from some sides. Shadows are
// marched toward the lamp over the relief, and cast by whole coins on table and walls. The lens
// spreads each point over a disc; photons and the sensor add noise; the picture is encoded as a
// JPEG by the standard library, and decoded again.
//
// # What is true
//
// A Shot carries what was photographed: the ellipse of the coin's edge, the way from millimeters
// to pixels, the coin's turn, the sides of its lamps.
//
// # Why this is fair
//
// Coins are metal: most of their light is a mirror's, spread by facets whose slopes are 0.2 to 0.45,
// which makes a highlight some 15 to 30 degrees wide, as satin metal shows it; tarnish and dirt add
// what a dull surface sends, a third to two thirds of it on brown cents (common practice: brown
// coins look dull, worn silver and nickel satin). Relief and its profile are no steeper than
// dies can release. Cameras stand where a hand or a stand holds them, 10 to 30 cm away; the zoom
// makes the coin 300 to 650 pixels wide, as in a phone's photo after it is shrunk. Of a Snapshot
// only one coin is whole in the picture, so what is meant is never in doubt. Lamps that a person
// moves stand off by up to 7 degrees, and higher or lower than asked.
//
// # Sources
//
// B. Walter et al., Microfacet Models for Refraction through Rough Surfaces (2007), for D, G and
// their use; C. Schlick, An Inexpensive BRDF Model (1994), for F; both from memory. Depths of
// relief, 0.05 to 0.3 mm, and of a clash, a few micrometers: common practice. Everything else
// is assumed: designs, metals' roughness, dirt, tables, lamps, cameras and their mixture.
//
// # What isn't here
//
// Light from coin to coin, colors by interference, a lens's distortion, blur that grows with
// depth, hands, a phone's sharpening and smoothing.
package othercoin
