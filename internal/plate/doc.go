// Package plate is how a coin rings: the bending modes of a thin disc that nothing
// holds, from the coin book's own mass, diameter and metals.
//
// # Frequencies
//
// A disc of radius R, thickness h, density ρ, Young's modulus E and Poisson's ratio
// ν, free all around, has the frequencies (Kirchhoff; Leissa, Vibration of Plates,
// NASA SP-160, 1969, section 2.1.3)
//
//	f = λ²/(2πR²) · √(D/(ρh)),   D = E·h³/(12(1−ν²))                       (1)
//
// where λ is a root of the characteristic equation of n nodal diameters,
//
//	λ²Jₙ + (1−ν)(λJₙ′ − n²Jₙ)     λ³Jₙ′ + (1−ν)n²(λJₙ′ − Jₙ)
//	───────────────────────── = ──────────────────────────                 (2)
//	λ²Iₙ − (1−ν)(λIₙ′ − n²Iₙ)     λ³Iₙ′ − (1−ν)n²(λIₙ′ − Iₙ)
//
// all Bessel functions at λ. The roots depend on ν alone; they stand in a table
// here, and a test solves (2) and holds the table to it and to Leissa's own values.
//
// The thickness isn't the one over the rim but that of the metal: h = m/(ρπR²). So
// with (1)
//
//	f = λ²/(2πR²) · m/(ρπR²) · √(E/(12ρ(1−ν²)))                            (3)
//
// which rises with the mass as weighed: a worn coin rings lower by the share it lost.
//
// # A clad coin
//
// Layers that lie alike on both sides bend about the middle, so each gives of the
// bending stiffness what its cubes of heights give. With a core that takes the share
// c of the thickness,
//
//	E/(1−ν²) = c³·(E/(1−ν²))core + (1−c³)·(E/(1−ν²))face                    (4)
//
// and c follows from the book's shares of the mass and the densities. Plating is
// taken as the core's metal all through, at most a few hundredths of the thickness.
// Coins of ring and core have no prediction.
//
// # What a coin isn't
//
// Shear and rotary inertia lower the modes by 1/(1 + s·(h/R)²), with s of each mode
// from the frequencies of Mindlin plates of h/R = 0.1, ν = 0.3 (Liew, Wang, Xiang,
// Kitipornchai, Vibration of Mindlin Plates, 1998; from memory, and within a percent
// of what the dispersion of plane bending waves gives, which a test works out). The
// raised rim moves metal outwards, which lowers them a little more: by Rayleigh's
// quotient 1.6 % for (2,0), with a rim a third higher than the field on the outer
// twelfth of the radius. That rim is assumed.
//
// Both leave a percent or two, the metals two or three: constants of rolled and struck
// metal vary by rolling. So a prediction has a spread ([Disc.Spread]) in which most is
// common to all coins of one metal and size. A coin of known metal rung before takes
// that out: see [Disc.Given].
//
// # Checks
//
// Published frequencies of real coins are in the tests. One of them, Canadian silver, was
// known when the stiffness of silver was put between two published values; none of the
// others was used. No coin has been rung for this program.
package plate
