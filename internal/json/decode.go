package json

import (
	"errors"
	"reflect"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// unmarshal reads data into what v points to. A value of the wrong sort is left
// out and told as an error in the end, as encoding/json does.
func unmarshal(data []byte, v any, strict bool) error {
	if err := check(data); err != nil {
		return err
	}
	to := reflect.ValueOf(v)
	if to.Kind() != reflect.Pointer || to.IsNil() {
		return errors.New("json: there is nothing to read into")
	}
	d := decoder{scanner{data: data}, strict, nil}
	d.blanks()
	if err := d.into(to); err != nil {
		return err
	}
	return d.misfit
}

// decoder reads data that was checked before.
type decoder struct {
	scanner
	strict bool
	misfit error // the first value of the wrong sort
}

func (d *decoder) misfits(what string, v reflect.Value) {
	if d.misfit == nil {
		d.misfit = errors.New("json: " + what + " where a " + v.Kind().String() + " should be")
	}
}

// raw passes over the next value and returns it.
func (d *decoder) raw() []byte {
	from := d.at
	d.value(0)
	return d.data[from:d.at]
}

// into reads the next value. Values that read themselves get theirs whole.
func (d *decoder) into(v reflect.Value) error {
	null := d.data[d.at] == 'n'
	v, by := reached(v, null)
	if v.Kind() == reflect.Invalid {
		d.raw()
		return nil
	}
	switch m := by.(type) {
	case Unmarshaler:
		return m.UnmarshalJSON(d.raw())
	case textUnmarshaler:
		if null {
			d.raw()
			return nil
		}
		if d.data[d.at] != '"' {
			d.raw()
			d.misfits("something else", v)
			return nil
		}
		return m.UnmarshalText([]byte(d.quoted()))
	}
	switch d.data[d.at] {
	case 'n':
		d.raw()
		switch v.Kind() {
		case reflect.Interface, reflect.Pointer, reflect.Map, reflect.Slice:
			v.SetZero()
		}
	case 't', 'f':
		is := d.raw()[0] == 't'
		switch {
		case v.Kind() == reflect.Bool:
			v.SetBool(is)
		case emptyInterface(v):
			v.Set(reflect.ValueOf(is))
		default:
			d.misfits("true or false", v)
		}
	case '"':
		s := d.quoted()
		switch {
		case v.Kind() == reflect.String:
			v.SetString(s)
		case emptyInterface(v):
			v.Set(reflect.ValueOf(s))
		default:
			d.misfits("a text", v)
		}
	case '[':
		return d.list(v)
	case '{':
		return d.object(v)
	default:
		return d.numeral(v)
	}
	return nil
}

// reached follows pointers, making what they point to, down to the value to read
// into or to one that reads itself. For null it stops at the last pointer, which
// null makes nil.
func reached(v reflect.Value, null bool) (reflect.Value, any) {
	if v.Kind() != reflect.Pointer && v.CanAddr() && v.Type().Name() != "" {
		if by := reads(v.Addr()); by != nil {
			return v, by
		}
	}
	for v.Kind() == reflect.Pointer {
		if null && v.CanSet() {
			return v, nil
		}
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		if by := reads(v); by != nil {
			return v, by
		}
		v = v.Elem()
	}
	return v, nil
}

func reads(v reflect.Value) any {
	if !v.CanInterface() {
		return nil
	}
	switch by := v.Interface().(type) {
	case Unmarshaler:
		return by
	case textUnmarshaler:
		return by
	}
	return nil
}

func emptyInterface(v reflect.Value) bool {
	return v.Kind() == reflect.Interface && v.NumMethod() == 0
}

func (d *decoder) numeral(v reflect.Value) error {
	s := string(d.raw())
	switch {
	case v.CanInt():
		n, err := strconv.ParseInt(s, 10, 64)
		if err != nil || v.OverflowInt(n) {
			d.misfits("the number "+s, v)
			return nil
		}
		v.SetInt(n)
	case v.CanUint():
		n, err := strconv.ParseUint(s, 10, 64)
		if err != nil || v.OverflowUint(n) {
			d.misfits("the number "+s, v)
			return nil
		}
		v.SetUint(n)
	case v.CanFloat():
		x, err := strconv.ParseFloat(s, v.Type().Bits())
		if err != nil || v.OverflowFloat(x) {
			d.misfits("the number "+s, v)
			return nil
		}
		v.SetFloat(x)
	case emptyInterface(v):
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			d.misfits("the number "+s, v)
			return nil
		}
		v.Set(reflect.ValueOf(x))
	default:
		d.misfits("a number", v)
	}
	return nil
}

// each calls read before each entry of an object or a list.
func (d *decoder) each(end byte, read func() error) error {
	d.at++
	d.blanks()
	if d.next(end) {
		return nil
	}
	for {
		if err := read(); err != nil {
			return err
		}
		d.blanks()
		if d.next(end) {
			return nil
		}
		d.next(',')
		d.blanks()
	}
}

