package density

import (
	"math"
	"strconv"

	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/say"
)

// Method is how the coin was weighed in water.
type Method string

// The two ways to do it with one scale.
const (
	// Hung: the coin hangs under the scale in water and the scale shows what
	// is left of its weight.
	Hung Method = "hung"
	// Cup: a cup of water stands on the pan, tared to zero, and the coin is
	// lowered into it on a thread without touching bottom or wall; the scale
	// shows the weight of the water it pushes aside.
	Cup Method = "cup"
)

// Weighing is what was measured.
type Weighing struct {
	Method Method
	Dry    mass.Grams // the coin in air
	Wet    mass.Grams // what the scale showed in water, by Method
	Thread mass.Grams // what the thread and hook alone show in water, by Method; 0 if tared away
	U      mass.Grams // standard uncertainty of one weighing
	Water  Celsius
	UWater Celsius // standard uncertainty of the water's temperature
	// Air is the air's density; 0 means ConventionalAir.
	Air GramsPerCC
}

// Result is the density found.
type Result struct {
	Density GramsPerCC `json:"density"`
	U       GramsPerCC `json:"u"` // standard uncertainty
	Volume  float64    `json:"volume_cm3"`
	UVolume float64    `json:"u_volume_cm3"`
	Water   GramsPerCC `json:"water_density"`
}

// Of computes the density. With m the dry reading, b the buoyant part (m − wet
// for Hung, wet for Cup, the thread's own reading taken away), ρw and ρa of
// water and air:
//
//	ρ = m/b · (ρw − ρa) + ρa          V = b / (ρw − ρa)
//
// (Archimedes, with the air's own lift on both sides; the scale's adjustment
// weights cancel.) The uncertainty follows the law of propagation, JCGM
// 100:2008, 5.1.2, with dry and wet readings independent:
//
//	u² = (∂ρ/∂m·u)² + (∂ρ/∂wet·u)² + (∂ρ/∂thread·u)² + (m/b·u_w)²
//
// Errors are fault.BadInput as a *fault.Field: they name the impossible value.
func Of(w Weighing) (Result, error) {
	if !(w.Dry > 0) || math.IsInf(float64(w.Dry), 0) {
		return Result{}, fault.InField("dry_g", fault.BadInput, say.New("density-dry", say.Figure("given", digits(float64(w.Dry)))))
	}
	if !(w.U > 0) || math.IsInf(float64(w.U), 0) {
		return Result{}, fault.InField("u_g", fault.BadInput, say.New("density-uncertainty", say.Figure("given", digits(float64(w.U)))))
	}
	rhoW, err := Water(w.Water)
	if err != nil {
		return Result{}, err
	}
	air := w.Air
	if air == 0 {
		air = ConventionalAir
	}
	if !(air > 0 && air < 0.002) {
		return Result{}, fault.InField("air_density", fault.BadInput, say.New("density-air", say.Figure("given", digits(float64(air))), say.Decimal("usual", float64(ConventionalAir), 4)))
	}
	m, b, err := buoyant(w)
	if err != nil {
		return Result{}, err
	}
	lift := float64(rhoW - air)
	rho := m/b*lift + float64(air)
	uW := float64(WaterU(w.Water, w.UWater))
	u := float64(w.U)

	dB := -m / (b * b) * lift // ∂ρ/∂b
	dM := lift / b            // ∂ρ/∂m with b held
	if w.Method == Hung {
		dM += dB // b = m − wet + thread moves with m
	}
	terms := []float64{dM * u, dB * u, m / b * uW}
	uB2 := u * u // of b apart from m: the wet reading
	if w.Thread != 0 {
		terms = append(terms, dB*u)
		uB2 += u * u
	}
	if w.Method == Hung {
		uB2 += u * u
	}
	var sum float64
	for _, t := range terms {
		sum += t * t
	}
	volume := b / lift
	return Result{
		Density: GramsPerCC(rho),
		U:       GramsPerCC(math.Sqrt(sum)),
		Volume:  volume,
		UVolume: math.Hypot(math.Sqrt(uB2)/lift, volume/lift*uW),
		Water:   rhoW,
	}, nil
}

// buoyant returns the dry reading and the part of it that the water carries.
func buoyant(w Weighing) (m, b float64, err error) {
	m = float64(w.Dry)
	wet := float64(w.Wet) - float64(w.Thread)
	grams := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	switch w.Method {
	case Hung:
		if !(wet >= 0) {
			return 0, 0, fault.InField("wet_g", fault.BadInput, say.New("density-lighter-than-thread"))
		}
		if !(wet < m) {
			return 0, 0, fault.InField("wet_g", fault.BadInput, say.New("density-heavier-in-water", say.Figure("wet", grams(wet)), say.Figure("dry", grams(m))))
		}
		b = m - wet
	case Cup:
		if !(wet > 0) {
			return 0, 0, fault.InField("wet_g", fault.BadInput, say.New("density-cup-without-coin"))
		}
		if !(wet < m) {
			return 0, 0, fault.InField("wet_g", fault.BadInput, say.New("density-coin-on-bottom", say.Figure("wet", grams(wet)), say.Figure("dry", grams(m))))
		}
		b = wet
	default:
		return 0, 0, fault.InField("method", fault.BadInput, say.New("density-method-unknown"))
	}
	u := float64(w.U)
	if b < 5*u {
		return 0, 0, fault.InField("wet_g", fault.BadInput, say.New("density-cannot-tell", say.Figure("carried", grams(b))))
	}
	return m, b, nil
}
