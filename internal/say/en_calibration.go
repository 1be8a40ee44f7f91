package say

// enCalibration are the lines of the guide through a scale check.
var enCalibration = map[string]string{
	// What a check found.
	"found-no-weight":    "Accuracy not measured: no check weight was used, so it is still assumed from the step.",
	"found-no-error":     "No error of the scale can be seen: {off} g at {load} g, known to ±{u} g.",
	"found-error":        "The scale shows too {way, select, more {much} other {little}}: {off} g at {load} g (±{u} g), {way, select, more {+} other {−}}{share}%. Its weights are corrected by that.",
	"found-spread-below": "Repeated placements scatter by less than {high} g (95%, {times, plural, one {# placement} other {# placements}}); the display’s step hides what is finer.",
	"found-spread":       "Repeated placements scatter by {s} g (standard deviation; 95%: {low} to {high} g, {times, plural, one {# placement} other {# placements}}).",
	"found-linear":       "The scale is linear, as far as these weights can show.",
	"found-not-linear":   "It isn’t linear: with {weight} it is off the line by {off} g, more than weights and rounding explain.",
	"found-no-drift":     "No drift can be seen in {minutes} minutes: it is less than {most} g an hour.",
	"found-drift":        "The untouched scale drifts {way, select, up {up} other {down}} by {rate} g an hour (±{u} g, watched for {minutes} minutes).",
	"found-worth":        "At 5 g one weighing is good to ±{small} g (95%); unchecked, ±{unchecked} g would have been assumed.",
	"found-worth-both":   "At 5 g one weighing is good to ±{small} g (95%), at 20 g to ±{large} g; unchecked, ±{unchecked} g would have been assumed.",
	"found-part-assumed": "Part of that is still assumed.",

	// What would make it better.
	"advice-spread":        "Repeatability isn’t measured by so few readings: put one weight on and take it off five times. Until then it stays assumed.",
	"advice-weight":        "For the scale’s error weigh a check weight of class M1 or finer.",
	"advice-second-weight": "One weight can’t show whether the scale is linear. Add a second one, about half as heavy.",
	"advice-watch":         "The scale was watched too briefly to see its drift: leave it alone for two minutes at least.",
	"advice-adjust":        "With {weight} the scale is off by {off} g, beyond what a class II balance in service may be. Adjust it as its manual says and check again; if a second weight doesn’t agree, the weight may be the wrong one.",
	"advice-finer-weight":  "The weight {weight} is known too coarsely for this scale: its uncertainty is more than a third of a step (common practice). A finer class would help.",
	"advice-certificate":   "By its certificate, {weight} lies outside the limits of its class. The certificate’s value is used; have the weight looked at.",
	"advice-apart":         "Readings of one weight lie {apart} g apart, more than a class II balance may show. Look for drafts, a soft or shaking table, a warm lamp, or a weight that isn’t put in the middle.",

	// When a check is old.
	"old-undated":     "The check has no date. Check the scale again.",
	"old-future":      "The check is dated in the future. See that the clock is right, or check the scale again.",
	"old-days":        "The last check is {days, plural, one {# day} other {# days}} old. Check the scale again.",
	"old-temperature": "It is {change} °C {way, select, warmer {warmer} other {colder}} than at the check. Check the scale again.",
	"old-place":       "The scale stands at another place than at the check (“{place}”). Level it and check it again.",
}
