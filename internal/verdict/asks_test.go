package verdict_test

import (
	"errors"
	"strings"
	"testing"

	"panside/internal/book/data"
	"panside/internal/fault"
	"panside/internal/mass"
	"panside/internal/verdict"
)

// dated is a coin of a date and mark on a 0.01 g scale.
func dated(denomination string, year int, mint string, y mass.Grams, answers ...verdict.Answer) verdict.Question {
	q := on(0.01, y, denomination)
	q.Year, q.Mint, q.Answers = year, mint, answers
	return q
}

// TestTheOneThingToSeeIsAsked: where weight, date and mark leave one thing between
// ordinary and rare. Which dates these are is common practice.
func TestTheOneThingToSeeIsAsked(t *testing.T) {
	for _, tc := range []struct {
		q     verdict.Question
		asked string
	}{
		{dated("cent", 1982, "D", 3.11), "us-cent-1982-date"},
		{dated("cent", 1982, "D", 3.06), "us-cent-1982-date"},
		{dated("cent", 1982, "D", 2.50), ""}, // zinc has both sizes
		{dated("cent", 1982, "-", 3.11), ""}, // Philadelphia struck both
		{dated("cent", 1982, "", 3.11), ""},  // the mark isn't read: more than one thing to see
		{dated("cent", 1982, "D", 2.27), ""}, // the weight has another question
		{dated("cent", 1960, "-", 3.11), "us-cent-1960-date"},
		{dated("cent", 1960, "P", 3.11), "us-cent-1960-date"},
		{dated("cent", 1960, "D", 3.11), "us-cent-1960-date"},
		{dated("cent", 1961, "D", 3.11), ""},
		{dated("cent", 1970, "S", 3.11), "us-cent-1970-s-date"},
		{dated("cent", 1970, "D", 3.11), ""},
		{dated("cent", 1979, "S", 3.11), "us-1979-s-mark"},
		{dated("nickel", 1979, "S", 5.00), "us-1979-s-mark"},
		{dated("dime", 1979, "S", 2.27), "us-1979-s-mark"},
		{dated("quarter", 1979, "S", 5.67), "us-1979-s-mark"},
		{dated("half", 1979, "S", 11.34), "us-1979-s-mark"},
		{dated("dollar", 1979, "S", 8.10), "us-1979-s-mark"},
		{dated("dime", 1979, "D", 2.27), ""},
		{dated("cent", 1981, "S", 3.11), "us-1981-s-mark"},
		{dated("quarter", 1981, "S", 5.67), "us-1981-s-mark"},
		{dated("dollar", 1981, "S", 8.10), "us-1981-s-mark"},
		{dated("cent", 1992, "-", 2.50), "us-cent-am"},
		{dated("cent", 1992, "D", 2.50), "us-cent-am"},
		{dated("cent", 1992, "S", 2.50), ""},
		{dated("cent", 1993, "D", 2.50), ""},
		{dated("cent", 1998, "-", 2.50), "us-cent-am"},
		{dated("cent", 1998, "D", 2.50), ""},
		{dated("cent", 1998, "S", 2.50), "us-cent-am"},
		{dated("cent", 1999, "-", 2.50), "us-cent-am"},
		{dated("cent", 1999, "S", 2.50), "us-cent-am"},
		{dated("cent", 2000, "-", 2.50), "us-cent-am"},
		{dated("cent", 2000, "S", 2.50), ""},
		{dated("nickel", 1942, "", 5.00), "us-nickel-mark"},
		{dated("nickel", 0, "", 5.00), "us-nickel-mark"},
		{dated("nickel", 1942, "P", 5.00), ""},
		{dated("nickel", 1942, "D", 5.00), ""},
		{dated("nickel", 1942, "-", 5.00), ""},
		{dated("nickel", 1943, "", 5.00), ""},
		{dated("nickel", 1964, "", 5.00), ""},
		{dated("nickel", 0, "", 3.95), ""},
		{dated("cent", 0, "", 3.11), ""},
	} {
		v := judge(t, tc.q)
		asked := ""
		if v.Question != nil {
			asked = v.Question.ID
		}
		if asked != tc.asked {
			t.Errorf("%s %d-%s of %v g (%s): asked %q, want %q", tc.q.Denomination, tc.q.Year, tc.q.Mint, tc.q.Mean, v.Claim, asked, tc.asked)
		}
		if tc.asked != "" {
			holdWords(t, tc.q, v)
		}
	}
}

