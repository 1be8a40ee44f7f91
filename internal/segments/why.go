package segments

// Why is why a frame gives no number, or why teaching can't go on; its values are words for the
// wire.
type Why string

// The reasons.
const (
	Dark        Why = "dark"
	Glare       Why = "turn"
	Faint       Why = "shade"
	Small       Why = "nearer"
	Covered     Why = "covered"
	Moved       Why = "moved"
	OtherUnit   Why = "other-unit"
	NotADisplay Why = "not-a-display"
	Moving      Why = "moving"
	Doubt       Why = "doubt"
	Off         Why = "off"

	// Of teaching only.
	Busy     Why = "busy"
	BadText  Why = "bad-text"
	TooAlike Why = "too-alike"
	NoUnit   Why = "no-unit"
)

// Sentence is what a person is told: what is the matter and what to do. It is empty for none.
func (w Why) Sentence() string {
	switch w {
	case Dark:
		return "It’s too dark to read the display. Turn on a lamp, but not one that shines on the glass."
	case Glare:
		return "Something bright reflects in the display. Turn the phone or the scale a little until it’s gone."
	case Faint:
		return "The digits hardly stand out. Shade the display with a book, or switch its light on."
	case Small:
		return "The digits are too small or not sharp. Bring the phone nearer, then frame the display again."
	case Covered:
		return "Something is in front of the display. Reading goes on when it’s gone."
	case Moved:
		return "The phone or the scale was moved. Frame the display again."
	case OtherUnit:
		return "A mark beside the digits changed. Switch the scale back to the unit it was taught in, or teach it again."
	case NotADisplay:
		return "What’s framed doesn’t look like those digits. Frame the display’s window, and type the digits as they stand there."
	case Moving:
		return "The digits are still changing."
	case Doubt:
		return "This number can’t be read for sure. Lift the coin and put it on again."
	case Off:
		return "The display shows nothing. Switch the scale on."
	case Busy:
		return "The digits changed just now. Wait until they stand still, then type them."
	case BadText:
		return "That isn’t a number as a display shows it. Type every digit, with its point."
	case TooAlike:
		return "One more weight is needed. Put something else on the scale and type what it shows."
	case NoUnit:
		return "No unit mark is seen in the frame. Make the frame larger, so that it holds the g beside the digits too."
	}
	return ""
}
