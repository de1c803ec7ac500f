// Package sqllog keeps the attempts of a class in one database: by default an SQLite file, the class file.
//
// One row is one acknowledged command: its raw line, its place in the attempt, and the SHA-256 of the line, which the next line holds as its Prev. A
// line is acknowledged when its transaction has been committed: then it survives the process being killed. A loss of power may cost the last
// commits, never the order or the wholeness of what is left (write-ahead log, synchronous=NORMAL). Several processes may write at once.
//
// The SQL is what SQLite and PostgreSQL both take: types TEXT, BIGINT and DOUBLE PRECISION, times as ms UTC, placeholders $1, keys made in Go. What
// differs stands in Dialect. No grading here, and nothing about what is right or wrong.
package sqllog
