package shown_test

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"testing"
	"time"

	"panside/internal/mass"
	"panside/internal/shown"
)

// course plays a text, one event a line, and compares what stands after each:
//
//	lay 7 cent            the pan has load 7, asked about as a cent
//	100 bronze 3.11       at 100 ms an answer in motion, of an estimate of 3.11 g
//	100 bronze 3.11 rest  the same at rest
//	100 bronze 3.11 late 6 cent   about another subject
//	refuse, refuse 6 cent the subject, or another, can't be judged
//	clear                 there is no load
//
// “?” behind a claim makes it one that can't tell, “.” one that isn't decisive.
// Behind “->” stand the claims on the glass and, after a slash, of the last
// coin, with + if something waits; “-” is none.
func course(t *testing.T, text string) {
	t.Helper()
	var g shown.Glass
	claims := map[int]string{0: "-"}
	number := 0
	var on shown.Subject
	for line := range strings.Lines(strings.TrimSpace(text)) {
		event, want, ok := strings.Cut(strings.TrimSpace(line), " -> ")
		if !ok {
			t.Fatalf("a line without “->”: %q", line)
		}
		words := strings.Fields(event)
		subject := func(from int) shown.Subject {
			if len(words) <= from {
				return on
			}
			load, err := strconv.ParseUint(words[from], 10, 64)
			if err != nil {
				t.Fatal(err)
			}
			return shown.Subject{Load: load, Asked: words[from+1]}
		}
		switch words[0] {
		case "lay":
			on = subject(1)
			g.Lay(on)
		case "clear":
			g.Clear()
		case "refuse":
			g.Refuse(subject(1))
		default:
			ms, err := strconv.Atoi(words[0])
			if err != nil {
				t.Fatal(err)
			}
			grams, err := strconv.ParseFloat(words[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			number++
			claim := strings.TrimRight(words[1], "?.")
			claims[number] = claim
			a := shown.Answer{Number: number, Claim: claim, Open: strings.HasSuffix(words[1], "?"), Mean: mass.Grams(grams), U: 0.01}
			a.Decisive = claim == words[1]
			of := on
			if len(words) > 3 {
				a.Settled = words[3] == "rest"
				if words[3] == "late" {
					of = subject(4)
				}
			}
			g.Offer(of, a, time.Duration(ms)*time.Millisecond)
		}
		v := g.View()
		got := claims[v.Now] + "/" + claims[v.Last]
		if v.Waiting {
			got += "+"
		}
		if v.Refused {
			got += " refused"
		}
		if got != want {
			t.Errorf("after %q: %s, want %s\n%+v", event, got, want, g)
		}
	}
}

func TestInMotionASecondEstimateMustConfirm(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 -> -/-+
		49 bronze 3.12 -> -/-+
		50 bronze 3.12 -> bronze/-`)
}

func TestOneEstimateCannotConfirmItself(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 -> -/-+
		60 bronze 3.11 -> -/-+
		149 bronze 3.11 -> -/-+
		150 bronze 3.11 -> bronze/-`)
}

func TestAnotherClaimMeanwhileBeginsTheWaitAnew(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 -> -/-+
		140 zinc 2.9 -> -/-+
		180 zinc 2.8 -> -/-+
		190 zinc 2.7 -> zinc/-`)
}

func TestTheFirstAnswerAtRestIsShownAtOnce(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 either? 2.8 rest -> either/-`)
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 -> -/-+
		60 bronze 3.10 -> bronze/-
		61 zinc 2.5 rest -> zinc/-`)
}

func TestCannotTellInMotionIsNothing(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 open? 2.8 -> -/-
		5000 open? 2.9 -> -/-
		5010 bronze 3.11 -> -/-+
		5060 bronze 3.10 -> bronze/-
		5100 open? 2.9 -> bronze/-+
		5399 open? 2.9 -> bronze/-+
		5400 open? 2.9 -> -/bronze`)
}

