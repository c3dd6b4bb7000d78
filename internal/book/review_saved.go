package book

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.org/croze/internal/cellar"
)

// SavedView is a way of looking at the stock table that somebody kept under a
// name. It is a setting of this store's pages and no fact: it is kept beside the
// journal, goes into a backup and not into an export.
type SavedView struct {
	Name  string `json:"name"`
	Query string `json:"query"` // as in the address, without the question mark
}

// Address is the page that shows it.
func (v SavedView) Address() string { return "/vessels?" + v.Query }

const (
	savedViews      = "views" // the aside's key
	mostSavedViews  = 50
	longestViewText = 2000 // bytes of a query
)

// SavedViews lists the views that were kept, by name.
func (b *Book) SavedViews() ([]SavedView, error) {
	kept, err := b.journal.Get(savedViews)
	if err != nil || kept == nil {
		return nil, err
	}
	var views []SavedView
	if err := json.Unmarshal(kept, &views); err != nil {
		return nil, fmt.Errorf("the saved views cannot be read: %w", err)
	}
	return views, nil
}

// SaveView keeps a view under a name, in place of one that had it.
func (b *Book) SaveView(view SavedView) error {
	view.Name, view.Query = strings.TrimSpace(view.Name), strings.TrimPrefix(view.Query, "?")
	if err := cellar.CheckName("name", view.Name); err != nil {
		return err
	}
	if len(view.Query) > longestViewText {
		return &cellar.Problem{Kind: cellar.Invalid, Field: "query", Reason: fmt.Sprintf("longer than %d characters: filter by less", longestViewText)}
	}
	if strings.ContainsFunc(view.Query, unicode.IsControl) { // a line break in it would end the header that leads there
		return &cellar.Problem{Kind: cellar.Invalid, Field: "query", Reason: "no address holds such characters: open the view and keep it from there"}
	}
	return b.changeViews(func(views []SavedView) ([]SavedView, error) {
		views = append(without(views, view.Name), view)
		if len(views) > mostSavedViews {
			return nil, &cellar.Problem{Kind: cellar.Refused, Field: "name", Value: view.Name, Reason: fmt.Sprintf("%d views are kept already: drop one first", mostSavedViews)}
		}
		return views, nil
	})
}

// DropView forgets a view; one that is not there is forgotten already.
func (b *Book) DropView(name string) error {
	return b.changeViews(func(views []SavedView) ([]SavedView, error) { return without(views, name), nil })
}

func without(views []SavedView, name string) []SavedView {
	return slices.DeleteFunc(views, func(v SavedView) bool { return v.Name == name })
}

func (b *Book) changeViews(change func([]SavedView) ([]SavedView, error)) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	views, err := b.SavedViews()
	if err != nil {
		return err
	}
	if views, err = change(views); err != nil {
		return err
	}
	slices.SortFunc(views, func(a, b SavedView) int { return cmp.Compare(a.Name, b.Name) })
	body, err := json.Marshal(views)
	if err != nil {
		return err
	}
	return b.journal.Put(savedViews, body)
}
