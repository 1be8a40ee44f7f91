package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"path/filepath"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"panside/internal/calibration"
	"panside/internal/plain"
	"panside/internal/say"
	"panside/server/backup"
	"panside/server/config"
	"panside/server/folderlock"
	"panside/server/scale"
	"panside/server/scalefeed"
	"panside/server/sqlite"
)

// CheckScaleCmd finds out how far a scale errs: it guides a person with check
// weights through it, prints what it found and keeps it for serve.
type CheckScaleCmd struct {
	ScaleFlags
	Weight      []string      `placeholder:"WEIGHT" help:"A check weight: grams and class (E2, F1, F2, M1), such as '50 F2'; from a certificate also value and standard uncertainty in grams, '50 F2 50.00012 0.00004'. 'object' is anything, for repeatability alone. May be repeated."`
	Times       int           `default:"5" placeholder:"N" help:"Times to weigh each weight."`
	Edges       bool          `help:"Put the heaviest weight also near the edges of the pan (eccentricity)."`
	Watch       time.Duration `default:"3m" placeholder:"TIME" help:"How long the scale is left alone to see its drift; 0 leaves that out."`
	Temperature string        `placeholder:"C" help:"Temperature at the table in degrees Celsius."`
	Place       string        `placeholder:"NAME" help:"Where the scale stands, such as kitchen."`
	Data        string        `placeholder:"DIR" help:"Folder for the records, as of serve."`
	JSON        bool          `name:"json" help:"Ask nobody: read checks from standard input, one JSON object a line, and write one result a line. Nothing is kept."`
}

// mostWatch bounds the time the scale is left alone.
const mostWatch = 12 * time.Hour

// Help is shown under the command's flags.
func (CheckScaleCmd) Help() string {
	return `Example: panside check-scale --weight '50 F2' --weight '20 F2'`
}

// Validate refuses what can never work; the command line calls it.
func (c *CheckScaleCmd) Validate() error {
	switch {
	case c.Times < 1 || c.Times > 50:
		return usageError("--times takes a number from 1 to 50")
	case c.Watch < 0 || c.Watch > mostWatch:
		return usageError("--watch takes a time such as 3m, up to 12h, or 0")
	case c.JSON && len(c.Weight) > 0:
		return usageError("with --json the checks come from standard input, not from the command line")
	case !c.JSON && len(c.Weight) == 0:
		return usageError("say which check weights you have, such as --weight '50 F2' --weight '20 F2'")
	}
	return nil
}

// Run checks the scale.
func (c *CheckScaleCmd) Run(ctx context.Context, std *stdio) error {
	if c.JSON {
		return answerLines(std, "scale-check")
	}
	sheet := calibration.Sheet{Temperature: plain.Text(c.Temperature), Place: plain.Text(c.Place)}
	for _, text := range c.Weight {
		w, err := parseWeight(text)
		if err != nil {
			return err
		}
		sheet.Weights = append(sheet.Weights, w)
	}
	log := slog.New(slog.NewTextHandler(std.Err, &slog.HandlerOptions{Level: slog.LevelError}))
	dir, err := config.Config{Data: c.Data}.Folder()
	if err != nil {
		return err
	}
	// The scale as serve reads it, or the check would be another scale's.
	chosen, err := scale.AsServed(c.settings(), scale.Options{Folder: dir, Practice: c.Practice, Log: log})
	if err != nil {
		return usageOf(err)
	}
	var by hands = person{}
	if chosen.Virtual != nil {
		if by, err = practise(&chosen, sheet.Weights, log); err != nil {
			return err
		}
	}
	pace := calibration.UsualPace
	pace.Watch = c.Watch
	g, err := newScaleGuide(std.Out, by, sheet, c.Times, c.Edges, pace)
	if err != nil {
		return err
	}
	return c.check(ctx, std.Out, chosen, g, log)
}

