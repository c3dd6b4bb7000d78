// Package picture draws the charts of the pages as SVG, on the server, so that
// they print and need no scripts. It knows no spirit: it takes points in the
// plane and words.
//
// Colours, strokes and type come from the page's style sheet through classes;
// the drawings carry none of their own, so light, dark and printed pages each
// have theirs. Every picture has a title and a description for those who
// cannot see it, and the page beside it has the numbers.
package picture
