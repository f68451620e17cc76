-- Entries are the record; entry_file and serial_move are worked out from them.
-- {text} sorts by bytes in every database.
CREATE TABLE customer (
	id {text} PRIMARY KEY,
	name TEXT NOT NULL,
	reach TEXT NOT NULL,
	forgotten TEXT NOT NULL
);
CREATE TABLE job (
	id {text} PRIMARY KEY,
	handle {text} NOT NULL UNIQUE,
	title TEXT NOT NULL,
	customer {text} NOT NULL
);
CREATE INDEX job_customer ON job (customer);
CREATE TABLE entry (
	id {text} PRIMARY KEY,
	job {text} NOT NULL REFERENCES job (id),
	kind {text} NOT NULL,
	at {text} NOT NULL,
	body TEXT NOT NULL
);
CREATE INDEX entry_job ON entry (job, at, id);
CREATE TABLE entry_file (
	entry {text} NOT NULL REFERENCES entry (id),
	place BIGINT NOT NULL,
	sha256 {text} NOT NULL,
	PRIMARY KEY (entry, place)
);
CREATE INDEX entry_file_sha256 ON entry_file (sha256);
CREATE TABLE serial_move (
	entry {text} NOT NULL REFERENCES entry (id),
	place BIGINT NOT NULL,
	serial {text} NOT NULL,
	PRIMARY KEY (entry, place)
);
CREATE INDEX serial_move_serial ON serial_move (serial, entry);
-- files that were erased to forget a customer: not missing, gone
CREATE TABLE erased_file (
	sha256 {text} PRIMARY KEY,
	at {text} NOT NULL
);
