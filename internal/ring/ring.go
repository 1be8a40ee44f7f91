package ring

// Ring is one tap that rang as one disc does.
type Ring struct {
	At    float64 // s from the start
	Peaks []Peak  // partials, lowest first

	loud float64 // amplitude of the strongest partial
}

// Peak is a partial.
type Peak struct {
	Hz    float64
	U     float64 // standard uncertainty of Hz, in Hz
	Decay float64 // s in which its amplitude falls to 1/e
	Level float64 // dB against the strongest partial: zero or less
}

// Refusal is something heard that wasn't one coin's ring.
type Refusal struct {
	At  float64 // s from the start
	Why Why

	loud float64   // amplitude of the strongest line
	hz   []float64 // lines that a coin may have
}

// Why something isn't a ring, or rings don't go together; empty for good.
type Why string

// The reasons.
const (
	Silence  Why = "silence"   // nothing at all
	Faint    Why = "faint"     // no tap stands out of the noise
	Click    Why = "click"     // a knock, of which nothing rings on
	Voice    Why = "voice"     // low tones that move
	Music    Why = "music"     // tones that don't die away
	TwoCoins Why = "two-coins" // partials that no single disc has
	Bounce   Why = "bounce"    // taps too close together
	Clipped  Why = "clipped"   // louder than the microphone takes
	Glass    Why = "glass"     // rings too low or too long for a coin
	TooFew   Why = "too-few"   // fewer than two rings to put together
	Differ   Why = "differ"    // rings of different coins
)

// Heard is what a clip has in it.
type Heard struct {
	Rings   []Ring
	Refused []Refusal
}
