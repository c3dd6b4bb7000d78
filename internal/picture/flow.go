package picture

import (
	"cmp"
	"fmt"
	"html/template"
	"math"
	"slices"
)

// Stream is an amount on its way from one name to another.
type Stream struct {
	From, To string
	Amount   float64
	Words    string
}

// FlowPicture is streams between names, each name with words under it.
type FlowPicture struct {
	Title, Words string
	Streams      []Stream
	Labels       map[string]string // by name; a name without one is written as it is
}

// node is a name's box: its column, and how much goes through it.
type node struct {
	name    string
	column  int
	in, out float64
	y, tall float64
	filled  [2]float64 // of its left and right edge, taken by streams so far
}

const (
	flowWidth  = 760
	nodeWidth  = 14
	mostTall   = 300.0
	leastGap   = 30.0
	labelSpace = 195.0
)

// FlowChart draws streams from left to right; a stream that runs back is drawn
// over the others.
func FlowChart(f FlowPicture) template.HTML {
	nodes := f.nodes()
	columns := inColumns(nodes)
	most, crowd := 0.0, 1
	for _, column := range columns {
		sum := 0.0
		for _, n := range column {
			sum += math.Max(n.in, n.out)
		}
		most, crowd = math.Max(most, sum), max(crowd, len(column))
	}
	scale := mostTall / math.Max(most, 1e-9)
	height := mostTall + leastGap*float64(crowd) + 20
	d := newDrawing("flow", f.Title, f.Words, flowWidth, height)
	place(columns, scale, height)
	x := func(column int) float64 {
		return 10 + float64(column)*(flowWidth-20-nodeWidth-labelSpace)/float64(max(1, len(columns)-1))
	}
	for _, s := range f.inOrder(nodes) {
		d.stream(nodes[s.From], nodes[s.To], s, x, scale)
	}
	for _, column := range columns {
		for _, n := range column {
			label := shortened(cmp.Or(f.Labels[n.name], n.name))
			d.box("node", x(n.column), n.y, nodeWidth, math.Max(2, n.tall), fmt.Sprintf("%s: %.2f", label, math.Max(n.in, n.out)))
			d.text("name", "start", point{x(n.column) + nodeWidth + 5, n.y + math.Max(12, n.tall/2+4)}, label)
			d.text("number", "start", point{x(n.column) + nodeWidth + 5, n.y + math.Max(12, n.tall/2+4) + 13}, short(math.Max(n.in, n.out))+" L")
		}
	}
	return d.done()
}

func (d *drawing) stream(from, to *node, s Stream, x func(int) float64, scale float64) {
	wide := math.Max(1, s.Amount*scale)
	y1, y2 := from.y+from.filled[1]+wide/2, to.y+to.filled[0]+wide/2
	from.filled[1] += wide
	to.filled[0] += wide
	x1, x2 := x(from.column)+nodeWidth, x(to.column)
	bend := math.Max(40, math.Abs(x2-x1)/2)
	top, low := -wide/2, wide/2
	fmt.Fprintf(&d.b, `<path class="stream" d="M%.1f %.1fC%.1f %.1f %.1f %.1f %.1f %.1fL%.1f %.1fC%.1f %.1f %.1f %.1f %.1f %.1fZ"><title>%s</title></path>`,
		x1, y1+top, x1+bend, y1+top, x2-bend, y2+top, x2, y2+top,
		x2, y2+low, x2-bend, y2+low, x1+bend, y1+low, x1, y1+low, template.HTMLEscapeString(s.Words))
}

// inOrder puts the streams into the order in which their ends lie, so that few cross.
func (f FlowPicture) inOrder(nodes map[string]*node) []Stream {
	streams := slices.Clone(f.Streams)
	slices.SortStableFunc(streams, func(a, b Stream) int {
		return cmp.Or(cmp.Compare(nodes[a.To].y, nodes[b.To].y), cmp.Compare(nodes[a.From].y, nodes[b.From].y))
	})
	return streams
}

// nodes gives every name its column: one to the right of the last it comes from.
func (f FlowPicture) nodes() map[string]*node {
	nodes := make(map[string]*node)
	at := func(name string) *node {
		if nodes[name] == nil {
			nodes[name] = &node{name: name}
		}
		return nodes[name]
	}
	for _, s := range f.Streams {
		at(s.From).out += s.Amount
		at(s.To).in += s.Amount
	}
	const mostColumns = 8 // and so streams in a ring come to an end
	for range mostColumns {
		for _, s := range f.Streams {
			if from, to := nodes[s.From], nodes[s.To]; to.column <= from.column && from.column < mostColumns-1 {
				to.column = from.column + 1
			}
		}
	}
	return nodes
}

func inColumns(nodes map[string]*node) [][]*node {
	last := 0
	for _, n := range nodes {
		last = max(last, n.column)
	}
	columns := make([][]*node, last+1)
	for _, n := range nodes {
		columns[n.column] = append(columns[n.column], n)
	}
	columns = slices.DeleteFunc(columns, func(c []*node) bool { return len(c) == 0 })
	for i, column := range columns {
		for _, n := range column {
			n.column = i
		}
		slices.SortFunc(column, func(a, b *node) int {
			return cmp.Or(cmp.Compare(math.Max(b.in, b.out), math.Max(a.in, a.out)), cmp.Compare(a.name, b.name))
		})
	}
	return columns
}

// place spreads each column's boxes over the height.
func place(columns [][]*node, scale, height float64) {
	for _, column := range columns {
		tall := 0.0
		for _, n := range column {
			n.tall = math.Max(n.in, n.out) * scale
			tall += n.tall
		}
		gap := (height - 20 - tall) / float64(len(column))
		y := 6.0
		for _, n := range column {
			n.y = y
			y += n.tall + gap
		}
	}
}

// shortened keeps a label within the room beside its box.
func shortened(label string) string {
	const most = 28
	letters := []rune(label)
	if len(letters) <= most {
		return label
	}
	return string(letters[:most-1]) + "…"
}
