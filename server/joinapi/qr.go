package joinapi

import (
	"strconv"
	"strings"

	"github.com/skip2/go-qrcode"
)

// qrSVG draws a QR code with its quiet zone, dark on light in either theme,
// because many cameras don't read the inverse.
func qrSVG(text string) (string, error) {
	code, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return "", err
	}
	rows := code.Bitmap()
	side := strconv.Itoa(len(rows))
	var path strings.Builder
	for y, row := range rows {
		for x := 0; x < len(row); x++ {
			run := x
			for run < len(row) && row[run] {
				run++
			}
			if run > x {
				path.WriteString("M" + strconv.Itoa(x) + " " + strconv.Itoa(y) + "h" + strconv.Itoa(run-x) + "v1H" + strconv.Itoa(x) + "z")
				x = run
			}
		}
	}
	return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ` + side + ` ` + side + `" shape-rendering="crispEdges" role="img" aria-label="Code to scan with a phone">` +
		`<path fill="#fff" d="M0 0h` + side + `v` + side + `H0z"/><path fill="#000" d="` + path.String() + `"/></svg>`, nil
}
