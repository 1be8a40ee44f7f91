package livehub

import (
	"encoding/json"
	"testing"
	"testing/synctest"

	"panside/internal/fault"
	"panside/internal/say"
)

// TestEachPhoneHearsItsLanguage: of one problem, one word about the records and one
// goodbye each phone gets its own words, and English where it names no language.
func TestEachPhoneHearsItsLanguage(t *testing.T) {
	problem := say.New("port-busy", say.Text("port", "/dev/ttyUSB0"))
	lacking := say.New("copies-folder", say.Text("folder", "/copies"))
	for language, want := range map[string]struct{ problem, lacking, bye string }{
		"es": {
			"Otro programa está usando /dev/ttyUSB0. No se perdió nada; cierra ese programa y se sigue pesando.",
			"No se puede crear la carpeta “/copies”. No se perdió nada; dale permiso a este usuario.",
			"Este dispositivo se dio de baja en la laptop. No se perdió nada de lo que guarda; muestra un código nuevo en la laptop y escanéalo para volver a entrar.",
		},
		"xx": {
			"Another program is using /dev/ttyUSB0. Nothing is lost; close that program and weighing resumes.",
			"The folder “/copies” can’t be made. Nothing is lost; give this user the right to it.",
			"This device was ended on the laptop. Nothing stored on it is lost; show a fresh code on the laptop and scan it to join again.",
		},
	} {
		synctest.Test(t, func(t *testing.T) {
			b := newBubble(t)
			other, _ := b.join("token-b") // in English beside it
			b.next(other)
			conn, _ := b.dialIn(language)
			if err := conn.WriteJSON(map[string]string{"type": "hello", "token": "token-a"}); err != nil {
				t.Fatal(err)
			}
			b.next(conn)
			b.Publish(State{Problem: fault.New(fault.PortBusy, problem)})
			if m := b.next(other); m.Problem == nil || m.Problem.Sentence != say.English.Write(problem) {
				t.Errorf("beside %s: %+v", language, m.Problem)
			}
			if m := b.next(conn); m.Problem == nil || m.Problem.Sentence != want.problem {
				t.Errorf("%s: %+v, want %q", language, m.Problem, want.problem)
			}
			b.Records(lacking, say.Line{})
			var told records
			hear(t, conn.ReadMessage, &told)
			if told.Sentence != want.lacking || told.Copies != "" {
				t.Errorf("%s: %+v, want %q", language, told, want.lacking)
			}
			b.End("a")
			var last bye
			hear(t, conn.ReadMessage, &last)
			if last.Sentence != want.bye {
				t.Errorf("%s: %+v, want %q", language, last, want.bye)
			}
		})
	}
}

// TestARefusedPhoneHearsItsLanguage before it has said who it is.
func TestARefusedPhoneHearsItsLanguage(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBubble(t)
		conn, _ := b.dialIn("es")
		if err := conn.WriteJSON(map[string]string{"type": "weight"}); err != nil {
			t.Fatal(err)
		}
		var last bye
		hear(t, conn.ReadMessage, &last)
		if want := "Esta conexión no dijo quién es en cinco segundos. No se perdió nada; recarga la página, y escanea un código nuevo si sigue así."; last.Sentence != want {
			t.Errorf("%+v, want %q", last, want)
		}
	})
}

func hear(t *testing.T, read func() (int, []byte, error), into any) {
	t.Helper()
	_, raw, err := read()
	if err == nil {
		err = json.Unmarshal(raw, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}