func TestAnotherClaimMustHold(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		100 zinc 2.5 rest -> bronze/-+
		399 zinc 2.5 rest -> bronze/-+
		400 zinc 2.5 rest -> zinc/-`)
}

func TestTwoInTurnDontFlicker(t *testing.T) {
	text := "lay 7 cent -> -/-\n0 bronze 3.11 rest -> bronze/-\n"
	for ms := 50; ms < 2000; ms += 100 {
		text += fmt.Sprintf("%d zinc 2.8 rest -> bronze/-+\n%d bronze 2.8 rest -> bronze/-\n", ms, ms+50)
	}
	course(t, text)
}

func TestSeveralOthersInTurnEndAnAnswer(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		50 zinc 2.8 -> bronze/-+
		150 steel 2.7 -> bronze/-+
		250 zinc 2.8 -> bronze/-+
		349 steel 2.7 -> bronze/-+
		350 zinc 2.8 -> -/bronze`)
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		50 zinc 2.8 rest -> bronze/-+
		150 steel 2.7 rest -> bronze/-+
		250 zinc 2.8 rest -> bronze/-+
		349 steel 2.7 rest -> bronze/-+
		350 zinc 2.8 rest -> -/bronze+
		351 zinc 2.8 rest -> zinc/bronze`)
}

func TestAnUnchangedClaimFollowsItsFigures(t *testing.T) {
	var g shown.Glass
	of := shown.Subject{Load: 7}
	g.Lay(of)
	g.Offer(of, shown.Answer{Number: 1, Claim: "dime’s planchet", Settled: true, Mean: 2.26}, 0)
	g.Offer(of, shown.Answer{Number: 2, Claim: "dime’s planchet", Settled: true, Mean: 2.27}, time.Millisecond)
	if v := g.View(); v.Now != 2 || v.Waiting {
		t.Errorf("%+v", v)
	}
}

func TestALoadThatMovesAgainLosesItsVerdict(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		100 bronze 3.11 -> bronze/-+
		399 bronze 3.12 -> bronze/-+
		400 bronze 3.11 -> -/bronze
		5000 bronze 3.12 -> -/bronze
		6000 bronze 3.11 rest -> bronze/bronze`)
}

func TestASingleRestlessEstimateChangesNothing(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		100 bronze 3.09 -> bronze/-+
		200 bronze 3.11 rest -> bronze/-
		450 bronze 3.09 -> bronze/-+`)
}

// TestTheHandThatTakesTheCoin: its answers don't become those of the coin.
func TestTheHandThatTakesTheCoin(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		100 heavy 9 -> bronze/-+
		200 heavy 20 -> bronze/-+
		clear -> -/bronze`)
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		lay 8 cent -> -/bronze
		10 zinc 2.5 rest -> zinc/bronze
		clear -> -/zinc`)
}

func TestACoinThatNeverRestedLeavesItsLastDecisiveAnswer(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 -> -/-+
		60 bronze 3.12 -> bronze/-
		100 odd. 3.3 -> bronze/-+
		400 odd. 3.4 -> odd/-
		clear -> -/bronze`)
	course(t, `
		lay 7 cent -> -/-
		0 odd. 3.11 -> -/-+
		60 odd. 3.12 -> odd/-
		clear -> -/-`)
	course(t, `
		lay 7 cent -> -/-
		0 odd. 3.11 rest -> odd/-
		clear -> -/odd`)
}

func TestTheSameAgainChangesNothing(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		100 zinc 2.5 rest -> bronze/-+
		lay 7 cent -> bronze/-+
		400 zinc 2.5 rest -> zinc/-`)
}

func TestAnotherQuestionAboutTheSameLoad(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		lay 7 dime -> -/-
		100 odd 3.11 rest -> odd/-
		lay 8 dime -> -/odd`)
}

