-- The first version of the record.
CREATE TABLE pull (
  number INTEGER PRIMARY KEY,
  id     TEXT NOT NULL UNIQUE CHECK (id <> ''),
  digest TEXT NOT NULL, -- SHA-256 of the figures
  added  TEXT NOT NULL, -- RFC 3339, UTC

  engine TEXT NOT NULL CHECK (engine <> ''),
  log    TEXT NOT NULL,
  day    TEXT NOT NULL,
  start_s REAL NOT NULL,
  end_s   REAL NOT NULL,

  induction TEXT NOT NULL CHECK (induction IN ('naturally aspirated', 'supercharged', 'turbocharged')),
  valves    INTEGER NOT NULL CHECK (valves BETWEEN 1 AND 8), -- per cylinder
  ethanol_volume REAL NOT NULL CHECK (ethanol_volume BETWEEN 0 AND 1),
  ethanol_energy REAL NOT NULL,
  lower_heating_j_per_kg REAL NOT NULL CHECK (lower_heating_j_per_kg > 0),
  boost_pa REAL NOT NULL,
  lambda   REAL NOT NULL,
  low_speed_rad_per_s  REAL NOT NULL,
  high_speed_rad_per_s REAL NOT NULL,
  peak_power_w REAL NOT NULL,
  peak_power_speed_rad_per_s REAL NOT NULL,
  peak_power_fuel_kg_per_s   REAL NOT NULL,
  peak_power_air_kg_per_s    REAL NOT NULL,
  most_duty REAL NOT NULL,
  greatest_rail_fall_pa REAL NOT NULL,
  energy          REAL NOT NULL,
  energy_standard REAL NOT NULL,
  energy_degrees  REAL NOT NULL, -- of freedom, here and below; may be infinite
  used INTEGER NOT NULL CHECK (used > 0), -- samples

  average_kg_per_j REAL NOT NULL,
  average_standard REAL NOT NULL,
  average_type_a   REAL NOT NULL,
  average_type_b   REAL NOT NULL,
  average_degrees  REAL NOT NULL,
  at_peak_kg_per_j REAL NOT NULL CHECK (at_peak_kg_per_j > 0),
  at_peak_standard REAL NOT NULL,
  at_peak_type_a   REAL NOT NULL,
  at_peak_type_b   REAL NOT NULL,
  at_peak_degrees  REAL NOT NULL,
  peak_kg_per_j REAL NOT NULL,
  peak_standard REAL NOT NULL,
  peak_type_a   REAL NOT NULL,
  peak_type_b   REAL NOT NULL,
  peak_degrees  REAL NOT NULL
) STRICT;

CREATE INDEX pull_engine ON pull (engine);

CREATE TABLE aside (
  pull    INTEGER NOT NULL REFERENCES pull (number) ON DELETE CASCADE,
  reason  TEXT NOT NULL CHECK (reason <> ''),
  samples INTEGER NOT NULL CHECK (samples >= 0),
  PRIMARY KEY (pull, reason)
) STRICT, WITHOUT ROWID;
