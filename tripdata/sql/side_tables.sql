CREATE TABLE set_aside (
  "file" VARCHAR NOT NULL, line INTEGER NOT NULL CHECK (line >= 0), "column" VARCHAR NOT NULL,
  "value" VARCHAR NOT NULL, problem VARCHAR NOT NULL CHECK (problem <> ''),
  nearest VARCHAR, raw VARCHAR NOT NULL, trip VARCHAR, cause VARCHAR);
CREATE TABLE warnings (
  "file" VARCHAR NOT NULL, line INTEGER NOT NULL CHECK (line >= 0), "column" VARCHAR NOT NULL,
  "value" VARCHAR NOT NULL, problem VARCHAR NOT NULL CHECK (problem <> ''), nearest VARCHAR);
CREATE TABLE files (
  "file" VARCHAR PRIMARY KEY, records INTEGER NOT NULL, loaded INTEGER NOT NULL,
  set_aside INTEGER NOT NULL, unreadable BOOLEAN NOT NULL,
  laid_out INTEGER NOT NULL CHECK (laid_out >= 0),
  CHECK (records = loaded + set_aside));
CREATE TABLE use_not_read (trip VARCHAR NOT NULL, item VARCHAR NOT NULL);
CREATE TABLE cells_not_read (
  item VARCHAR NOT NULL, "column" VARCHAR NOT NULL, "value" VARCHAR NOT NULL);
CREATE TABLE settings (key VARCHAR PRIMARY KEY, "value" VARCHAR NOT NULL);
CREATE TABLE about (key VARCHAR PRIMARY KEY, "value" VARCHAR NOT NULL);
