CREATE TABLE class_store (
	name TEXT PRIMARY KEY,
	value TEXT NOT NULL
);
CREATE TABLE student (
	student_key TEXT PRIMARY KEY,
	name TEXT NOT NULL,
	study_group TEXT NOT NULL,
	time_factor DOUBLE PRECISION NOT NULL,
	extra BIGINT NOT NULL,
	position BIGINT NOT NULL
);
CREATE TABLE student_code (
	code TEXT PRIMARY KEY,
	student_key TEXT NOT NULL REFERENCES student (student_key),
	assignment TEXT NOT NULL
);
CREATE TABLE attempt (
	attempt_id BIGINT PRIMARY KEY,
	place TEXT NOT NULL UNIQUE,
	source TEXT NOT NULL,
	owner TEXT NOT NULL,
	code TEXT NOT NULL,
	header_sum TEXT NOT NULL,
	changed_ms BIGINT NOT NULL
);
CREATE INDEX attempt_header ON attempt (header_sum);
CREATE TABLE line (
	attempt_id BIGINT NOT NULL REFERENCES attempt (attempt_id),
	seq BIGINT NOT NULL,
	raw TEXT NOT NULL,
	sum TEXT NOT NULL,
	PRIMARY KEY (attempt_id, seq)
);
CREATE TABLE class_copy (
	path TEXT PRIMARY KEY,
	kind TEXT NOT NULL,
	made_ms BIGINT NOT NULL
);
