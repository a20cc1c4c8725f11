-- What pulls have told of the constants of forecasts, kept under a name.
CREATE TABLE calibrations (
  name    TEXT PRIMARY KEY NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
  seq     INTEGER NOT NULL UNIQUE REFERENCES entries (seq),
  program TEXT NOT NULL,
  -- The numbers of the pulls that it is made of, and what they have told, each as JSON.
  pulls   TEXT NOT NULL,
  told    TEXT NOT NULL
) STRICT;

CREATE TRIGGER calibrations_no_update BEFORE UPDATE ON calibrations BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER calibrations_no_delete BEFORE DELETE ON calibrations BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER calibrations_no_replace BEFORE INSERT ON calibrations
WHEN EXISTS (SELECT 1 FROM calibrations WHERE name = NEW.name OR seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER calibrations_newest_entry BEFORE INSERT ON calibrations
WHEN NEW.seq IS NOT (SELECT max(seq) FROM entries) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER calibrations_own_entry BEFORE INSERT ON calibrations
WHEN EXISTS (SELECT 1 FROM pulls WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM forecasts WHERE seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM results WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM amendments WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;

CREATE TRIGGER forecasts_not_a_calibration BEFORE INSERT ON forecasts
WHEN EXISTS (SELECT 1 FROM calibrations WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER results_not_a_calibration BEFORE INSERT ON results
WHEN EXISTS (SELECT 1 FROM calibrations WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER amendments_not_a_calibration BEFORE INSERT ON amendments
WHEN EXISTS (SELECT 1 FROM calibrations WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;

-- The calibration that a forecast was made with: null for one without.
ALTER TABLE forecasts ADD COLUMN calibration TEXT;
