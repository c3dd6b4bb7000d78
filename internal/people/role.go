package people

import "slices"

// Role says what its holder may do. Each may do what those before it may.
type Role string

// The roles, from the least.
const (
	Reader Role = "reader" // sees everything of the spirit, changes nothing
	Hand   Role = "hand"   // writes down what happens in the store
	Keeper Role = "keeper" // registers, plans, takes back, closes, exports
	Owner  Role = "owner"  // decides who may do what
)

// Roles are all of them, from the least.
func Roles() []Role { return []Role{Reader, Hand, Keeper, Owner} }

// Known says whether there is such a role.
func (r Role) Known() bool { return slices.Contains(Roles(), r) }

// May says whether a holder of r may do what asks for a role. A role that is
// not known may nothing, and what asks for one that is not known nobody may.
func (r Role) May(asked Role) bool {
	have, need := slices.Index(Roles(), r), slices.Index(Roles(), asked)
	return have >= 0 && need >= 0 && have >= need
}

// least is the lesser of two roles.
func least(a, b Role) Role {
	if a.May(b) {
		return b
	}
	return a
}
