// Package density turns two weighings of a coin, dry and in water, into the
// density of its metal with an honest uncertainty.
//
// Units: grams, grams per cubic centimetre (1 g/cm³ = 1000 kg/m³), degrees
// Celsius, hectopascals, percent relative humidity.
package density

import (
	"math"
	"strconv"

	"panside/internal/fault"
	"panside/internal/say"
)

// Celsius is a temperature in degrees Celsius.
type Celsius float64

// GramsPerCC is a density in g/cm³.
type GramsPerCC float64

// Water is the density of air-free pure water at 101 325 Pa, valid from 0 to
// 40 °C:
//
//	ρ = a5·[1 − (t + a1)²·(t + a2) / (a3·(t + a4))]
//
// Source: M. Tanaka et al., Metrologia 38 (2001) 301–309. An older form with
// other constants goes by the same name in places and is 27 ppm higher at
// 20 °C. Tap water differs by less than its dissolved salts allow to matter
// here: see WaterU. Error fault.BadInput outside 0 to 40 °C.
func Water(t Celsius) (GramsPerCC, error) {
	if !(t >= 0 && t <= 40) {
		return 0, fault.InField("water_c", fault.BadInput, say.New("density-water-temperature", say.Figure("given", digits(float64(t)))))
	}
	const (
		a1 = -3.983035
		a2 = 301.797
		a3 = 522528.9
		a4 = 69.34881
		a5 = 999.974950
	)
	c := float64(t)
	rho := a5 * (1 - (c+a1)*(c+a1)*(c+a2)/(a3*(c+a4)))
	return GramsPerCC(rho / 1000), nil
}

// WaterU is the standard uncertainty of Water for household water whose
// temperature is known to uT:
//
//	u² = (∂ρ/∂t · uT)² + u_tap²
//
// The slope is taken numerically from Water. u_tap = 0.0003 g/cm³ covers tap
// water's dissolved salts and air (assumed: hard water of 500 mg/l is about
// 0.0004 denser).
func WaterU(t, uT Celsius) GramsPerCC {
	const (
		h    = 0.05
		uTap = 0.0003
	)
	lo, hi := max(0, t-h), min(40, t+h)
	a, errA := Water(lo)
	b, errB := Water(hi)
	if errA != nil || errB != nil || hi <= lo {
		return GramsPerCC(math.NaN())
	}
	slope := float64(b-a) / float64(hi-lo)
	return GramsPerCC(math.Hypot(slope*float64(uT), uTap))
}

// ConventionalAir is the air density that weighing conventionally assumes.
// Source: OIML D 28, as cited by general metrology references.
const ConventionalAir GramsPerCC = 0.0012

// Air is the density of moist air with 400 ppm carbon dioxide by the CIPM-2007
// formula:
//
//	ρ = p·Ma/(Z·R·T) · [1 − xv·(1 − Mv/Ma)]
//
// with pressure p in hPa, relative humidity h in %, temperature t in °C.
// Source: A. Picard et al., Metrologia 45 (2008) 149–155. Errors
// fault.BadInput outside 600–1100 hPa, 0–100 %, and −5–45 °C, a little beyond
// the range the formula is recommended for (15–27 °C).
func Air(p, h float64, t Celsius) (GramsPerCC, error) {
	switch {
	case !(p >= 600 && p <= 1100):
		return 0, fault.InField("pressure_hpa", fault.BadInput, say.New("density-pressure", say.Figure("given", digits(p))))
	case !(h >= 0 && h <= 100):
		return 0, fault.InField("humidity_pct", fault.BadInput, say.New("density-humidity", say.Figure("given", digits(h))))
	case !(t >= -5 && t <= 45):
		return 0, fault.InField("air_c", fault.BadInput, say.New("density-air-temperature", say.Figure("given", digits(float64(t)))))
	}
	c := float64(t)
	pa := p * 100
	kelvin := c + 273.15
	saturation := math.Exp(1.2378847e-5*kelvin*kelvin - 1.9121316e-2*kelvin + 33.93711047 - 6.3431645e3/kelvin)
	enhancement := 1.00062 + 3.14e-8*pa + 5.6e-7*c*c
	xv := h / 100 * enhancement * saturation / pa
	z := 1 -
		pa/kelvin*(1.58123e-6-2.9331e-8*c+1.1043e-10*c*c+(5.707e-6-2.051e-8*c)*xv+(1.9898e-4-2.376e-6*c)*xv*xv) +
		pa*pa/(kelvin*kelvin)*(1.83e-11-0.765e-8*xv*xv)
	rho := 3.483740e-3 * pa / (z * kelvin) * (1 - 0.3780*xv)
	return GramsPerCC(rho / 1000), nil
}

// digits writes a value that is refused.
func digits(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
