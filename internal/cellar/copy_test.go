package cellar

import (
	"reflect"
	"testing"
)

// What a copy registers must not show in the state that it is a copy of: no map
// is shared. TestRandomHistories holds copies to the rest.
func TestACopySharesNoMap(t *testing.T) {
	s := NewState()
	copied := s.Copy()
	if err := copied.Extend(Entry{Seq: 1, Fact: &PlaceFact{Place{Name: "loft"}}}); err != nil {
		t.Fatal(err)
	}
	c := reflect.ValueOf(copied).Elem()
	maps := 0
	for i, of := range reflect.VisibleFields(c.Type()) {
		if of.Type.Kind() != reflect.Map {
			continue
		}
		maps++
		if c.Field(i).Pointer() == reflect.ValueOf(s).Elem().Field(i).Pointer() {
			t.Errorf("%s is one map for both", of.Name)
		}
	}
	if maps < 10 {
		t.Errorf("only %d maps were found: the test has become empty", maps)
	}
}
