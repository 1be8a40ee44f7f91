package journal

// Rule names one rule of an entry's wire form.
type Rule string

// The rules, on the wire in a Refusal: never change one.
const (
	RuleForm      Rule = "form"       // the parts, their order, nothing between them
	RuleID        Rule = "id"         // WRITER.SEQ
	RuleAt        Rule = "at"         // MILLIS.COUNT
	RuleRecord    Rule = "record"     // a UUID in small letters
	RuleKind      Rule = "kind"       // 1 to 20 of a-z, 0-9, -, _ and /
	RuleField     Rule = "field"      // 1 to 80 of them
	RuleValueSize Rule = "value-size" // at most MaxValue bytes
	RuleValue     Rule = "value"      // compact JSON, see compactJSON
	RuleReplaces  Rule = "replaces"   // ids, sorted, at most MaxReplaces, none of the writer's own later ones
	RulePrev      Rule = "prev"       // the SHA-256 of the writer's entry before, none in its first
)

// RuleError says which rule an entry breaks. It is for programs and the log; a
// person never writes entries by hand.
type RuleError struct {
	Rule Rule
	what string
}

func (e *RuleError) Error() string { return "journal: " + e.what }
