// Package render turns results into tables, Markdown, CSV and JSON, and a report into text. It has no rule, formula or threshold of its own.
package render
