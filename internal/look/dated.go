package look

// Dated is what is known of a kind on some years of a denomination, as one who has
// named what they see wants to hear next.
type Dated struct {
	Years  string   `json:"years"` // “1955”, “1942-1945”
	Mints  []string `json:"mints"` // “-” for no mark; empty for all
	Name   string   `json:"name"`
	Side   string   `json:"side"`
	Where  string   `json:"where"`
	See    string   `json:"see"`
	Rarity string   `json:"rarity"`
	// English names the fields above whose text is English because the book's language
	// has none; left out if there are none.
	English []string `json:"english,omitempty"`
}

// Dated lists what is known of a kind by date, in the order of the data, which is by
// years. What is normal on its date is left off: nobody looks for that.
func (b *Book) Dated(country, denomination, kind string) []Dated {
	out := []Dated{}
	d, ok := b.denomination(country + "/" + denomination)
	if !ok {
		return out
	}
	for i := range d.Dates {
		f := &d.Dates[i]
		k := b.kinds[kind]
		if f.Kind != kind || k == nil {
			continue
		}
		w := f.words.or(k.words)
		if w.Rarity == "normal" {
			continue
		}
		mints := f.Mints
		if mints == nil {
			mints = []string{}
		}
		out = append(out, Dated{f.Years, mints, first(f.Name, k.Name), w.Side, b.place(w.Where, f.Clock), w.See, w.Rarity, f.inEnglish(k)})
	}
	return out
}
