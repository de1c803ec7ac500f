// Package physiology holds the page of sources, SOURCES.md, and finds its rows. Its parts are unit (quantities), instrument (fingers and
// cuff), body (a person's response) and protocol (the published arithmetic). A test holds code and page together.
package physiology
