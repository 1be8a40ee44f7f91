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

// lookOut is what a frame, or a step of the teaching, gave.
type lookOut struct {
	Why    segments.Why `json:"why"`
	Text   string       `json:"text"` // the number as displayed; counts only without why
	Taught bool         `json:"taught"`
}

func (s *Senses) looked(why segments.Why, text string) []byte {
	return answer(lookOut{Why: why, Text: text, Taught: s.eye.reader != nil})
}

// Frame begins with a display anew: its window's corners clockwise from the top left, as x and y
// in pixels. The display shows grams.
func (s *Senses) Frame(corners [8]float64) []byte {
	var w segments.Window
	for i := range w {
		w[i] = segments.Point{X: corners[2*i], Y: corners[2*i+1]}
	}
	s.eye = eye{teacher: segments.NewTeacher(w, mass.Gram), luma: s.eye.luma}
	return s.looked("", "")
}

// Look takes a picture as RGBA, ms after any fixed moment, and gives what stands on the display.
func (s *Senses) Look(width, height int, rgba []byte, ms float64) []byte {
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
func (s *Senses) Shown(text string) []byte {
	if s.eye.teacher == nil {
		return s.looked(segments.NotADisplay, "")
	}
	return s.taught(s.eye.teacher.Shown(text))
}

// AllLit takes that all segments of so many digits are lit, as after switching on.
func (s *Senses) AllLit(digits int) []byte {
	if s.eye.teacher == nil {
		return s.looked(segments.NotADisplay, "")
	}
	return s.taught(s.eye.teacher.AllLit(digits))
}

func (s *Senses) taught(why segments.Why) []byte {
	if why == "" {
		s.eye.reader, why = s.eye.teacher.Reader()
	}
	return s.looked(why, "")
}
