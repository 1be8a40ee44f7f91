// Package otherring is a second world to judge the phone's ear by: coins rung on a finger tip in
// a kitchen, and the sounds that are none, written by another hand and with other physics than
// internal/simring. No constant of the ear or of the verdict may be chosen on it.
//
// # From the coin to the samples
//
//	plate modes -> finger, stick and place of the tap -> damped sines + knock
//	-> table and room -> kitchen noise -> microphone -> converter
//
// A coin is a free disc of the radius R that the book gives, with the mean thickness
// h = m/(ρπR²). The partial with n nodal diameters and s nodal circles is
//
//	f = λ²/(2πR²)·√(D/(ρh))·rim/√(1 + k²h²/12·(1 + 2/(κ(1−ν)))),  k = λ/R, κ = π²/12,
//
// with D = E·h³/(12(1−ν²)) and λ the roots of the free edge's equation (see roots). The
// root in the denominator is the rotary and shear correction of a plane wave in a thick
// plate. rim is Rayleigh's quotient of the plain disc's shape on a disc with a raised rim.
// Layers of a clad coin add their stiffness in bending: ΣE(z₂³−z₁³)/h³.
//
// A mode with n > 0 is a pair that a coin's design splits by a little. Amplitudes follow
// from the shape at the place of the tap, the spectrum of a half-sine blow of contact time τ,
// |cos πfτ|/|1−(2fτ)²|, and a radiation that falls for low partials. The rate of decay is
// πf/Q of the metal plus what the finger takes, which grows with the square of the shape where
// the finger is.
//
// # What a dB is here
//
// Noise at N dB: the mean power of all that is no tap, over the whole band and the whole
// clip, lies N dB below the mean power of the clean taps, with knock and room, over the first
// 100 ms after each of them.
//
// # Why this is fair
//
// A blow of wood lasts some 260 µs by Hertz's law for the side of a pencil, of 2.5 g that take part,
// at 0.3 m/s, some 100 µs for its end, which is ten times as stiff, or for the side of a skewer (the
// formula and wood's 1 and 10 GPa from memory); 35 to 180 µs here are no harder than that. The
// stick's own sound lies between 250 Hz and 4 kHz, below every coin but the largest, dies within
// milliseconds, and has a tenth of the coin's energy or less in the first 100 ms (assumed: a stick
// held in a hand radiates little). On a finger tip a clad quarter's lowest partial falls to 1/e in
// 50 ms, a silver one's in 100: a dull clink against a clear ring (common practice).
// A phone 30 cm away in a room that rings for 0.25 to 0.8 s hears 5 to 16 dB less of the room than
// of the coin. Two published measurements, the clad quarter near 9 and 16 kHz and the nickel near 14,
// are held by a test. The nickel has but one partial that a microphone hears.
//
// # Sources
//
// The free edge's equation and the values it is tested by: A. W. Leissa, Vibration of Plates,
// NASA SP-160 (1969), from memory. Shear and rotary inertia: R. D. Mindlin, J. Appl. Mech. 18
// (1951), from memory. Masses, diameters, layers and densities: the coin book. Stiffness by
// element: handbook values from memory, see metals.go. Assumed: the rim's form, spreads and
// biases of types, splits, losses, taps, rooms, microphones, noises and the mixture of all of
// these. Partials of coins with a ring and a core of two metals are not modeled.
package otherring