// TestAnsweredRare: the answer makes the verdict, says what to check, and leaves the
// last word to an expert.
func TestAnsweredRare(t *testing.T) {
	for _, tc := range []struct {
		denomination     string
		year             int
		mint             string
		y                mass.Grams
		question, choice string
		claim, name      string
	}{
		{"cent", 1982, "D", 3.11, "us-cent-1982-date", "small", "look/bronze/transitional-alloy/", "1982-D, bronze, small date"},
		{"cent", 1960, "-", 3.11, "us-cent-1960-date", "small", "look/bronze/date-style/", "1960, small date"},
		{"cent", 1970, "S", 3.11, "us-cent-1970-s-date", "small", "look/bronze/date-style/", "1970-S, small date"},
		{"dime", 1979, "S", 2.27, "us-1979-s-mark", "clear", "look/clad/mint-mark-style/", "1979-S, clear S"},
		{"half", 1981, "S", 11.34, "us-1981-s-mark", "flat", "look/clad/mint-mark-style/", "1981-S, flat S"},
		{"cent", 1992, "D", 2.50, "us-cent-am", "close", "look/zinc/lettering-style/", "1992-D, close AM"},
		{"cent", 1999, "-", 2.50, "us-cent-am", "wide", "look/zinc/lettering-style/", "1999, wide AM"},
		{"cent", 1998, "S", 2.50, "us-cent-am", "close", "look/zinc/lettering-style/", "1998-S, close AM"},
	} {
		q := dated(tc.denomination, tc.year, tc.mint, tc.y, verdict.Answer{Question: tc.question, Choice: tc.choice})
		v := judge(t, q)
		holdWords(t, q, v)
		if v.Claim.String() != tc.claim || v.Question != nil || !v.CountAs.SetAside || v.CountAs.Name != "" {
			t.Errorf("%s: %s, asks %v, tally %+v", tc.name, v.Claim, v.Question, v.CountAs)
		}
		if len(v.Answered) != 1 || v.Answered[0].Choice != tc.choice || v.Answered[0].Name != tc.name || v.Answered[0].Rarity == "" || v.Answered[0].Kind != string(v.Claim.Kind) {
			t.Fatalf("%s: answered %+v", tc.name, v.Answered)
		}
		if !strings.HasPrefix(v.Headline, tc.name+": "+v.Answered[0].Rarity) || !strings.Contains(v.Headline, "then ask an expert") {
			t.Errorf("%s: %q", tc.name, v.Headline)
		}
	}
}

// TestAnsweredOrdinary: nothing is asked again, and the coin is what its weight says.
func TestAnsweredOrdinary(t *testing.T) {
	for _, tc := range []struct {
		denomination     string
		year             int
		mint             string
		y                mass.Grams
		question, choice string
		claim            string
	}{
		{"cent", 1982, "D", 3.11, "us-cent-1982-date", "large", "ordinary/bronze//"},
		{"cent", 1982, "D", 2.50, "us-cent-1982-date", "small", "ordinary/zinc//"}, // common in zinc
		{"cent", 1960, "D", 3.11, "us-cent-1960-date", "small", "ordinary/bronze//"},
		{"cent", 1960, "D", 3.11, "us-cent-1960-date", "large", "ordinary/bronze//"},
		{"quarter", 1979, "S", 5.67, "us-1979-s-mark", "filled", "ordinary/clad//"},
		{"cent", 1992, "-", 2.50, "us-cent-am", "wide", "ordinary/zinc//"},
		{"cent", 1998, "-", 2.50, "us-cent-am", "close", "ordinary/zinc//"},
		{"nickel", 1942, "", 5.00, "us-nickel-mark", "above-dome", "ordinary/silver-350//"},
		{"nickel", 1942, "", 5.00, "us-nickel-mark", "beside", "ordinary/cupronickel//"},
		{"nickel", 1942, "", 5.00, "us-nickel-mark", "none", "ordinary/cupronickel//"},
		{"nickel", 0, "", 5.00, "us-nickel-mark", "above-dome", "ordinary/silver-350//"},
		{"nickel", 0, "", 5.00, "us-nickel-mark", "beside", "ordinary/cupronickel//"},
		{"nickel", 0, "D", 5.00, "us-nickel-mark", "above-dome", "ordinary/silver-350//"},
		{"nickel", 0, "", 5.00, "us-nickel-mark", "none", "ordinary/cupronickel//"},
	} {
		q := dated(tc.denomination, tc.year, tc.mint, tc.y, verdict.Answer{Question: tc.question, Choice: tc.choice})
		v := judge(t, q)
		holdWords(t, q, v)
		if v.Claim.String() != tc.claim || v.Question != nil || len(v.Answered) != 1 || v.Answered[0].Choice != tc.choice {
			t.Errorf("%s %d-%s %s: %s, asks %+v, answered %+v", tc.denomination, tc.year, tc.mint, tc.choice, v.Claim, v.Question, v.Answered)
		}
	}
}

