package spoken

import (
	"strconv"
	"time"

	"panside/internal/say"
)

// Day is a date: “January 2, 2006”.
func Day(t time.Time) say.Line {
	return say.New("date", say.Text("day", strconv.Itoa(t.Day())), say.Text("month", t.Month().String()), say.Text("year", strconv.Itoa(t.Year())))
}
