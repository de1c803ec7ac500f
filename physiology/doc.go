// Package physiology holds nothing itself: its parts are unit (quantities), instrument (fingers and cuff), body (a person's response) and
// protocol (the published arithmetic). SOURCES.md beside this file says where every number comes from; a test holds code and page together.
package physiology
