package journal

// Row is an entry as a phone stores it: its text, and what it is found by.
type Row struct {
	ID     ID     `json:"id"`
	Record Record `json:"record"`
	Kind   string `json:"kind"`
	Field  string `json:"field"`
	Raw    string `json:"raw"` // the wire form; its hash is over these bytes
}

// RowsOf are entries to be stored.
func RowsOf(entries []Entry) []Row {
	rows := make([]Row, len(entries))
	for i, e := range entries {
		rows[i] = e.Row()
	}
	return rows
}

// Row is the entry as it is to be stored.
func (e Entry) Row() Row { return Row{e.ID, e.Record, e.Kind, e.Field, string(e.Wire())} }