// TestLateAnswersAreThrownAway: those about the coin before, about another
// question, and about a load that has gone, refusals like verdicts.
func TestLateAnswersAreThrownAway(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		lay 8 cent -> -/bronze
		10 zinc 2.5 late 7 cent -> -/bronze
		refuse 7 cent -> -/bronze
		20 zinc 2.5 rest -> zinc/bronze
		refuse 7 cent -> zinc/bronze
		refuse 8 dime -> zinc/bronze
		clear -> -/zinc
		30 steel 2.7 late 8 cent -> -/zinc
		refuse 8 cent -> -/zinc`)
}

func TestARefusalTakesTheVerdictOff(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		refuse -> -/- refused
		100 bronze 3.11 rest -> bronze/-
		refuse -> -/- refused
		lay 8 cent -> -/bronze`)
}

func TestTheSameLoadAfterAClearIsJudgedAnew(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		clear -> -/bronze
		lay 7 cent -> -/bronze
		100 bronze 3.11 -> -/bronze+`)
}

// TestAClockThatJumps: forward, what waits has held; back, it waits anew, and
// doesn't stand for ever.
func TestAClockThatJumps(t *testing.T) {
	course(t, `
		lay 7 cent -> -/-
		0 bronze 3.11 rest -> bronze/-
		100 zinc 2.5 rest -> bronze/-+
		900000 zinc 2.5 rest -> zinc/-`)
	course(t, `
		lay 7 cent -> -/-
		900000 bronze 3.11 rest -> bronze/-
		900100 zinc 2.5 rest -> bronze/-+
		5 zinc 2.5 rest -> bronze/-+
		304 zinc 2.5 rest -> bronze/-+
		305 zinc 2.5 rest -> zinc/-`)
	course(t, `
		lay 7 cent -> -/-
		900000 bronze 3.11 -> -/-+
		0 bronze 3.12 -> -/-+
		50 bronze 3.13 -> bronze/-`)
}

// TestAGlassGoesThroughJSON, as the phone keeps it between two calls.
func TestAGlassGoesThroughJSON(t *testing.T) {
	var g shown.Glass
	of := shown.Subject{Load: 7, Asked: "US/cent"}
	g.Lay(of)
	g.Offer(of, shown.Answer{Number: 1, Claim: "bronze", Decisive: true, Settled: true, Mean: 3.11, U: 0.01}, time.Second)
	g.Offer(of, shown.Answer{Number: 2, Claim: "zinc", Mean: 2.5, U: 0.02}, 2*time.Second)
	raw, err := json.Marshal(g)
	if err != nil {
		t.Fatal(err)
	}
	var back shown.Glass
	if err := json.Unmarshal(raw, &back); err != nil {
		t.Fatal(err)
	}
	again, err := json.Marshal(back)
	if err != nil || string(again) != string(raw) || !back.Waiting {
		t.Errorf("%s\n%s %v", raw, again, err)
	}
}

// TestAVagueWeightNamesNothing: a stranger of 2.03 g that isn't known to a tenth of that is
// likelier a zinc cent than a bronze one, which is no reason to call it so. An “either” of such a
// weight doesn't stand in the way of the alloy either.
func TestAVagueWeightNamesNothing(t *testing.T) {
	var g shown.Glass
	of := shown.Subject{Load: 1, Asked: "cent"}
	g.Lay(of)
	offer := func(n int, ms time.Duration, claim string, mean, u mass.Grams) int {
		g.Offer(of, shown.Answer{Number: n, Claim: claim, Decisive: claim == "zinc", Mean: mean, U: u}, ms*time.Millisecond)
		return g.View().Now
	}
	for i, u := range []mass.Grams{0.35, 0.27, 0.2, 0.15} {
		if now := offer(1+i, time.Duration(130*i), "zinc", 2.03+mass.Grams(i)/1000, u); now != 0 {
			t.Errorf("named by 2.03 ± %v g", u)
		}
	}
	offer(10, 520, "either", 2.5, 0.3)
	offer(11, 650, "either", 2.51, 0.25)
	offer(12, 780, "zinc", 2.5, 0.1)
	if now := offer(13, 910, "zinc", 2.501, 0.09); now != 13 {
		t.Errorf("%d stands, want the alloy at its second estimate", now)
	}
}
