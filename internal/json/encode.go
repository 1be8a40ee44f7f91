package json

import (
	"errors"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf8"

	"panside/internal/stable"
)

func marshal(v any) ([]byte, error) {
	e := encoder{}
	e.value(reflect.ValueOf(v))
	return e.out, e.err
}

type encoder struct {
	out   []byte
	err   error
	depth int
}

func (e *encoder) fail(why string) {
	if e.err == nil {
		e.err = errors.New("json: " + why)
	}
	e.out = nil
}

// deepest is how many values may stand within one another, as in encoding/json.
const deepest = 10_000

func (e *encoder) value(v reflect.Value) {
	if e.err != nil {
		return
	}
	if !v.IsValid() {
		e.out = append(e.out, "null"...)
		return
	}
	if e.depth++; e.depth > deepest {
		e.fail("a value within itself")
		return
	}
	defer func() { e.depth-- }()
	if e.itself(v) {
		return
	}
	switch v.Kind() {
	case reflect.Bool:
		e.out = strconv.AppendBool(e.out, v.Bool())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		e.out = strconv.AppendInt(e.out, v.Int(), 10)
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uintptr:
		e.out = strconv.AppendUint(e.out, v.Uint(), 10)
	case reflect.Float32:
		e.float(v.Float(), 32)
	case reflect.Float64:
		e.float(v.Float(), 64)
	case reflect.String:
		e.out = appendString(e.out, v.String())
	case reflect.Interface, reflect.Pointer:
		e.value(v.Elem())
	case reflect.Struct:
		e.object(v)
	case reflect.Map:
		e.mapping(v)
	case reflect.Slice:
		if v.IsNil() {
			e.out = append(e.out, "null"...)
			return
		}
		e.list(v)
	case reflect.Array:
		e.list(v)
	default:
		e.fail("can’t write a " + v.Kind().String())
	}
}

// itself lets a value write itself, and reports whether it does.
func (e *encoder) itself(v reflect.Value) bool {
	if !v.CanInterface() {
		return false
	}
	if v.Kind() == reflect.Pointer && v.IsNil() || v.Kind() == reflect.Interface {
		return false
	}
	for _, by := range [...]reflect.Value{v, addressOf(v)} {
		// Interface copies a value, a whole answer at its outset: only those with methods are worth it.
		if !by.IsValid() || by.Type().NumMethod() == 0 {
			continue
		}
		switch m := by.Interface().(type) {
		case Marshaler:
			raw, err := m.MarshalJSON()
			if err == nil {
				err = check(raw)
			}
			if err != nil {
				e.fail(err.Error())
				return true
			}
			e.out = appendCompact(e.out, raw)
			return true
		case textMarshaler:
			text, err := m.MarshalText()
			if err != nil {
				e.fail(err.Error())
				return true
			}
			e.out = appendString(e.out, string(text))
			return true
		}
	}
	return false
}

func addressOf(v reflect.Value) reflect.Value {
	if v.CanAddr() && v.Kind() != reflect.Pointer {
		return v.Addr()
	}
	return reflect.Value{}
}

func (e *encoder) object(v reflect.Value) {
	e.out = append(e.out, '{')
	first := true
	fields := fieldsOf(v.Type())
	for i := range fields {
		f := &fields[i]
		fv, there := f.at(v)
		if !there || f.omitEmpty && isEmpty(fv) {
			continue
		}
		if !first {
			e.out = append(e.out, ',')
		}
		first = false
		e.out = appendString(e.out, f.name)
		e.out = append(e.out, ':')
		e.value(fv)
	}
	e.close('}')
}

// close ends an object or a list, unless writing failed within it.
func (e *encoder) close(with byte) {
	if e.err == nil {
		e.out = append(e.out, with)
	}
}

func isEmpty(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Array, reflect.Map, reflect.Slice, reflect.String:
		return v.Len() == 0
	case reflect.Struct:
		return false
	}
	return v.IsZero()
}

func (e *encoder) mapping(v reflect.Value) {
	if v.IsNil() {
		e.out = append(e.out, "null"...)
		return
	}
	type pair struct {
		key   string
		value reflect.Value
	}
	pairs := make([]pair, 0, v.Len())
	for it := v.MapRange(); it.Next(); {
		key, err := keyOf(it.Key())
		if err != nil {
			e.fail(err.Error())
			return
		}
		pairs = append(pairs, pair{key, it.Value()})
	}
	stable.Sort(pairs, func(a, b pair) int { return strings.Compare(a.key, b.key) })
	e.out = append(e.out, '{')
	for i, p := range pairs {
		if i > 0 {
			e.out = append(e.out, ',')
		}
		e.out = appendString(e.out, p.key)
		e.out = append(e.out, ':')
		e.value(p.value)
	}
	e.close('}')
}

