// Package segments reads the seven-segment display of a scale from a camera's frames: light in, a
// mass.Reading out, or the reason why not. It has no clock and does no I/O.
//
// # What is never broken
//
// No number comes from doubt. One counts only if all of these agree:
//
//   - the ink of each segment, against the holes beside it, is near the level of a lit or of an
//     unlit one (ink.go);
//   - each digit's picture as a whole is nearest to the same digit, by far, among pictures that
//     the teaching made (match.go); this second way knows no segments by then;
//   - what these pictures leave unexplained is small everywhere in the digits' places;
//   - the point stands where it was taught, and nowhere else (point.go);
//   - all other marks, the unit's among them, look as taught, but for those that came and went
//     during the teaching (marks.go);
//   - the number has no needless leading zero;
//   - it stood for several frames, and longer where it differs from the one before as if only a
//     segment had gone or come, which light does and weights seldom do (course.go).
//
// A display without any mark beside its digits isn't read, since its unit couldn't be told.
//
// # How
//
// A person frames the display's window once (Window) and says what it shows, twice or more
// (Teacher). Each frame's window is brought to one small picture by a projective map (eye.go). In
// the teaching's mean pictures a layout of the digits (place, pitch, size, slant, tilt, taper,
// stroke) is searched by Fisher's criterion between the samples that the typed text lights and
// those it doesn't: coarsely over a grid, then one parameter at a time (fit.go; R. A. Fisher, The
// use of multiple measurements in taxonomic problems, 1936, from memory).
//
// Small movements of the phone are followed by the marks and the housing's edge, one step of
// Lucas and Kanade's method a frame (marks.go; An iterative image registration technique, 1981,
// from memory). Larger ones are Moved.
//
// # What is assumed
//
// The thresholds stand beside their names and were chosen on the displays of internal/segments/rendered.
// Figures from there are simulated. A number in a unit other than the taught one is told by its
// marks alone, so the window must hold them.
package segments
