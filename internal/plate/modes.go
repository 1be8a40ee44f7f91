package plate

import "math"

// Mode is a bending mode by its nodal diameters and circles, written (n,s).
type Mode struct {
	Diameters, Circles int
	// shear is s in the correction 1/(1 + s·(h/R)²), rim by what factor the raised rim
	// lowers the mode.
	shear, rim float64
	// heard is how often the partial stands out when a coin balanced on a finger tip
	// is tapped with wood. The tip damps what moves most there, (0,1). Assumed.
	heard float64
	// roots are λ² at the Poisson's ratios of the table.
	roots [4]float64
}

// The Poisson's ratios of the table of roots: equally far apart.
const (
	firstRatio = 0.25
	ratioStep  = 0.06
)

// Modes are those that a coin lets be heard below 22 kHz, lowest first.
var Modes = [...]Mode{
	{Diameters: 2, Circles: 0, shear: 1.5, rim: 0.984, heard: 0.97, roots: [4]float64{5.5112, 5.3266, 5.1279, 4.9134}},
	{Diameters: 0, Circles: 1, shear: 1.5, rim: 0.98, heard: 0.5, roots: [4]float64{8.8899, 9.0252, 9.1542, 9.2771}},
	{Diameters: 3, Circles: 0, shear: 3.1, rim: 0.98, heard: 0.5, roots: [4]float64{12.7443, 12.3750, 11.9689, 11.5217}},
	{Diameters: 1, Circles: 1, shear: 3.9, rim: 0.98, heard: 0.3, roots: [4]float64{20.4092, 20.4875, 20.5637, 20.6380}},
	{Diameters: 4, Circles: 0, shear: 5.0, rim: 0.98, heard: 0.3, roots: [4]float64{22.3120, 21.7344, 21.0891, 20.3676}},
}

// root is λ² at Poisson's ratio nu, by cubic interpolation in the table: within 1e-4
// between 0.2 and 0.45.
func (m *Mode) root(nu float64) float64 {
	t := (nu - firstRatio) / ratioStep
	// Lagrange over the nodes 0, 1, 2, 3.
	sum := 0.0
	for i, y := range m.roots {
		w := y
		for j := range m.roots {
			if j != i {
				w *= (t - float64(j)) / float64(i-j)
			}
		}
		sum += w
	}
	return sum
}

// thin is equation (1) without its constants of the mode: the frequency in Hz for
// λ² = 1, from radius and thickness in metres, stiffness E/(1−ν²) in Pa and density in
// kg/m³.
func thin(radius, thickness, stiffness, density float64) float64 {
	return thickness * math.Sqrt(stiffness/(12*density)) / (2 * math.Pi * radius * radius)
}
