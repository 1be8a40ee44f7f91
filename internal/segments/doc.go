// Package segments reads the seven-segment display of a scale from a camera's frames: light in, a
// mass.Reading out, or the reason why not. It has no clock and does no I/O.
//
// # What is never broken
//
// No number comes from doubt. One counts only if all of these agree:
//
//   - the ink of each segment, against the holes beside it and freed of what its neighbors lend it,
//     is near the level of a lit or of an unlit one (ink.go);
//   - each digit's picture as a whole looks like the same digit, and on the line from there to any
//     other digit it lies near the first (match.go);
//   - what these pictures leave unexplained is small everywhere in the digits' places;
//   - the point stands where it was taught, and nowhere else (point.go);
//   - the marks that stood all through the teaching, the unit's among them, stand unchanged, each at
//     the exposure of its own place; nothing has come that touches one or stands beside it as a
//     letter does, nor where a minus could stand; stable signs and batteries may come elsewhere. No
//     taught mark has faded by as little as can be seen in a place of a mark's size, since small
//     triangles beside printed units are faint (marks.go, compare.go);
//   - the number has no needless leading zero;
//   - no segment is on its way to its other state, as while slow displays blend numbers (trend.go), nor
//     went there and came back by more than this display's own noise, as while numbers alternate and
//     the union of two stands still in the mean (swing.go);
//   - the row left of the number, where a minus may stand, is as it was without one, and no light lies
//     on it in which a minus would show nothing (strip.go);
//   - it stood for several frames, and longer where it differs from the one before as if only a
//     segment had gone or come, which light does and weights seldom do (course.go).
//
// A display without any mark beside its digits isn't read, since its unit couldn't be told, and nothing
// is taught while a reflection beside them may hide it. Another
// unit is said only if a taught mark itself has changed, or has a new letter, in several frames; all
// else is doubt.
//
// # How
//
// A person frames the display's window once (Window) and says what it shows, twice or more
// (Teacher). Each frame's window is brought to one small picture by a projective map (eye.go).
//
// Phones shake and their lenses breathe, so each frame is first laid upon what the display looked
// like: a search by whole cells with squares cut off at a limit, then steps of Lucas and Kanade's
// method for move, size and turn, with the weights of Cauchy's distribution against what has
// changed, since digits change (align.go; B. D. Lucas and T. Kanade, An iterative image registration
// technique, 1981; P. J. Huber, Robust statistics, 1981; both from memory). Once taught, frames are
// laid upon a drawing of the digits seen last over the taught ground (drawing.go), so that nothing
// drifts. A display that lies further off than half a digit's pitch has Moved.
//
// A layout of the digits (place, pitch, size, slant, tilt, taper, stroke, cut, a smaller last digit)
// is searched by Fisher's criterion between the samples that the typed texts light and those they
// don't, in the lessons' pictures and in their differences, which hold no marks and no print; the
// best are refined, one parameter at a time, by the correlation of all that their segments cover
// with the ink (fit.go; R. A. Fisher, The use of multiple measurements in taxonomic problems, 1936,
// from memory).
//
// Cells beyond the digits that were typed are only carried on; each is laid upon the first digit that
// rests in it (nudge.go).
//
// Each segment's picture is then learnt by least squares held to the layout's own drawing (ridge
// regression: A. E. Hoerl and R. W. Kennard, Ridge regression, 1970, from memory; match.go). From
// these pictures it is known how much each measured ink has of each segment; the inverse of that
// matrix takes them apart (ink.go).
//
// Dark ink is measured against its own paper, so that shade changes nothing; frames with equal digits
// are averaged over about an eighth of a second, so that noise, a film's blocks and the bands of
// multiplexed displays fade, and any frame that shows other digits starts the mean anew (reader.go).
//
// # What a frame costs
//
// Frames are read as WebAssembly, where min and max of floats are calls, a turn of a loop costs as much
// as several sums, and cutting a slice as much as reading from it; so inner loops do without (loops.go,
// boxes.go). Full-size pictures are softened only where digits can be, places that each frame asks for
// are found once (tap), and no picture is made anew.
//
// # What is assumed
//
// The thresholds stand beside their names and were chosen on the displays of
// internal/segments/rendered. Figures from there are simulated. A number in a unit other than the
// taught one is told by its marks alone, so the window must hold them.
package segments
