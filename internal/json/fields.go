package json

import (
	"reflect"
	"slices"
	"strings"
	"sync"
)

// field is one of a struct, or of a struct embedded in it.
type field struct {
	name      string
	path      []int // through embedded structs
	omitEmpty bool
	tagged    bool
}

var known sync.Map // reflect.Type -> []field

// fieldsOf are a struct's in the order they are written.
func fieldsOf(t reflect.Type) []field {
	if f, ok := known.Load(t); ok {
		return f.([]field)
	}
	all := gather(nil, t, nil)
	// Of fields with one name the shallowest counts; of several as shallow, the
	// only tagged one, else none.
	kept := make([]field, 0, len(all))
	for _, f := range all {
		hidden := false
		for _, o := range all {
			if o.name != f.name || slices.Equal(o.path, f.path) {
				continue
			}
			if len(o.path) < len(f.path) || len(o.path) == len(f.path) && (o.tagged || !f.tagged) {
				hidden = true
			}
		}
		if !hidden {
			kept = append(kept, f)
		}
	}
	known.Store(t, kept)
	return kept
}

func gather(all []field, t reflect.Type, path []int) []field {
	for i := range t.NumField() {
		f := t.Field(i)
		tag := f.Tag.Get("json")
		if tag == "-" || !f.IsExported() && !f.Anonymous {
			continue
		}
		name, options, _ := strings.Cut(tag, ",")
		here := append(slices.Clone(path), i)
		if f.Anonymous && name == "" {
			of := f.Type
			if of.Kind() == reflect.Pointer && f.IsExported() {
				of = of.Elem()
			}
			if of.Kind() == reflect.Struct {
				all = gather(all, of, here)
				continue
			}
		}
		if !f.IsExported() {
			continue
		}
		tagged := name != ""
		if !tagged {
			name = f.Name
		}
		all = append(all, field{name, here, options == "omitempty", tagged})
	}
	return all
}

// at is the field's value in a struct; none if it stands in an embedded struct
// that isn't there.
func (f *field) at(v reflect.Value) (reflect.Value, bool) {
	for _, i := range f.path {
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				return v, false
			}
			v = v.Elem()
		}
		v = v.Field(i)
	}
	return v, true
}

// made is the field's value in a struct, with the embedded structs it stands in.
func (f *field) made(v reflect.Value) reflect.Value {
	for _, i := range f.path {
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem()
		}
		v = v.Field(i)
	}
	return v
}