func keyOf(k reflect.Value) (string, error) {
	if k.Kind() == reflect.String {
		return k.String(), nil
	}
	if m, ok := k.Interface().(textMarshaler); ok {
		text, err := m.MarshalText()
		return string(text), err
	}
	switch {
	case k.CanInt():
		return strconv.FormatInt(k.Int(), 10), nil
	case k.CanUint():
		return strconv.FormatUint(k.Uint(), 10), nil
	}
	return "", errors.New("can’t write a map by " + k.Kind().String())
}

func (e *encoder) list(v reflect.Value) {
	if v.Type().Elem().Kind() == reflect.Uint8 && v.Kind() == reflect.Slice {
		e.fail("bytes are handed over beside JSON, not in it")
		return
	}
	e.out = append(e.out, '[')
	for i := range v.Len() {
		if i > 0 {
			e.out = append(e.out, ',')
		}
		e.value(v.Index(i))
	}
	e.close(']')
}

// float writes a number as ECMAScript does: without an exponent from 1e-6 up to
// 1e21, with the fewest digits that read back the same.
func (e *encoder) float(x float64, bits int) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		e.fail("a number that isn’t finite")
		return
	}
	format := byte('f')
	abs := math.Abs(x)
	if abs != 0 && (bits == 64 && (abs < 1e-6 || abs >= 1e21) || bits == 32 && (float32(abs) < 1e-6 || float32(abs) >= 1e21)) {
		format = 'e'
	}
	e.out = strconv.AppendFloat(e.out, x, format, -1, bits)
	if n := len(e.out); format == 'e' && n >= 4 && e.out[n-4] == 'e' && (e.out[n-3] == '-' || e.out[n-3] == '+') && e.out[n-2] == '0' {
		e.out[n-2] = e.out[n-1] // e-09 is written e-9
		e.out = e.out[:n-1]
	}
}

const hexDigits = "0123456789abcdef"

// appendString writes a string so that it is right in HTML and JavaScript too,
// which is why <, >, & and two line ends are written as numbers.
func appendString(out []byte, s string) []byte {
	out = append(out, '"')
	done := 0
	for i := 0; i < len(s); {
		if c := s[i]; c < utf8.RuneSelf {
			if c >= ' ' && c != '"' && c != '\\' && c != '<' && c != '>' && c != '&' {
				i++
				continue
			}
			out = append(out, s[done:i]...)
			switch c {
			case '"', '\\':
				out = append(out, '\\', c)
			case '\b':
				out = append(out, '\\', 'b')
			case '\f':
				out = append(out, '\\', 'f')
			case '\n':
				out = append(out, '\\', 'n')
			case '\r':
				out = append(out, '\\', 'r')
			case '\t':
				out = append(out, '\\', 't')
			default:
				out = append(out, '\\', 'u', '0', '0', hexDigits[c>>4], hexDigits[c&15])
			}
			i++
			done = i
			continue
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			out = append(append(out, s[done:i]...), `\ufffd`...)
			done = i + size
		case r == '\u2028' || r == '\u2029':
			out = append(append(out, s[done:i]...), `\u202`...)
			out = append(out, hexDigits[r&15])
			done = i + size
		}
		i += size
	}
	return append(append(out, s[done:]...), '"')
}

// appendCompact copies a value without blanks, with the same characters as
// numbers as in appendString. Only strings can hold them.
func appendCompact(out, raw []byte) []byte {
	inString := false
	for i := 0; i < len(raw); i++ {
		c := raw[i]
		switch {
		case c == '<' || c == '>' || c == '&':
			out = append(out, '\\', 'u', '0', '0', hexDigits[c>>4], hexDigits[c&15])
		case c == 0xe2 && i+2 < len(raw) && raw[i+1] == 0x80 && raw[i+2]&^1 == 0xa8:
			out = append(append(out, `\u202`...), hexDigits[raw[i+2]&15])
			i += 2
		case inString && c == '\\':
			out = append(out, c, raw[i+1])
			i++
		case c == '"':
			inString = !inString
			out = append(out, c)
		case !inString && isBlank(c):
		default:
			out = append(out, c)
		}
	}
	return out
}
