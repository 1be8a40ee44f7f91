package coin

// elementDensity in g/cm³. Source: NIST SRD 126 table 1 / NIST STAR
// composition values, read in public source files that carry the table
// (grade S); that of Cr is from memory.
var elementDensity = map[Element]float64{
	"Cu": 8.960, "Zn": 7.133, "Ni": 8.902, "Ag": 10.50, "Sn": 7.310,
	"Fe": 7.874, "Mn": 7.440, "Au": 19.32, "Al": 2.699, "Cr": 7.18,
}

// Density in g/cm³: the likeliest value and the band that the real one should
// lie in.
type Density struct{ Value, Low, High float64 }

// Known reports whether there is a density at all.
func (d Density) Known() bool { return d.Value > 0 }

// Density of a coin struck on p. Within an alloy it follows the rule of ideal
// mixing, volumes add:
//
//	1/ρ = Σ wᵢ/ρᵢ   over the elements' mass fractions wᵢ
//
// and layers add their volumes exactly, in the same form over their shares.
// The band carries each alloy's DensityBand through the same sum.
//
// If the layers' shares aren't published, the band runs from the lightest
// layer to the heaviest; the value is the core's under a plating, the band's
// middle for ring and core. A planchet that is unknown, or has a layer whose
// alloy isn't published, has no density.
func (b *Book) Density(p Planchet) Density {
	for _, y := range p.Layers {
		if len(b.alloys[y.Alloy].Fractions) == 0 {
			return Density{}
		}
	}
	switch {
	case len(p.Layers) == 0:
		return Density{}
	case p.SplitKnown():
		return b.layered(p.Layers)
	default:
		return b.unsplit(p.Layers)
	}
}

// layered is 1/ρ = Σ wⱼ/ρⱼ over the layers. The shares sum to 1 within
// rounding; dividing by their sum keeps a rounded split from tilting the
// result.
func (b *Book) layered(layers []Layer) Density {
	var total float64
	var volume Density // cm³ per gram of coin, at each of the three densities
	for _, y := range layers {
		d := b.alloys[y.Alloy].density()
		total += y.Share
		volume.Value += y.Share / d.Value
		volume.Low += y.Share / d.Low
		volume.High += y.Share / d.High
	}
	return Density{total / volume.Value, total / volume.Low, total / volume.High}
}

func (b *Book) unsplit(layers []Layer) Density {
	spread := b.alloys[layers[0].Alloy].density()
	var core Density
	for _, y := range layers {
		d := b.alloys[y.Alloy].density()
		spread.Low = min(spread.Low, d.Low)
		spread.High = max(spread.High, d.High)
		if y.Part == Core {
			core = d
		}
	}
	spread.Value = (spread.Low + spread.High) / 2
	if layers[0].Part == Plating {
		spread.Value = core.Value
	}
	return spread
}

// density is the ideal-mixing value of one alloy with its band.
func (a Alloy) density() Density {
	volume := 0.0
	for _, f := range a.Fractions {
		volume += f.Share / elementDensity[f.Element]
	}
	rho := 1 / volume
	return Density{rho, rho * (1 + a.DensityBand[0]), rho * (1 + a.DensityBand[1])}
}
