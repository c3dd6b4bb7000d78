package blend

import (
	"fmt"
	"time"
)

// Age is completed years and months in wood, as an age statement may use it:
// of the youngest part, never rounded up.
type Age struct {
	Years  int    `json:"years"`
	Months int    `json:"months"` // beyond the years
	Words  string `json:"words"`
}

// AgeStatement counts the completed years and months from the day on which the
// youngest part first met wood to the day of bottling, by the calendar. A month
// begun on the 31st is complete on the 1st after a shorter month, a year begun
// on 29 February on 1 March. Times of day and zones are not looked at.
func AgeStatement(youngest, bottled time.Time) (Age, error) {
	y1, m1, d1 := youngest.Date()
	y2, m2, d2 := bottled.Date()
	months := 12*(y2-y1) + int(m2-m1)
	if d2 < d1 {
		months--
	}
	if months < 0 {
		if y2 < y1 || y2 == y1 && (m2 < m1 || m2 == m1 && d2 < d1) {
			return Age{}, fmt.Errorf("bottled on %s, before the youngest part first met wood on %s",
				bottled.Format(time.DateOnly), youngest.Format(time.DateOnly))
		}
		months = 0
	}
	a := Age{Years: months / 12, Months: months % 12}
	a.Words = counted(a.Years, "year")
	if a.Years == 0 {
		a.Words = counted(a.Months, "month")
	}
	return a, nil
}

func counted(n int, unit string) string {
	if n == 1 {
		return "1 " + unit
	}
	return fmt.Sprintf("%d %ss", n, unit)
}
