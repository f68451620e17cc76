-- what a job is found by; filled from the entries once this has run
ALTER TABLE job ADD COLUMN search TEXT NOT NULL DEFAULT '';
