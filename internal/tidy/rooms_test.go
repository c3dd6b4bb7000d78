package tidy

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A room is a folder of internal with those below it.
type room struct {
	pure bool     // no I/O of its own, no clock, no framework
	may  []string // the rooms that it may import
}

// The rooms, from the ground up. An arrow that is not here is a decision to be
// made, not a line to be added.
var rooms = map[string]room{
	"spirit":   {pure: true},
	"gauge":    {pure: true, may: []string{"spirit"}},
	"cellar":   {pure: true, may: []string{"spirit", "gauge"}},
	"loss":     {pure: true, may: []string{"spirit", "gauge", "cellar"}},
	"blend":    {pure: true, may: []string{"spirit", "gauge", "cellar"}},
	"sensory":  {pure: true},
	"identity": {pure: true, may: []string{"spirit", "cellar"}},
	"demo":     {pure: true, may: []string{"spirit", "cellar", "journal"}}, // it must know nothing of the estimator
	"picture":  {pure: true, may: []string{"spirit"}},
	"journal":  {},
	"photo":    {may: []string{"cellar"}},
	"book":     {may: []string{"journal", "loss", "blend", "sensory", "identity", "cellar", "gauge", "spirit"}},
	"exchange": {may: []string{"book", "journal", "blend", "loss", "sensory", "identity", "cellar", "gauge", "spirit"}},
	"label":    {may: []string{"book", "cellar", "spirit"}},
	"keep":     {may: []string{"book", "journal"}},
	"people":   {may: []string{"journal", "cellar"}},
	"server": {may: []string{
		"keep", "people", "label", "exchange", "picture", "photo", "book", "journal", "blend", "loss", "sensory", "identity", "cellar", "gauge", "spirit",
	}},
	"openhouse": {may: []string{"demo", "book", "journal", "blend", "sensory", "cellar"}},
	"walk":      {},                               // only tests import it
	"tidy":      {}, "storm": {}, "published": {}, // for tests
}

// modules says which rooms may use a module. What is not here may be used by none.
var modules = map[string][]string{
	"go.etcd.io/bbolt":                    {"journal"},
	"github.com/gofiber/fiber/v2":         {"server"},
	"github.com/valyala/fasthttp":         {"server"}, // Fiber's own types
	"github.com/golang-module/carbon/v2":  {"server", "exchange"},
	"github.com/skip2/go-qrcode":          {"label"},
	"codeberg.org/go-pdf/fpdf":            {"label", "exchange"},
	"github.com/xuri/excelize/v2":         {"exchange"},
	"github.com/emersion/go-ical":         {"exchange"},
	"github.com/oklog/ulid/v2":            {"book", "exchange", "server"},
	"gonum.org/v1/gonum":                  {"loss", "blend", "sensory"},
	"golang.org/x/crypto":                 {"people"},
	"golang.org/x/text":                   {"cellar", "exchange", "server"},
	"github.com/go-webauthn/webauthn":     {"server"},
	"github.com/prometheus/client_golang": {"server"},
	"github.com/chromedp/chromedp":        {"walk"},
}

// impurePackages are I/O and clocks. A folder stands for what is below it too.
var impurePackages = []string{"os", "net", "syscall", "log", "plugin", "database", "path/filepath", "io/fs", "io/ioutil", "embed", "testing"}

// readersOfEmbedded may embed: their data is part of the program.
var readersOfEmbedded = []string{"identity"}

// impureNames are what a pure room may not use of packages that it may import.
var impureNames = []string{
	"time.Now", "time.Since", "time.Until", "time.Sl" + "eep", "time.After", "time.AfterFunc", "time.Tick", "time.NewTimer",
	"time.NewTicker", "time.Local", "time.LoadLocation", "fmt.Print", "fmt.Printf", "fmt.Println", "fmt.Scan", "fmt.Scanln", "fmt.Scanf",
	"rand.Int", "rand.IntN", "rand.Float64", "rand.NormFloat64", "rand.ExpFloat64", "rand.Perm", "rand.Shuffle", "rand.Uint64", "rand.N",
}

const module = "example.org/croze/"

