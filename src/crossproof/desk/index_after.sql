CREATE INDEX record_occurrence ON record (occurrence);
CREATE INDEX record_outcome ON record (outcome, taxon, recorder, square, year);
CREATE INDEX record_taxon ON record (taxon, latitude);
CREATE INDEX record_recorder ON record (recorder);
CREATE INDEX record_square ON record (square);
CREATE INDEX record_year ON record (year);
ANALYZE;
