package plate

import (
	"math"

	"panside/internal/coin"
)

// Disc is a coin as a plate that nothing holds.
type Disc struct {
	// Hz are the frequencies of [Modes], of a coin of the standard mass.
	Hz [len(Modes)]float64
	// diameter in mm and metal say with which other coins it shares its errors.
	diameter float64
	metal    string
	metalSD  float64
}

// Relative standard deviations of a coin's frequencies from those predicted. Assumed,
// but for each metal's own: half of its modulus', since f ~ √E.
const (
	theorySD = 0.015 // of all coins alike: relief, the correction for shear
	sizeSD   = 0.015 // of a size's: its rim
	massSD   = 0.02  // of a coin: struck thicker or thinner, worn; none where it was weighed
	struckSD = 0.015 // of a coin beside its mass. A published band is 1.5 % wide in all (Sensors 2022, 22, 9055)
	modeSD   = 0.02  // of one mode against the others
	sureSD   = 0.015 // of a metal whose constants are published or well remembered
	unsureSD = 0.03  // of one whose constants are interpolated
	platedSD = 0.02  // more, where the share of a plating isn't published
)

// sameSize is how far diameters of coins with one rim may differ, in mm.
const sameSize = 0.5

// Of is the coin struck on a planchet as a disc. It is false where there is nothing to
// predict from: no diameter, a metal of unknown stiffness, ring and core.
func Of(b *coin.Book, p coin.Planchet) (Disc, bool) {
	rho := b.Density(p).Value
	if !p.Diameter.Known() || rho == 0 {
		return Disc{}, false
	}
	var core, face coin.Layer
	for _, y := range p.Layers {
		switch y.Part {
		case coin.Whole, coin.Core:
			core = y
		case coin.Face:
			face = y
		case coin.Ring:
			return Disc{}, false
		}
	}
	metal := b.Alloy(core.Alloy)
	stiff, ok := stiffness(metal)
	if !ok {
		return Disc{}, false
	}
	d := Disc{diameter: p.Diameter.Value, metal: family(b, p), metalSD: ownSD(metal)}
	nu := metal.Poisson
	if face.Share > 0 {
		outer := b.Alloy(face.Alloy)
		outerStiff, ok := stiffness(outer)
		if !ok {
			return Disc{}, false
		}
		// The share of the thickness is that of the volume.
		c := core.Share * rho / densityOf(b, core)
		stiff, nu = c*c*c*stiff+(1-c*c*c)*outerStiff, outer.Poisson // (4)
		d.metalSD = math.Max(d.metalSD, ownSD(outer))
	} else if !p.SplitKnown() {
		d.metalSD = math.Hypot(d.metalSD, platedSD)
	}
	radius := p.Diameter.Value / 2000                                           // m
	thickness := p.Mass.Value / 1000 / (1000 * rho * math.Pi * radius * radius) // m
	one := thin(radius, thickness, stiff*1e9, 1000*rho)                         // (3)
	flat := thickness * thickness / (radius * radius)
	for k := range Modes {
		m := &Modes[k]
		d.Hz[k] = one * m.root(nu) * m.rim / (1 + m.shear*flat)
	}
	return d, true
}

// stiffness is E/(1−ν²) in GPa.
func stiffness(a coin.Alloy) (float64, bool) {
	return a.Young.Value / (1 - a.Poisson*a.Poisson), a.Young.Known()
}

func ownSD(a coin.Alloy) float64 {
	if a.Young.Grade == coin.Assumed {
		return unsureSD
	}
	return sureSD
}

// densityOf is that of a layer's metal, as of a whole coin of it.
func densityOf(b *coin.Book, y coin.Layer) float64 {
	return b.Density(coin.Planchet{Layers: []coin.Layer{{Part: coin.Whole, Alloy: y.Alloy, Share: 1}}}).Value
}

func family(b *coin.Book, p coin.Planchet) string { return b.Alloy(p.Alloy).Family }

// Shift is the natural logarithm of a coin's frequencies over those predicted: its
// mean and standard deviation.
type Shift struct{ Mean, SD float64 }

// Alone is the shift of a coin of which nothing else is known but the mass that such coins have,
// as a part of the standard mass.
func (d *Disc) Alone(massRatio float64) Shift {
	return Shift{math.Log(massRatio), math.Sqrt(d.typeVar() + square(struckSD) + square(massSD))}
}

// Weighed is that of a coin of that mass.
func (d *Disc) Weighed(massRatio float64) Shift {
	return Shift{math.Log(massRatio), math.Sqrt(d.typeVar() + square(struckSD))}
}

// typeVar is the variance of what all coins of the type share.
func (d *Disc) typeVar() float64 { return square(theorySD) + square(sizeSD) + square(d.metalSD) }

// Given is the shift after coins of a known metal were rung, of which the mean shift against
// their own prediction was s. What the two types share of the model's errors is taken out
// (the normal's conditional mean and variance):
//
//	mean += c/v·s,   variance −= c²/v,   v = known type's variance + (struck² + mass²)/coins + u²
//
// One coin tells of its type only through its own difference from it, so each more known coin
// narrows the answer.
func (d *Disc) Given(alone Shift, known *Disc, s Shift, coins int) Shift {
	shared := square(theorySD)
	if math.Abs(d.diameter-known.diameter) <= sameSize {
		shared += square(sizeSD)
	}
	if d.metal == known.metal {
		shared += square(math.Min(d.metalSD, known.metalSD))
	}
	own := (square(struckSD) + square(massSD)) / float64(max(coins, 1))
	v := known.typeVar() + own + square(s.SD)
	return Shift{alone.Mean + shared/v*s.Mean, math.Sqrt(square(alone.SD) - shared*shared/v)}
}

func square(x float64) float64 { return x * x }