// TestAnswersNameTheCoin: by its date as read, by the metal where the date leaves it open,
// and by what was seen.
func TestAnswersNameTheCoin(t *testing.T) {
	for _, tc := range []struct {
		q    verdict.Question
		name string
	}{
		{dated("cent", 1982, "D", 3.11, verdict.Answer{Question: "us-cent-1982-date", Choice: "large"}), "1982-D, bronze, large date"},
		{dated("cent", 1982, "D", 2.50, verdict.Answer{Question: "us-cent-1982-date", Choice: "small"}), "1982-D, copper-plated zinc, small date"},
		{dated("cent", 1982, "", 3.11, verdict.Answer{Question: "us-cent-1982-date", Choice: "small"}), "1982, bronze, small date"},
		{dated("cent", 1960, "P", 3.11, verdict.Answer{Question: "us-cent-1960-date", Choice: "large"}), "1960, large date"},
		{dated("nickel", 1942, "", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "above-dome"}), "1942, 35% silver, above the dome"},
		{dated("nickel", 1942, "", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "beside"}), "1942, copper-nickel"},
		{dated("nickel", 0, "", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "above-dome"}), "35% silver, above the dome"},
	} {
		if v := judge(t, tc.q); len(v.Answered) != 1 || v.Answered[0].Name != tc.name || v.Question != nil {
			t.Errorf("%+v, asks %v; want %q", v.Answered, v.Question, tc.name)
		}
	}
}

// TestAnAnswerThatFitsNoCoinIsRefused by its field.
func TestAnAnswerThatFitsNoCoinIsRefused(t *testing.T) {
	for _, q := range []verdict.Question{
		dated("cent", 1983, "D", 3.11, verdict.Answer{Question: "us-cent-1982-date", Choice: "small"}),
		dated("cent", 1982, "-", 3.11, verdict.Answer{Question: "us-cent-1982-date", Choice: "small"}),
		dated("cent", 0, "", 3.11, verdict.Answer{Question: "us-cent-1982-date", Choice: "small"}),
		dated("cent", 1982, "D", 3.11, verdict.Answer{Question: "us-cent-1982-date", Choice: "medium"}),
		dated("dime", 1982, "D", 2.27, verdict.Answer{Question: "us-cent-1982-date", Choice: "small"}),
		dated("cent", 1982, "D", 3.11, verdict.Answer{Question: "nothing", Choice: "small"}),
		dated("nickel", 1950, "D", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "above-dome"}),
		dated("nickel", 1943, "", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "none"}),
		dated("nickel", 1942, "P", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "none"}),
		dated("nickel", 0, "D", 5, verdict.Answer{Question: "us-nickel-mark", Choice: "none"}),
	} {
		_, err := verdict.Judge(data.Coins(), q)
		if f := fault.Of(err); err == nil || f.Code != fault.BadInput || fieldOf(err) != "evidence."+q.Answers[0].Question {
			t.Errorf("%s %d-%s %s: %v in field %q", q.Denomination, q.Year, q.Mint, q.Answers[0].Choice, err, fieldOf(err))
		}
	}
}

// TestAskedOnlyWhereItMatters: hands-free stops for a coin that the weight has
// singled out of its date's, and not for each of a date.
func TestAskedOnlyWhereItMatters(t *testing.T) {
	if v := judge(t, dated("cent", 1982, "D", 3.11)); !v.CountAs.SetAside || !strings.HasSuffix(v.Spoken, "?") {
		t.Errorf("1982-D in bronze: %+v, %q", v.CountAs, v.Spoken)
	}
	for _, q := range []verdict.Question{dated("cent", 1999, "-", 2.50), dated("cent", 1982, "D", 2.50), dated("nickel", 0, "", 5)} {
		if v := judge(t, q); v.CountAs.SetAside {
			t.Errorf("%s %d: %+v", q.Denomination, q.Year, v.CountAs)
		}
	}
}

func fieldOf(err error) string {
	var f *fault.Field
	if errors.As(err, &f) {
		return f.Name
	}
	return ""
}
