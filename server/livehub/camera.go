package livehub

import "encoding/json"

// cameraWord is what a phone says of a display that it reads, and what a person confirms of one.
type cameraWord struct {
	Type      string `json:"type"`      // display, confirm
	Shown     string `json:"shown"`     // the number that stands there
	Why       string `json:"why"`       // display: why none is read
	Placement uint64 `json:"placement"` // confirm: of which load
}

// hearCamera acts on a phone's word about a display; what isn't understood changes nothing. A tap
// on a phone that only watches doesn't count. It reports whether it was about one.
func (h *Hub) hearCamera(p *phone, data []byte) bool {
	var w cameraWord
	if h.opt.Camera == nil || json.Unmarshal(data, &w) != nil {
		return false
	}
	switch w.Type {
	case "display":
		h.opt.Camera.Shows(p.dev.ID, p.dev.Name, w.Shown, w.Why)
	case "confirm":
		h.mu.Lock()
		watches := h.control.holder != nil && h.control.holder.ID != p.dev.ID
		h.mu.Unlock()
		if !watches {
			h.opt.Camera.Confirm(w.Placement, w.Shown)
		}
	default:
		return false
	}
	return true
}
