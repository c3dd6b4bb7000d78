// Package exchange reads and writes the files that people and other programs
// hand over: CSV in, CSV and XLSX out.
//
// The model:
//
//   - A Kind of file has named columns, some of them required. Files are RFC
//     4180 in UTF-8 with a header row; columns may come in any order, and one
//     that the kind does not have is refused by name.
//   - A row is read whole: every cell that is wrong becomes a
//     book.RowProblem with file, line, column, value and reason, so that a
//     person mends them all in one go.
//   - A row that reads well becomes a book.Row with an ID worked out from what
//     it says, so that the same row is known again when the file is imported
//     a second time. Whether it can have happened is for package book to say.
//   - Out go plain tables. Text that a spreadsheet would take for a formula is
//     written so that it does not, and reading it back takes that off again.
//
// Volumes are litres, strengths % vol at 20 °C, temperatures °C, weights kg;
// the unit is in the column's name.
package exchange
