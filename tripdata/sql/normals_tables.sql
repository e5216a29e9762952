CREATE TABLE stations (
  station VARCHAR PRIMARY KEY, name VARCHAR NOT NULL, latitude DOUBLE, longitude DOUBLE,
  elevation_m DOUBLE);
CREATE TABLE normal_sets (
  station VARCHAR NOT NULL, product VARCHAR NOT NULL CHECK (product IN ('daily', 'monthly',
  'hourly')), period VARCHAR NOT NULL, kind VARCHAR NOT NULL CHECK (kind IN ('published', 'curve',
  'hours')), spread_from VARCHAR, completeness VARCHAR, years INTEGER, "file" VARCHAR,
  PRIMARY KEY (station, product, period));
CREATE TABLE normals (
  station VARCHAR NOT NULL, product VARCHAR NOT NULL, period VARCHAR NOT NULL,
  month_day VARCHAR NOT NULL, low_c DOUBLE NOT NULL CHECK (low_c BETWEEN -90 AND 60),
  sd_c DOUBLE CHECK (sd_c > 0), PRIMARY KEY (station, product, period, month_day));
CREATE TABLE station_distances (
  trip VARCHAR NOT NULL, station VARCHAR NOT NULL, distance_km DOUBLE, named BOOLEAN NOT NULL,
  PRIMARY KEY (trip, station));
