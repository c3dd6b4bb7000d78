package blend

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"
	"time"
)

func TestTry(t *testing.T) {
	for _, f := range []string{"/tmp/t1.json", "/tmp/t2.json", "/tmp/t3.json", "/tmp/t4.json", "/tmp/t5.json"} {
		b, _ := os.ReadFile(f)
		p, err := Parse(b)
		if err != nil {
			fmt.Println(err)
			continue
		}
		b0 := time.Now()
		r, err := Solve(p)
		o, _ := json.MarshalIndent(r, "", " ")
		fmt.Println(f, time.Since(b0), err, string(o))
	}
}
