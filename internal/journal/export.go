package journal

import (
	"bufio"
	"encoding/json"
	"io"
)

// Export writes the journal as JSON Lines, one entry a line, in order. The
// same journal gives the same bytes.
func Export(w io.Writer, j Journal) error {
	out := bufio.NewWriter(w)
	err := j.Read(1, func(e Entry) error {
		line, err := json.Marshal(e)
		if err != nil {
			return err
		}
		_, err = out.Write(append(line, '\n'))
		return err
	})
	if err != nil {
		return err
	}
	return out.Flush()
}
