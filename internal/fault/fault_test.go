package fault_test

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"strconv"
	"strings"
	"testing"

	"panside/internal/fault"
	"panside/internal/say"
)

func TestOfKeepsTheSentenceThroughWrapping(t *testing.T) {
	cause := errors.New("EBUSY")
	f := fault.Wrap(fault.PortBusy, say.New("Another program is using the scale."), cause)
	wrapped := fmt.Errorf("opening port: %w", f)
	if got := fault.Of(wrapped); got != f {
		t.Errorf("Of(wrapped) = %v, want the fault itself", got)
	}
	if !errors.Is(wrapped, cause) {
		t.Error("the cause is lost")
	}
	if !strings.Contains(f.Error(), "EBUSY") {
		t.Errorf("the log's text %q lacks the cause", f.Error())
	}
}

func TestReasonStandsWithoutTheEnding(t *testing.T) {
	reason := say.New("check-no-reading")
	f := fault.WithEnding(fault.BadInput, reason, say.New("ending-nothing-computed"))
	if f.English() != "There is no reading. Put each weight on five times. Nothing was computed." || f.Reason().Code != reason.Code {
		t.Errorf("sentence %q, reason %v", f.English(), f.Reason())
	}
	if f := fault.New(fault.BadInput, reason); f.Reason().Code != f.Said().Code {
		t.Errorf("reason %v of one sentence", f.Reason())
	}
}

func TestOfNeverShowsARawError(t *testing.T) {
	f := fault.Of(errors.New("open /secret/path: EACCES"))
	if f.Code != fault.Internal {
		t.Errorf("code %q, want internal", f.Code)
	}
	if strings.Contains(f.English(), "secret") {
		t.Errorf("the sentence shows the cause: %q", f.English())
	}
	if fault.Of(nil) != nil {
		t.Error("Of(nil) is not nil")
	}
}

// TestCodesAreAppendOnly holds codes.go to testdata/codes.golden: phones that
// were joined last year still know the old words. A new code goes at the end
// of both.
func TestCodesAreAppendOnly(t *testing.T) {
	raw, err := os.ReadFile("testdata/codes.golden")
	if err != nil {
		t.Fatal(err)
	}
	golden := strings.Fields(string(raw))
	got := codesInSource(t)
	for i, want := range golden {
		if i >= len(got) || got[i] != want {
			t.Fatalf("code %d must stay %q: never change, move or remove a code", i+1, want)
		}
	}
	if len(got) > len(golden) {
		t.Fatalf("add the new codes %v at the end of testdata/codes.golden", got[len(golden):])
	}
}

func codesInSource(t *testing.T) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "codes.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var codes []string
	ast.Inspect(file, func(n ast.Node) bool {
		if spec, ok := n.(*ast.ValueSpec); ok {
			for _, v := range spec.Values {
				s, err := strconv.Unquote(v.(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				codes = append(codes, s)
			}
		}
		return true
	})
	return codes
}
