package segments

// Why is why a frame gives no number, or why teaching can't go on; its values are words for the
// wire. What a person is told of each, with its mend, stands in the phone app's texts.
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
