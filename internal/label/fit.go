package label

import "strings"

const (
	leading  = 1.2  // height of a line over the type size
	ascent   = 0.95 // of the line's top above the baseline, over the type size
	ellipsis = "…"
)

func lineHeight(pt float64) float64 { return pt * leading * mmPerPoint }

// setWords places the code, large, and the lines below it in the text area,
// the whole in the middle of its height.
func setWords(layout Layout, label Label) []words {
	room := layout.textArea()
	lines := label.lines()
	code := fitLine(printable(label.Code), layout.Text.Code, layout.Text.Least, room.width)
	if high := room.height - lineHeight(layout.Text.Least)*min(1, float64(len(lines))); lineHeight(code.pt) > high {
		code = fitLine(printable(label.Code), max(high/(leading*mmPerPoint), layout.Text.Least), layout.Text.Least, room.width)
	}
	kept, pt := fitLines(lines, layout.Text, room.height-lineHeight(code.pt))
	all := []words{code}
	for _, line := range kept {
		all = append(all, fitLine(line, pt, layout.Text.Least, room.width))
	}
	return place(all, pt, room, layout.Text.Where == below)
}

// fitLines finds the type size at which all lines fit a height. If they do not
// at the least size, the last that does ends in an ellipsis.
func fitLines(lines []string, size Type, height float64) (kept []string, pt float64) {
	if len(lines) == 0 {
		return nil, size.Line
	}
	pt = min(size.Line, height/(float64(len(lines))*leading*mmPerPoint))
	if pt >= size.Least {
		return lines, pt
	}
	pt = size.Least
	count := int(height / lineHeight(pt))
	if count <= 0 {
		return nil, pt
	}
	kept = append(kept, lines[:count]...)
	kept[count-1] += " " + ellipsis
	return kept, pt
}

// fitLine shrinks a text to a width in mm and, at the least size, cuts it.
func fitLine(text string, pt, least, width float64) words {
	measured := font().width(text, pt)
	if measured > width {
		pt = max(least, pt*width/measured*(1-1e-9))
		text = cut(text, pt, width)
		measured = font().width(text, pt)
	}
	return words{text: text, width: measured, pt: pt}
}

// cut takes characters off the end until the text and an ellipsis fit.
func cut(text string, pt, width float64) string {
	if font().width(text, pt) <= width {
		return text
	}
	runes := []rune(strings.TrimSuffix(text, ellipsis))
	for len(runes) > 0 {
		runes = runes[:len(runes)-1]
		if short := strings.TrimRight(string(runes), " ") + ellipsis; font().width(short, pt) <= width {
			return short
		}
	}
	return ""
}

// place stacks the lines: the first in its own height, the others in that of
// the common size pt.
func place(lines []words, pt float64, room area, centred bool) []words {
	height := lineHeight(lines[0].pt) + float64(len(lines)-1)*lineHeight(pt)
	top := room.top + max(0, room.height-height)/2
	for i := range lines {
		size := pt
		if i == 0 {
			size = lines[0].pt
		}
		lines[i].left = room.left
		if centred {
			lines[i].left += (room.width - lines[i].width) / 2
		}
		lines[i].baseline = top + size*ascent*mmPerPoint
		top += lineHeight(size)
	}
	return lines
}
