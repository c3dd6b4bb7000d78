package exchange

import (
	"fmt"
	"time"

	"example.org/croze/internal/book"
)

// form is how one kind of file is read.
type form[T any] struct {
	kind    string // goes into the IDs of rows
	columns []column
	read    func(*row) T
	at      func(T) time.Time // when it happened, for the ID; nil: no time
}

// rows is a file as read.
type rows[T any] struct {
	good     []book.Row[T]
	failed   []T // what could be read of the rows that are wrong
	problems []book.RowProblem
	readable bool
}

// readAll reads every row of a file; without a file there are none.
func (f form[T]) readAll(file *File) (rows[T], error) {
	if file == nil {
		return rows[T]{readable: true}, nil
	}
	t, err := readTable(*file, f.columns)
	if err != nil {
		return rows[T]{}, err
	}
	out := rows[T]{readable: t.readable, problems: t.problems}
	for _, r := range t.broken {
		out.failed = append(out.failed, f.read(&row{table: t, record: r.padded()}))
	}
	seen := make(map[string]int, len(t.records))
	for _, r := range t.records {
		reading := &row{table: t, record: r}
		value := f.read(reading)
		if len(reading.problems) == 0 {
			out.take(f, reading, value, seen)
			continue
		}
		out.failed = append(out.failed, value)
		out.problems = append(out.problems, reading.problems...)
		if len(out.problems) >= MostProblems {
			break
		}
	}
	return out, nil
}

// take adds a row that reads well, unless it was there already.
func (out *rows[T]) take(f form[T], r *row, value T, seen map[string]int) {
	line := r.record.line()
	var at time.Time
	if f.at != nil {
		at = f.at(value)
	}
	id := r.says.ulid(f.kind, at)
	if first, twice := seen[id]; twice {
		out.problems = append(out.problems, book.RowProblem{
			File: r.table.file, Line: line,
			Reason: fmt.Sprintf("the same row as line %d: take one out, or tell them apart by a note", first),
		})
		return
	}
	seen[id] = line
	out.good = append(out.good, book.Row[T]{File: r.table.file, Line: line, ID: id, Value: value})
}

// padded makes a broken row safe to look at.
func (r record) padded() record {
	if len(r.lines) == 0 {
		return record{cells: []string{""}, lines: []int{1}}
	}
	return r
}
