package exchange

import (
	"bytes"
	"io"
	"net/url"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/emersion/go-ical"

	"example.org/croze/internal/book"
)

// WriteCalendar writes what is due as an iCalendar object (RFC 5545): one
// event, of a whole day, for each thing to do. The same thing keeps its UID, so
// that a calendar moves it instead of showing it twice. base is the address of
// the store, which each event leads to; at is the moment it is written.
func WriteCalendar(w io.Writer, at time.Time, base string, due []book.Engagement) error {
	calendar := ical.NewCalendar()
	calendar.Props.SetText(ical.PropVersion, "2.0")
	calendar.Props.SetText(ical.PropProductID, "-//Croze//Diary of a spirit store//EN")
	calendar.Props.SetText("X-WR-CALNAME", "Spirit store")
	for _, e := range due {
		calendar.Children = append(calendar.Children, event(at, base, e).Component)
	}
	if len(due) == 0 { // a calendar must hold something: a time zone says the least
		calendar.Children = append(calendar.Children, coordinatedTime())
	}
	var plain bytes.Buffer
	if err := ical.NewEncoder(&plain).Encode(calendar); err != nil {
		return err
	}
	_, err := io.WriteString(w, folded(plain.String()))
	return err
}

// folded breaks lines that are longer than 75 octets (RFC 5545, 3.1), never
// within a character; the encoder leaves them long.
func folded(text string) string {
	const most = 75
	var out strings.Builder
	for _, line := range strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		room := most
		for len(line) > room {
			cut := room
			for !utf8.RuneStart(line[cut]) {
				cut--
			}
			out.WriteString(line[:cut] + "\r\n ")
			line, room = line[cut:], most-1
		}
		out.WriteString(line + "\r\n")
	}
	return out.String()
}

func event(at time.Time, base string, e book.Engagement) *ical.Event {
	event := ical.NewEvent()
	event.Props.SetText(ical.PropUID, e.Key+"@croze")
	event.Props.SetDateTime(ical.PropDateTimeStamp, at.UTC())
	event.Props.SetDate(ical.PropDateTimeStart, e.On.Time())
	event.Props.SetDate(ical.PropDateTimeEnd, (e.On + 1).Time())
	event.Props.SetText(ical.PropSummary, e.Title)
	words := e.Words
	if e.Since != 0 {
		words = joinWords(words, "Due since "+e.Since.String()+".")
	}
	if words != "" {
		event.Props.SetText(ical.PropDescription, words)
	}
	if e.Place != "" {
		event.Props.SetText(ical.PropLocation, e.Place)
	}
	if address, err := url.Parse(base); err == nil && address.Host != "" {
		event.Props.SetURI(ical.PropURL, address.JoinPath("v", url.PathEscape(e.Vessel)))
	}
	event.Props.SetText(ical.PropTransparency, "TRANSPARENT") // nobody is busy all day with it
	return event
}

func joinWords(a, b string) string {
	if a == "" {
		return b
	}
	return a + " " + b
}

// coordinatedTime is the time zone UTC.
func coordinatedTime() *ical.Component {
	zone := ical.NewComponent(ical.CompTimezone)
	zone.Props.SetText(ical.PropTimezoneID, "UTC")
	standard := ical.NewComponent(ical.CompTimezoneStandard)
	start := ical.NewProp(ical.PropDateTimeStart)
	start.Value = "19700101T000000"
	standard.Props.Set(start)
	for _, name := range []string{ical.PropTimezoneOffsetFrom, ical.PropTimezoneOffsetTo} {
		offset := ical.NewProp(name)
		offset.Value = "+0000"
		standard.Props.Set(offset)
	}
	zone.Children = append(zone.Children, standard)
	return zone
}
