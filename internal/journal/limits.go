package journal

// Limits of a draft and of an append. They keep one bad caller from filling
// the disk, and are far above what a store needs.
const (
	MaxWho    = 200     // bytes of Who
	MaxKind   = 64      // bytes of Kind
	MaxBody   = 1 << 20 // bytes of a compact Body
	MaxDepth  = 32      // lists and objects within each other in a Body
	MaxDrafts = 100_000 // drafts of one append
	MaxKey    = 200     // bytes of an aside's key
	MaxAside  = 8 << 20 // bytes of an aside's value
)