func (d *decoder) list(v reflect.Value) error {
	if emptyInterface(v) {
		all := []any{}
		err := d.each(']', func() error {
			var one any
			err := d.into(reflect.ValueOf(&one).Elem())
			all = append(all, one)
			return err
		})
		v.Set(reflect.ValueOf(all))
		return err
	}
	if v.Kind() != reflect.Slice && v.Kind() != reflect.Array {
		d.raw()
		d.misfits("a list", v)
		return nil
	}
	n := 0
	err := d.each(']', func() error {
		if v.Kind() == reflect.Slice {
			if n >= v.Cap() {
				v.Grow(1)
			}
			if n >= v.Len() {
				v.SetLen(n + 1)
			}
		}
		n++
		if n > v.Len() { // of an array
			d.raw()
			return nil
		}
		return d.into(v.Index(n - 1))
	})
	if v.Kind() == reflect.Array {
		for ; n < v.Len(); n++ {
			v.Index(n).SetZero()
		}
		return err
	}
	if n == 0 {
		v.Set(reflect.MakeSlice(v.Type(), 0, 0))
		return err
	}
	v.SetLen(n)
	return err
}

func (d *decoder) object(v reflect.Value) error {
	switch {
	case emptyInterface(v):
		all := map[string]any{}
		err := d.named(func(name string) error {
			var one any
			err := d.into(reflect.ValueOf(&one).Elem())
			all[name] = one
			return err
		})
		v.Set(reflect.ValueOf(all))
		return err
	case v.Kind() == reflect.Map:
		return d.mapping(v)
	case v.Kind() == reflect.Struct:
		fields := fieldsOf(v.Type())
		return d.named(func(name string) error {
			f := find(fields, name)
			if f == nil {
				if d.strict && d.misfit == nil {
					d.misfit = errors.New("json: unknown field \"" + name + "\"")
				}
				d.raw()
				return nil
			}
			return d.into(f.made(v))
		})
	}
	d.raw()
	d.misfits("an object", v)
	return nil
}

// named is each for an object: read gets the name of the value to come.
func (d *decoder) named(read func(name string) error) error {
	return d.each('}', func() error {
		name := d.quoted()
		d.blanks()
		d.next(':')
		d.blanks()
		return read(name)
	})
}

// find is the field of that name, else one whose name differs in case only.
func find(fields []field, name string) *field {
	for i := range fields {
		if fields[i].name == name {
			return &fields[i]
		}
	}
	for i := range fields {
		if strings.EqualFold(fields[i].name, name) {
			return &fields[i]
		}
	}
	return nil
}

func (d *decoder) mapping(v reflect.Value) error {
	t := v.Type()
	if v.IsNil() {
		v.Set(reflect.MakeMap(t))
	}
	return d.named(func(name string) error {
		one := reflect.New(t.Elem()).Elem()
		if err := d.into(one); err != nil {
			return err
		}
		key := reflect.New(t.Key())
		if by, ok := key.Interface().(textUnmarshaler); ok {
			if err := by.UnmarshalText([]byte(name)); err != nil {
				return err
			}
		} else if t.Key().Kind() == reflect.String {
			key.Elem().SetString(name)
		} else if n, err := strconv.ParseInt(name, 10, 64); err == nil && key.Elem().CanInt() && !key.Elem().OverflowInt(n) {
			key.Elem().SetInt(n)
		} else {
			d.misfits("the name "+name, key.Elem())
			return nil
		}
		v.SetMapIndex(key.Elem(), one)
		return nil
	})
}

// quoted reads the next value, a string. What is no Unicode becomes U+FFFD.
func (d *decoder) quoted() string {
	raw := d.raw()
	raw = raw[1 : len(raw)-1]
	plain := true
	for _, c := range raw {
		plain = plain && c != '\\' && c < utf8.RuneSelf
	}
	if plain {
		return string(raw)
	}
	out := make([]byte, 0, len(raw))
	for i := 0; i < len(raw); {
		c := raw[i]
		if c != '\\' {
			r, size := utf8.DecodeRune(raw[i:])
			out = utf8.AppendRune(out, r)
			i += size
			continue
		}
		switch i += 2; raw[i-1] {
		case 'b':
			out = append(out, '\b')
		case 'f':
			out = append(out, '\f')
		case 'n':
			out = append(out, '\n')
		case 'r':
			out = append(out, '\r')
		case 't':
			out = append(out, '\t')
		case 'u':
			r := numbered(raw[i:])
			i += 4
			if utf16.IsSurrogate(r) {
				second := rune(-1)
				if i+6 <= len(raw) && raw[i] == '\\' && raw[i+1] == 'u' {
					second = numbered(raw[i+2:])
				}
				if r = utf16.DecodeRune(r, second); r != utf8.RuneError {
					i += 6
				}
			}
			out = utf8.AppendRune(out, r)
		default:
			out = append(out, raw[i-1])
		}
	}
	return string(out)
}

// numbered is the character of four hexadecimal digits.
func numbered(digits []byte) rune {
	var r rune
	for _, c := range digits[:4] {
		r = r<<4 | hexValue(c)
	}
	return r
}
