// Package sqllog keeps the attempts of a class in one database: by default an SQLite file, the class file; or a department's PostgreSQL.
//
// One row is one acknowledged command: its raw line, its place in the attempt, and the SHA-256 of the line, which the next line holds as its Prev. A
// line is acknowledged when its transaction has been committed: then it survives the process being killed. A loss of power may cost the last
// commits of a class file, never the order or the wholeness of what is left (write-ahead log, synchronous=NORMAL); on a server it costs what the server
// is set to. Several processes may write at once. When the connection to a server breaks off while a line is being committed, nobody knows on this side
// whether it was kept: ErrAway says so, and reading the attempt again settles it.
//
// The SQL is what SQLite and PostgreSQL both take: types TEXT, BIGINT and DOUBLE PRECISION, times as ms UTC, placeholders $1, keys made in Go. What
// differs stands in dialect. An erasure leaves no byte in a class file; on a server it leaves none in the tables, and what else a server keeps is beyond
// this package. No grading here, and nothing about what is right or wrong.
package sqllog
