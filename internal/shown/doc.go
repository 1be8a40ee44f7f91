// Package shown decides what verdict stands on the glass while coins come and
// go: when an answer may be shown, when it must wait, and when it goes. It asks
// nobody and reads no clock. Whoever weighs tells a Glass what lies on the pan
// and what was answered, each with its time, and shows what View says. The
// phone drives it through internal/bridge, and the published figures drive the
// same code.
//
// # Words
//
// A Subject is one load with one question about it: the same coin asked about
// as a dime is another subject. An Answer is a verdict, of which only its claim
// counts here: two answers with one claim say the same, though a figure in their
// words may differ.
//
// # Rule
//
// Tracker and core answer many times a second, and while a load settles each
// answer may be another. A person reads a word in a quarter of a second and acts
// on it, so what stands there must not flicker, and must not be a guess.
//
//  1. Only answers about the subject on the pan count. One that comes late, about
//     the coin before or an earlier question, is thrown away, and so is a late
//     refusal.
//  2. In motion an answer is shown where nothing stands once a second estimate at
//     least Confirm later claims the same, or once the claim has held for
//     HoldMoving.
//  3. At rest the first answer is shown at once.
//  4. Another claim replaces the one that stands only after it has held for
//     HoldShown; so does “nothing”.
//  5. If other claims have come for HoldShown, and none of them held, nothing is
//     sure and nothing stands.
//  6. “Can’t tell”, and “either”, of a load in motion count as nothing: they will often
//     clear up by themselves. So does an answer by a weight that isn't known to Vague, a 14th of it.
//  7. A load that has rested and moves again may be another coin by now, so its
//     answers count as nothing until it rests again.
//  8. An answer with the claim that stands takes its place at once, with its
//     newer figures.
//  9. When the load goes, nothing stands, at once. What becomes the last verdict
//     is that of the coin at rest, since later ones are of the hand that takes the
//     coin away; of a coin that never rested, the last decisive one.
//  10. Asked differently about the same load, the coin has no verdict, and the
//     answer to the question before doesn't become the last one.
//
// # Why these times
//
// Confirm is 50 ms: a scale of 20 lines a second, the quickest that is met, then
// needs two lines, and slower ones two anyway. A single line may be half a coin.
//
// HoldMoving is 150 ms: less than a person takes to look, and longer than a
// forecast of the final weight needs to give up a wrong one. It is for scales
// whose estimate doesn't change between two lines.
//
// HoldShown is 300 ms: about what reading the headline takes, so that nobody
// reads half of one and half of another; long enough to sit out a knock against
// the table, and short enough that a corrected verdict is there before the hand
// is.
//
// Vague is 7 %: the alloys of a coin weigh a tenth apart or more, and a weight on its way
// is oftener far off than its uncertainty says, since that is of a filter and a hand as they
// are known. It is also what makes way for the alloy: an “either” of a wide weight would have
// to be replaced, which takes HoldShown. With 4 % the verdict came at 0.375 of the time to the
// stable sign (VerdictBeforeStable, simulated), with 6 % at 0.348, with 7 % at 0.341, with 8 % at 0.338.
//
// All are assumed; the figures of server/figures and internal/settle are
// measured with them.
package shown