// TestArrows reads the imports of every file that is not a test.
func TestArrows(t *testing.T) {
	for _, file := range goFiles(t) {
		name, inside := roomOf(file)
		if !inside || strings.HasSuffix(file, "_test.go") {
			continue
		}
		r, known := rooms[name]
		if !known {
			t.Errorf("%s: the room %s is not in the list of rooms: say what it may import", file, name)
			continue
		}
		for _, path := range importsOf(t, file) {
			if wrong := wrongImport(name, r, path); wrong != "" {
				t.Errorf("%s imports %s: %s", file, path, wrong)
			}
		}
	}
}

// wrongImport says what is wrong with an import, if anything is.
func wrongImport(name string, r room, path string) string {
	if inside, ok := strings.CutPrefix(path, module); ok {
		return wrongArrow(name, r, inside)
	}
	if !strings.Contains(strings.Split(path, "/")[0], ".") {
		if r.pure && isImpure(path) && !(path == "embed" && slices.Contains(readersOfEmbedded, name)) {
			return "a pure room does no I/O and reads no clock"
		}
		return ""
	}
	for prefix, users := range modules {
		if path == prefix || strings.HasPrefix(path, prefix+"/") {
			if slices.Contains(users, name) {
				return ""
			}
			return "that is for " + strings.Join(users, ", ") + " only"
		}
	}
	return "the module is not in the list of modules"
}

// wrongArrow looks at an import of this module.
func wrongArrow(name string, r room, inside string) string {
	target, isRoom := roomOf(inside + "/x.go")
	switch {
	case !isRoom && (strings.HasPrefix(inside, "web") || strings.HasPrefix(inside, "labels")) && !r.pure:
		return "" // embedded files
	case isRoom && (target == name || slices.Contains(r.may, target)):
		return ""
	case len(r.may) == 0:
		return name + " imports no other room"
	}
	return name + " may import " + strings.Join(r.may, ", ") + " only"
}

func isImpure(path string) bool {
	for _, p := range impurePackages {
		if path == p || strings.HasPrefix(path, p+"/") && p != "net" || strings.HasPrefix(path, "net/") && path != "net/url" {
			return true
		}
	}
	return false
}

// roomOf returns the room that a file is in.
func roomOf(file string) (name string, ok bool) {
	parts := strings.Split(file, "/")
	if len(parts) < 3 || parts[0] != "internal" {
		return "", false
	}
	return parts[1], true
}

func importsOf(t *testing.T, file string) (paths []string) {
	t.Helper()
	f := parse(t, file, parser.ImportsOnly)
	for _, spec := range f.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

// TestPureRoomsReadNoClock looks for the functions that would.
func TestPureRoomsReadNoClock(t *testing.T) {
	for _, file := range goFiles(t) {
		name, _ := roomOf(file)
		if !rooms[name].pure || strings.HasSuffix(file, "_test.go") {
			continue
		}
		ast.Inspect(parse(t, file, 0), func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if of, ok := selector.X.(*ast.Ident); ok && slices.Contains(impureNames, of.Name+"."+selector.Sel.Name) {
				t.Errorf("%s uses %s.%s: a pure room is told the time, gets its random source and prints nothing", file, of.Name, selector.Sel.Name)
			}
			return true
		})
	}
}

// parse reads a Go file of the tree.
func parse(t *testing.T, file string, mode parser.Mode) *ast.File {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), root+file, nil, mode)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestTheRulesCatch makes sure that the rules would find what they are for.
func TestTheRulesCatch(t *testing.T) {
	for _, c := range []struct {
		room, path string
		wrong      bool
	}{
		{"spirit", "math", false},
		{"spirit", "os", true},
		{"spirit", "os/exec", true},
		{"spirit", module + "internal/gauge", true},
		{"cellar", module + "internal/gauge", false},
		{"cellar", module + "internal/book", true},
		{"cellar", "go.etcd.io/bbolt", true},
		{"cellar", "net/http", true},
		{"blend", module + "internal/blend/lp", false},
		{"demo", module + "internal/loss", true},
		{"journal", "go.etcd.io/bbolt/errors", false},
		{"book", "go.etcd.io/bbolt", true},
		{"book", module + "internal/server", true},
		{"server", "github.com/gofiber/fiber/v2/middleware/csrf", false},
		{"server", "github.com/gofiber/template", true},
		{"server", module + "web", false},
		{"loss", module + "web", true},
	} {
		if got := wrongImport(c.room, rooms[c.room], c.path); (got != "") != c.wrong {
			t.Errorf("%s imports %s: %q", c.room, c.path, got)
		}
	}
}
