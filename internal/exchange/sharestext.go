package exchange

import "errors"

// ParseShares reads shares as a person types them into a form, in the form of
// the files: rye:0.6;barley:0.4.
func ParseShares(text string) (map[string]float64, error) {
	shares, why := readShares(text)
	if why != "" {
		return nil, errors.New(why)
	}
	return shares, nil
}
