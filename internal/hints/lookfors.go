package hints

// LookFors are the kinds of look-fors in the coin book that a mark may be, with what is taken for them, and
// the question of the identification key to go on from, which is empty for its first. Common practice.
func (k Kind) LookFors() (kinds []string, key string) {
	switch k {
	case SecondImage:
		return []string{"doubled-die", "repunched-mint-mark", "over-mint-mark", "repunched-date", "overdate", "multiple-strike",
			"strike-doubling", "worn-die-doubling", "wavy-steps"}, "double"
	case OtherSide:
		return []string{"die-clash", "double-denomination"}, "ghost"
	}
	return []string{"die-chip", "die-break", "cud", "die-gouge", "filled-die", "dropped-letter", "struck-through", "missing-mint-mark",
		"missing-designer-initials", "date-style", "mint-mark-style", "lettering-style", "lamination", "damage"}, ""
}
