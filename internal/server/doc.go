// Package server is the face of the book: Fiber routes, sign-in, pages and the
// JSON API. A handler parses, calls the book, chooses a view and renders it;
// what is computed about spirit is computed elsewhere.
//
// Pages are html/template files in web/templates, each given a typed page
// struct; scripts only enrich what works without them. Nothing is fetched from
// other hosts, and the content security policy forbids it.
package server
