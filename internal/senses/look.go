package senses

import (
	"panside/internal/mass"
	"panside/internal/moment"
	"panside/internal/segments"
)

// eye is what the phone's camera reads with: a teacher until the display is taught, then a reader.
type eye struct {
	teacher *segments.Teacher
	reader  *segments.Reader
	luma    []byte
}

// Looked is what a frame, or a step of the teaching, gave.
type Looked struct {
	Why    segments.Why
	Text   string // the number as displayed; counts only without Why
	Taught bool   // the display is, so numbers can come
}

func (s *Senses) looked(why segments.Why, text string) Looked {
	return Looked{Why: why, Text: text, Taught: s.eye.reader != nil}
}

// Frame begins with a display anew: its window's corners clockwise from the top left, as x and y
// in pixels. The display shows grams.
func (s *Senses) Frame(corners [8]float64) Looked {
	var w segments.Window
	for i := range w {
		w[i] = segments.Point{X: corners[2*i], Y: corners[2*i+1]}
	}
	s.eye = eye{teacher: segments.NewTeacher(w, mass.Gram), luma: s.eye.luma}
	return s.looked("", "")
}

// Look takes a picture as RGBA, ms after any fixed moment, and gives what stands on the display.
func (s *Senses) Look(width, height int, rgba []byte, ms float64) Looked {
	if s.eye.teacher == nil {
		return s.looked(segments.NotADisplay, "")
	}
	f := segments.Luma(width, height, rgba, s.eye.luma)
	s.eye.luma = f.Pix
	at := moment.UnixMilli(int64(ms))
	if s.eye.reader == nil {
		return s.looked(s.eye.teacher.See(f, at), "")
	}
	seen := s.eye.reader.Read(f, at)
	return s.looked(seen.Why, seen.Text)
}

// Shown takes what a person says that the display shows. Taught says whether that was enough.
func (s *Senses) Shown(text string) Looked {
	if s.eye.teacher == nil {
		return s.looked(segments.NotADisplay, "")
	}
	return s.taught(s.eye.teacher.Shown(text))
}

// AllLit takes that all segments of so many digits are lit, as after switching on.
func (s *Senses) AllLit(digits int) Looked {
	if s.eye.teacher == nil {
		return s.looked(segments.NotADisplay, "")
	}
	return s.taught(s.eye.teacher.AllLit(digits))
}

func (s *Senses) taught(why segments.Why) Looked {
	if why == "" {
		s.eye.reader, why = s.eye.teacher.Reader()
	}
	return s.looked(why, "")
}
