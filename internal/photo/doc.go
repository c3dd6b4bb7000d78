// Package photo keeps pictures of samples beside the journal. A picture is
// named by the SHA-256 of its bytes, so that an entry which names it also says
// that it is unchanged. What comes in is decoded and encoded again: where and
// when it was taken, and by which device, stays behind, and nothing that only
// looks like a picture is ever served.
package photo
