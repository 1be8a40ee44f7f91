package capture_test

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"panside/internal/dialect/capture"
	"panside/internal/fault"
)

const header = "shape: status-comma\nfirmware: invented\ndate: 2025-01-31\nport: 9600 8N1\nunit: -\nnotes: a coin\n\n"

func TestParseReadsWhatTheDocumentationShows(t *testing.T) {
	c, err := capture.Parse([]byte(header + "0s \"ST,GS,+   0.00  g\\r\\n\"\n100ms \"\\x02\\\"\\\\\\t\"\n# a remark\n\n1.5s \"\"\n"))
	if err != nil {
		t.Fatal(err)
	}
	want := capture.Capture{
		Header: capture.Header{Shape: "status-comma", Firmware: "invented", Date: "2025-01-31", Port: "9600 8N1", Unit: "-", Notes: "a coin"},
		Chunks: []capture.Chunk{
			{After: 0, Bytes: []byte("ST,GS,+   0.00  g\r\n")},
			{After: 100 * time.Millisecond, Bytes: []byte("\x02\"\\\t")},
			{After: 1500 * time.Millisecond},
		},
	}
	if !reflect.DeepEqual(c, want) {
		t.Errorf("got %+v, want %+v", c, want)
	}
}

func TestParseRefusesWhatItDoesNotUnderstand(t *testing.T) {
	for name, text := range map[string]string{
		"empty":              "",
		"cut header":         "shape: x\nfirmware: y\n",
		"wrong key":          strings.Replace(header, "port", "speed", 1),
		"empty value":        strings.Replace(header, "9600 8N1", "", 1),
		"no empty line":      strings.TrimSuffix(header, "\n") + "0s \"a\"\n",
		"no time":            header + "\"a\"\n",
		"negative time":      header + "-1s \"a\"\n",
		"endless pause":      header + "61m \"a\"\n",
		"no quotes":          header + "0s a\n",
		"half a quote":       header + "0s \"\n",
		"raw byte":           header + "0s \"\xff\"\n",
		"unknown escape":     header + "0s \"\\u00e9\"\n",
		"cut escape":         header + "0s \"\\x4\"\n",
		"escaped last quote": header + "0s \"a\\\"\n",
		"inner quote":        header + "0s \"a\"b\"\n",
	} {
		if c, err := capture.Parse([]byte(text)); fault.Of(err) == nil || fault.Of(err).Code != fault.Damaged || len(c.Chunks) > 0 {
			t.Errorf("%s: %+v, %v; want damaged and nothing", name, c, err)
		}
	}
	_, err := capture.Parse([]byte(header + "0s \"a\"\nnonsense\n"))
	if !strings.Contains(fault.Of(err).English(), "Line 9 ") {
		t.Errorf("the sentence doesn't name line 9: %v", err)
	}
}

func TestBytesIsTheReverseOfParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[ -~]{0,20}`)
		c := capture.Capture{Header: capture.Header{
			Shape: word.Draw(t, "shape"), Firmware: word.Draw(t, "firmware"), Date: word.Draw(t, "date"),
			Port: word.Draw(t, "port"), Unit: word.Draw(t, "unit"), Notes: word.Draw(t, "notes"),
		}}
		for range rapid.IntRange(0, 5).Draw(t, "chunks") {
			c.Chunks = append(c.Chunks, capture.Chunk{
				After: time.Duration(rapid.Int64Range(0, int64(time.Hour)).Draw(t, "after")),
				Bytes: rapid.SliceOfN(rapid.Byte(), 1, 40).Draw(t, "bytes"),
			})
		}
		back, err := capture.Parse(c.Bytes())
		if err != nil {
			t.Fatalf("%s\n%v", c.Bytes(), err)
		}
		if !reflect.DeepEqual(back.Chunks, c.Chunks) {
			t.Fatalf("chunks %v came back as %v", c.Chunks, back.Chunks)
		}
		again, err := capture.Parse(back.Bytes())
		if err != nil || !reflect.DeepEqual(again, back) {
			t.Fatalf("a second turn changed %+v to %+v, %v", back, again, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(header + "0s \"ST,GS,+   0.00  g\\r\\n\"\n"))
	f.Add([]byte(header + "1h0m0s \"\\xff\\x00\"\n"))
	f.Add([]byte("shape: x"))
	f.Fuzz(func(t *testing.T, text []byte) {
		c, err := capture.Parse(text)
		if err != nil {
			if fault.Of(err).Code != fault.Damaged {
				t.Fatalf("unexpected fault %v", err)
			}
			return
		}
		back, err := capture.Parse(c.Bytes())
		if err != nil || len(back.Chunks) != len(c.Chunks) {
			t.Fatalf("%q doesn't survive being written: %v", text, err)
		}
	})
}