// check guides through the check and keeps what it found.
func (c *CheckScaleCmd) check(ctx context.Context, out io.Writer, chosen scale.Choice, g *scaleGuide, log *slog.Logger) error {
	// First of all, so that nobody weighs for nothing.
	dir, err := config.Config{Data: c.Data}.Folder()
	if err != nil {
		return err
	}
	lock, err := folderlock.Hold(dir)
	if err != nil {
		return err
	}
	defer lock.Release()
	db, err := sqlite.Open(ctx, filepath.Join(dir, backup.RecordsFile))
	if err != nil {
		return err
	}
	defer db.Close()

	ctx, stop := context.WithCancel(ctx)
	defer stop()
	chosen.Start(ctx)
	feed := scalefeed.New(chosen.Source, scalefeed.Options{Decode: chosen.Decode, Resolution: chosen.Resolution, Answers: chosen.Answers, KeepAwake: true, Log: log})
	g.listen(ctx, feed)
	done := make(chan struct{})
	go func() { feed.Run(ctx); close(done) }()
	seen, err := g.run()
	stop()
	<-done
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(out, "Stopped. Nothing was kept.")
		return exitCode(exitBad)
	case err != nil:
		return err
	}

	taken := time.Now()
	sheet := g.Draft.Check()
	sheet.Taken = plain.Text(strconv.FormatInt(taken.UnixMilli(), 10))
	result, err := sheet.Evaluate()
	if err != nil {
		return err
	}
	raw, err := json.Marshal(sheet)
	if err != nil {
		return err
	}
	if err := printResult(out, result); err != nil {
		return err
	}
	// The check is worth its minutes even when somebody presses Ctrl+C now.
	if _, err := db.AddScaleCheck(context.WithoutCancel(ctx), sqlite.ScaleCheck{
		Scale: seen.Info.Name, Dialect: seen.Dialect, Taken: taken, Record: raw,
	}); err != nil {
		return err
	}
	fmt.Fprintf(out, "\nKept for “%s” (%s). The server corrects its weights by this from now on.\n", seen.Info.Name, seen.Dialect)
	return nil
}

// weightName is what the person calls the weight.
func weightName(w calibration.SheetWeight) string {
	if w.Nominal == "" {
		return "object"
	}
	if w.Class == "" {
		return string(w.Nominal) + " g weight"
	}
	return string(w.Nominal) + " g weight (" + string(w.Class) + ")"
}

// parseWeight reads a weight of the command line: “50 F2”, “50g F2”,
// “50 F2 50.00012 0.00004”, “50 50.00012 0.00004” or “object”.
func parseWeight(s string) (calibration.SheetWeight, error) {
	fields := strings.Fields(s)
	if len(fields) == 1 && strings.EqualFold(fields[0], "object") {
		return calibration.SheetWeight{}, nil
	}
	wrong := usageError("--weight takes grams and class such as '50 F2', then perhaps a certificate’s value and standard uncertainty; not “" + s + "”")
	if len(fields) < 2 || len(fields) > 4 {
		return calibration.SheetWeight{}, wrong
	}
	w := calibration.SheetWeight{Nominal: plain.Text(strings.TrimSuffix(strings.ToLower(fields[0]), "g"))}
	fields = fields[1:]
	if !isNumber(fields[0]) {
		w.Class, fields = plain.Text(strings.ToUpper(fields[0])), fields[1:]
	}
	switch len(fields) {
	case 2:
		w.Value, w.U = plain.Text(fields[0]), plain.Text(fields[1])
	case 0:
	default:
		return calibration.SheetWeight{}, wrong
	}
	for _, n := range []plain.Text{w.Nominal, w.Value, w.U} {
		if n != "" && !isNumber(string(n)) {
			return calibration.SheetWeight{}, wrong
		}
	}
	return w, nil
}

func isNumber(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil
}

// printResult prints what the check found.
func printResult(out io.Writer, r calibration.Result) error {
	var b strings.Builder
	b.WriteString("\n")
	for _, s := range r.Findings() {
		b.WriteString(say.English.Write(s) + "\n")
	}
	for _, s := range r.Advice() {
		b.WriteString("- " + say.English.Write(s) + "\n")
	}
	b.WriteString("\n")
	t := tabwriter.NewWriter(&b, 0, 0, 3, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "load\tcorrection\t95%\tunchecked\t")
	for _, a := range r.ByLoad() {
		note := ""
		if a.Assumed {
			note = " in part assumed"
		}
		fmt.Fprintf(t, "%v g\t%+.4f g\t±%.4f g\t±%.4f g\t%s\n", float64(a.Load), float64(a.Correction), 1.96*float64(a.U), 1.96*float64(a.Unchecked), note)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	_, err := io.WriteString(out, b.String())
	return err
}
