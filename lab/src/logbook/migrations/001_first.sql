-- The first version of a logbook: what was recorded, in the order of `entries`, and guards under which rows are only added.

-- Texts of models and bytes of traces, once each, by their SHA-256. Without a hidden number of rows, which could be replaced by.
CREATE TABLE contents (
  hash  TEXT NOT NULL PRIMARY KEY CHECK (length(hash) = 64),
  bytes BLOB NOT NULL
) STRICT, WITHOUT ROWID;

-- Packages that were taken in.
CREATE TABLE imports (
  id          INTEGER PRIMARY KEY AUTOINCREMENT,
  imported_at TEXT NOT NULL,
  file        TEXT NOT NULL,
  hash        TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;

-- Everything that was ever recorded has an entry here. Their order is that of `seq`; `recorded_at` is what the clock said.
CREATE TABLE entries (
  seq         INTEGER PRIMARY KEY AUTOINCREMENT,
  recorded_at TEXT NOT NULL,
  import      INTEGER REFERENCES imports (id)
) STRICT;

-- What was known before a pull: sample, model and rig.
CREATE TABLE pulls (
  number           INTEGER PRIMARY KEY AUTOINCREMENT,
  seq              INTEGER NOT NULL UNIQUE REFERENCES entries (seq),
  uid              TEXT NOT NULL UNIQUE CHECK (length(uid) = 32),
  sample           TEXT NOT NULL,
  kind             TEXT,
  age_years        REAL,
  hours_of_use     REAL,
  earlier_pulls    INTEGER,
  marked_closed_kn REAL,
  marked_open_kn   REAL,
  measured         TEXT,
  model_name       TEXT,
  model_hash       TEXT REFERENCES contents (hash),
  sets             TEXT,
  upper            TEXT,
  upper_size_mm    REAL,
  upper_offset_mm  REAL,
  lower            TEXT,
  lower_size_mm    REAL,
  lower_offset_mm  REAL,
  gate             TEXT CHECK (gate IN ('closed', 'half', 'open')),
  engaged_mm       REAL,
  rig              TEXT,
  CHECK ((model_name IS NULL) = (model_hash IS NULL))
) STRICT;

-- What was forecast before a pull.
CREATE TABLE forecasts (
  pull    INTEGER PRIMARY KEY REFERENCES pulls (number),
  seq     INTEGER NOT NULL UNIQUE REFERENCES entries (seq),
  p5_kn   REAL NOT NULL CHECK (p5_kn >= 0),
  p50_kn  REAL NOT NULL CHECK (p50_kn >= p5_kn),
  p95_kn  REAL NOT NULL CHECK (p95_kn >= p50_kn),
  first   TEXT NOT NULL,
  program TEXT NOT NULL,
  inputs  TEXT NOT NULL
) STRICT;

-- What a pull was.
CREATE TABLE results (
  pull       INTEGER PRIMARY KEY REFERENCES pulls (number),
  seq        INTEGER NOT NULL UNIQUE REFERENCES entries (seq),
  pulled_on  TEXT NOT NULL,
  peak       TEXT NOT NULL,
  peak_kn    REAL NOT NULL CHECK (peak_kn > 0),
  outcome    TEXT CHECK (outcome IN ('broke', 'opened', 'strap broke', 'stopped')),
  place      TEXT,
  photo_name TEXT,
  photo_hash TEXT,
  remark     TEXT,
  trace_name TEXT,
  trace_hash TEXT REFERENCES contents (hash),
  CHECK ((trace_name IS NULL) = (trace_hash IS NULL))
) STRICT;

-- Corrections. A value of null is none. The present value of a field is that of its last amendment.
CREATE TABLE amendments (
  seq       INTEGER PRIMARY KEY REFERENCES entries (seq),
  pull      INTEGER NOT NULL REFERENCES pulls (number),
  field     TEXT NOT NULL,
  old_value TEXT,
  new_value TEXT CHECK (new_value IS NOT old_value),
  why       TEXT NOT NULL CHECK (length(why) > 0)
) STRICT;

CREATE INDEX amendments_of_pull ON amendments (pull, seq);

-- Rows are only added. The third guard of a table is for INSERT OR REPLACE, which deletes without being asked.

CREATE TRIGGER contents_no_update BEFORE UPDATE ON contents BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER contents_no_delete BEFORE DELETE ON contents BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER contents_no_replace BEFORE INSERT ON contents
WHEN EXISTS (SELECT 1 FROM contents WHERE hash = NEW.hash) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER imports_no_update BEFORE UPDATE ON imports BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER imports_no_delete BEFORE DELETE ON imports BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER imports_no_replace BEFORE INSERT ON imports
WHEN EXISTS (SELECT 1 FROM imports WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER entries_no_update BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER entries_no_delete BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER entries_no_replace BEFORE INSERT ON entries
WHEN EXISTS (SELECT 1 FROM entries WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER pulls_no_update BEFORE UPDATE ON pulls BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER pulls_no_delete BEFORE DELETE ON pulls BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER pulls_no_replace BEFORE INSERT ON pulls
WHEN EXISTS (SELECT 1 FROM pulls WHERE number = NEW.number) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER forecasts_no_update BEFORE UPDATE ON forecasts BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER forecasts_no_delete BEFORE DELETE ON forecasts BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER forecasts_no_replace BEFORE INSERT ON forecasts
WHEN EXISTS (SELECT 1 FROM forecasts WHERE pull = NEW.pull) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER results_no_update BEFORE UPDATE ON results BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER results_no_delete BEFORE DELETE ON results BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER results_no_replace BEFORE INSERT ON results
WHEN EXISTS (SELECT 1 FROM results WHERE pull = NEW.pull) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER amendments_no_update BEFORE UPDATE ON amendments BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER amendments_no_delete BEFORE DELETE ON amendments BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER amendments_no_replace BEFORE INSERT ON amendments
WHEN EXISTS (SELECT 1 FROM amendments WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER pulls_no_replace_unique BEFORE INSERT ON pulls
WHEN EXISTS (SELECT 1 FROM pulls WHERE seq = NEW.seq OR uid = NEW.uid) BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER forecasts_no_replace_unique BEFORE INSERT ON forecasts
WHEN EXISTS (SELECT 1 FROM forecasts WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER results_no_replace_unique BEFORE INSERT ON results
WHEN EXISTS (SELECT 1 FROM results WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

-- Nothing is recorded between two earlier entries, and nothing under an earlier entry.
CREATE TRIGGER entries_in_order AFTER INSERT ON entries
WHEN NEW.seq <> (SELECT max(seq) FROM entries) OR NEW.seq < 1 BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER pulls_in_order AFTER INSERT ON pulls
WHEN NEW.number <> (SELECT max(number) FROM pulls) OR NEW.number < 1 BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER pulls_newest_entry BEFORE INSERT ON pulls
WHEN NEW.seq IS NOT (SELECT max(seq) FROM entries) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER forecasts_newest_entry BEFORE INSERT ON forecasts
WHEN NEW.seq IS NOT (SELECT max(seq) FROM entries) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER results_newest_entry BEFORE INSERT ON results
WHEN NEW.seq IS NOT (SELECT max(seq) FROM entries) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER amendments_newest_entry BEFORE INSERT ON amendments
WHEN NEW.seq IS NOT (SELECT max(seq) FROM entries) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;

-- One entry stands for one row.
CREATE TRIGGER forecasts_own_entry BEFORE INSERT ON forecasts
WHEN EXISTS (SELECT 1 FROM pulls WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER results_own_entry BEFORE INSERT ON results
WHEN EXISTS (SELECT 1 FROM pulls WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM forecasts WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER amendments_own_entry BEFORE INSERT ON amendments
WHEN EXISTS (SELECT 1 FROM pulls WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM forecasts WHERE seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM results WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;

-- A forecast is blind: none is recorded once there is a result.
CREATE TRIGGER forecasts_before_result BEFORE INSERT ON forecasts
WHEN EXISTS (SELECT 1 FROM results WHERE pull = NEW.pull) BEGIN SELECT RAISE(ABORT, 'forecast_after_result'); END;

-- An amendment names a field that there is, and the value that stands there: else nobody could tell what the present one is.
CREATE TRIGGER amendments_follow_the_last BEFORE INSERT ON amendments
WHEN EXISTS (SELECT 1 FROM amendments WHERE pull = NEW.pull AND field = NEW.field)
  AND NEW.old_value IS NOT
    (SELECT new_value FROM amendments WHERE pull = NEW.pull AND field = NEW.field ORDER BY seq DESC LIMIT 1)
BEGIN SELECT RAISE(ABORT, 'old_value'); END;
CREATE TRIGGER amendments_follow_the_first_text BEFORE INSERT ON amendments
WHEN NEW.field NOT IN ('age_years', 'hours_of_use', 'earlier_pulls', 'marked_closed_kn', 'marked_open_kn',
    'upper_size_mm', 'upper_offset_mm', 'lower_size_mm', 'lower_offset_mm', 'engaged_mm')
  AND NOT EXISTS (SELECT 1 FROM amendments WHERE pull = NEW.pull AND field = NEW.field)
  AND NEW.old_value IS NOT (
    SELECT CASE NEW.field WHEN 'sample' THEN p.sample WHEN 'kind' THEN p.kind WHEN 'measured' THEN p.measured
      WHEN 'sets' THEN p.sets WHEN 'upper' THEN p.upper WHEN 'lower' THEN p.lower WHEN 'gate' THEN p.gate
      WHEN 'rig' THEN p.rig WHEN 'pulled_on' THEN r.pulled_on WHEN 'peak' THEN r.peak WHEN 'outcome' THEN r.outcome
      WHEN 'place' THEN r.place WHEN 'remark' THEN r.remark
      WHEN 'model' THEN coalesce(p.model_hash, '-') || ' ' || p.model_name
      WHEN 'photo' THEN coalesce(r.photo_hash, '-') || ' ' || r.photo_name
      WHEN 'trace' THEN coalesce(r.trace_hash, '-') || ' ' || r.trace_name
    ELSE x'' END FROM pulls p LEFT JOIN results r ON r.pull = p.number WHERE p.number = NEW.pull)
BEGIN SELECT RAISE(ABORT, 'old_value'); END;
-- Numbers are written as decimals in amendments: they are compared as numbers.
CREATE TRIGGER amendments_follow_the_first_number BEFORE INSERT ON amendments
WHEN NEW.field IN ('age_years', 'hours_of_use', 'earlier_pulls', 'marked_closed_kn', 'marked_open_kn',
    'upper_size_mm', 'upper_offset_mm', 'lower_size_mm', 'lower_offset_mm', 'engaged_mm')
  AND NOT EXISTS (SELECT 1 FROM amendments WHERE pull = NEW.pull AND field = NEW.field)
  AND NOT EXISTS (SELECT 1 FROM (
    SELECT CASE NEW.field WHEN 'age_years' THEN p.age_years WHEN 'hours_of_use' THEN p.hours_of_use
      WHEN 'earlier_pulls' THEN p.earlier_pulls WHEN 'marked_closed_kn' THEN p.marked_closed_kn
      WHEN 'marked_open_kn' THEN p.marked_open_kn WHEN 'upper_size_mm' THEN p.upper_size_mm
      WHEN 'upper_offset_mm' THEN p.upper_offset_mm WHEN 'lower_size_mm' THEN p.lower_size_mm
      WHEN 'lower_offset_mm' THEN p.lower_offset_mm WHEN 'engaged_mm' THEN p.engaged_mm
    END AS first FROM pulls p WHERE p.number = NEW.pull)
    WHERE first IS NULL AND NEW.old_value IS NULL OR abs(first - CAST(NEW.old_value AS REAL)) <= 1e-12 * abs(first))
BEGIN SELECT RAISE(ABORT, 'old_value'); END;

-- What a forecast was made of stays; a result is amended once there is one; what an amendment names is kept.
CREATE TRIGGER amendments_keep_model BEFORE INSERT ON amendments
WHEN NEW.field IN ('model', 'sets', 'upper', 'upper_size_mm', 'upper_offset_mm', 'lower', 'lower_size_mm', 'lower_offset_mm', 'gate',
  'engaged_mm') AND EXISTS (SELECT 1 FROM forecasts WHERE pull = NEW.pull)
BEGIN SELECT RAISE(ABORT, 'locked_by_forecast'); END;
CREATE TRIGGER amendments_of_result BEFORE INSERT ON amendments
WHEN NEW.field IN ('pulled_on', 'peak', 'outcome', 'place', 'photo', 'remark', 'trace')
  AND NOT EXISTS (SELECT 1 FROM results WHERE pull = NEW.pull)
BEGIN SELECT RAISE(ABORT, 'no_result'); END;
CREATE TRIGGER amendments_of_content BEFORE INSERT ON amendments
WHEN NEW.field IN ('model', 'trace') AND NEW.new_value IS NOT NULL
  AND NOT EXISTS (SELECT 1 FROM contents WHERE hash = substr(NEW.new_value, 1, 64))
BEGIN SELECT RAISE(ABORT, 'no_content'); END;
