package othercoin

import "math"

// Table is what coins lie on.
type Table string

// The tables.
const (
	Paper Table = "paper"
	Wood  Table = "wood"
	Cloth Table = "cloth"
	Slate Table = "slate"
	Print Table = "printed mat" // with rings and lines, none of them a coin
)

// Tables are all.
var Tables = []Table{Paper, Wood, Cloth, Slate, Print}

// color is the table's at a place, mm.
func (t Table) color(x, y float64, seed clouds) [3]float64 {
	fine := seed.at(x/0.15, y/0.15)
	gray := func(v float64) [3]float64 { return [3]float64{v, v, v * 0.97} }
	switch t {
	case Wood:
		warp := 2.5 * seed.rough(x/60, y/9, 3)
		g := 0.5 + 0.5*math.Sin(2*math.Pi*(y/5+warp))
		fiber := seed.at(x/4, y/0.25)
		v := 0.26 + 0.16*g + 0.05*fiber + 0.015*fine
		return [3]float64{v, v * 0.66, v * 0.4}
	case Cloth:
		v := 0.22 + 0.06*math.Sin(2*math.Pi*x/0.9)*math.Sin(2*math.Pi*y/0.9) + 0.03*fine + 0.05*seed.at(x/12, y/12)
		return [3]float64{v * 0.55, v * 0.7, v}
	case Slate:
		return gray(0.05 + 0.02*seed.rough(x/3, y/3, 4) + 0.008*fine)
	case Print:
		v := 0.62 + 0.02*fine
		for k := range 3 {
			a, b := 40*seed.corner(int32(k), 1000), 40*seed.corner(int32(k), 1001)
			r := 12 + 6*seed.corner(int32(k), 1002)
			if math.Abs(math.Hypot(x-a, y-b)-r) < 0.35 {
				v = 0.15
			}
		}
		if m := math.Mod(math.Abs(x)+0.2, 10); m < 0.4 {
			v *= 0.6
		}
		return gray(v)
	}
	return gray(0.72 + 0.03*fine + 0.04*seed.rough(x/20, y/20, 2))
}
