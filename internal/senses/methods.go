package senses

import "panside/internal/stable"

// method answers one kind of question.
type method func(p *Pictures, q asked, on going) Object

// methods are all that can be asked; each function says what it takes and gives.
var methods = map[string]method{
	"rim":       seekRim,
	"sharpness": sharpness,
	"stack":     stack,
	"measure":   rule,
	"held":      heldBy,
	"through":   through,
	"over":      over,
	"laid":      laid,
	"relief":    makeRelief,
	"relief-of": reliefOf,
	"relit":     relit,
	"hints":     seekHints,
	"close-up":  findCloseUp,
	"mat":       layMat,
	"mat-of":    matOf,
	"dial":      makeDial,
	"level":     levelOf,
	"between":   between,
	"struck":    struck,
	"turns":     turnsOnDial,
}

// Methods lists what can be asked, for whoever tries all of it.
func Methods() []string { return stable.Keys(methods) }
