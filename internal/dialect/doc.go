// Package dialect turns the bytes of a scale into readings.
//
// The work has three parts, kept apart:
//
//   - a framer cuts the byte stream into frames (lines, or blocks between
//     control characters) and knows nothing of weights;
//   - a Dialect, one file per line format, says what one frame means: not of
//     this format, cut, of the wrong length, with a wrong check sum, an
//     impossible value, or read;
//   - the Decoder gathers evidence over several frames, settles on a dialect
//     and gives out readings, in the light of what earlier lines of the sitting
//     showed.
//
// One Dialect, worded-line, is a general reader under all others: it explains a
// line word by word.
//
// A number is given out only from a complete frame of which the format
// explains every byte. Whatever else arrives becomes a reading without a value
// whose Problem says in words why.
//
// README.md in this folder lists the steps to add a format.
package dialect
