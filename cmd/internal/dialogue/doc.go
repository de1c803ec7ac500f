// Package dialogue is the drill at the terminal: typed words in, plain lines out.
//
// It works on a pipe, in 80 columns, without colour and with a screen reader. It has no rule, formula or threshold of its own, and hints at
// nothing: normal and abnormal are told alike.
package dialogue
