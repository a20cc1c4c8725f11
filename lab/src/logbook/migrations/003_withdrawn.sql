-- Pulls that are withdrawn: they stay on record and count no more.
CREATE TABLE withdrawals (
  pull INTEGER PRIMARY KEY REFERENCES pulls (number),
  seq  INTEGER NOT NULL UNIQUE REFERENCES entries (seq),
  why  TEXT NOT NULL CHECK (length(why) > 0)
) STRICT;

CREATE TRIGGER withdrawals_no_update BEFORE UPDATE ON withdrawals BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER withdrawals_no_delete BEFORE DELETE ON withdrawals BEGIN SELECT RAISE(ABORT, 'append_only'); END;
CREATE TRIGGER withdrawals_no_replace BEFORE INSERT ON withdrawals
WHEN EXISTS (SELECT 1 FROM withdrawals WHERE pull = NEW.pull OR seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'append_only'); END;

CREATE TRIGGER withdrawals_newest_entry BEFORE INSERT ON withdrawals
WHEN NEW.seq IS NOT (SELECT max(seq) FROM entries) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;

-- One entry stands for one row.
CREATE TRIGGER withdrawals_own_entry BEFORE INSERT ON withdrawals
WHEN EXISTS (SELECT 1 FROM pulls WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM forecasts WHERE seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM results WHERE seq = NEW.seq) OR EXISTS (SELECT 1 FROM amendments WHERE seq = NEW.seq)
  OR EXISTS (SELECT 1 FROM calibrations WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER pulls_no_withdrawal BEFORE INSERT ON pulls
WHEN EXISTS (SELECT 1 FROM withdrawals WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER forecasts_no_withdrawal BEFORE INSERT ON forecasts
WHEN EXISTS (SELECT 1 FROM withdrawals WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER results_no_withdrawal BEFORE INSERT ON results
WHEN EXISTS (SELECT 1 FROM withdrawals WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER amendments_no_withdrawal BEFORE INSERT ON amendments
WHEN EXISTS (SELECT 1 FROM withdrawals WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
CREATE TRIGGER calibrations_no_withdrawal BEFORE INSERT ON calibrations
WHEN EXISTS (SELECT 1 FROM withdrawals WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'out_of_order'); END;
