-- A large store: 400 items, 20,000 trips of 0 to 9 nights, 1 million carried rows, 5 million readings.
SELECT setseed(0.5);
CREATE TEMP TABLE numbered AS SELECT system, row_number() OVER () - 1 AS n FROM systems;
INSERT INTO gear BY NAME
  SELECT
    'item-' || i AS item, 'Item ' || i AS name, n.system,
    CASE WHEN i % 50 <> 7 THEN 1000 * (1 + i * 7 % 3000) END AS weight_mg,
    ['base', 'base', 'base', 'worn', 'consumable', 'vehicle'][1 + i % 6] AS carried_as,
    n.system IN ('first_aid', 'safety', 'navigation', 'fire', 'repair') AS insurance,
    n.system IN ('shelter', 'sleep', 'water', 'rain') AS essential,
    ['any'] AS meant_for, 'maker' AS rated_as
  FROM range(400) AS r(i) JOIN numbered AS n ON n.n = i % 20;
INSERT INTO weighings BY NAME
  SELECT
    'item-' || (i % 200) AS item, DATE '2019-01-01' + CAST(i * 13 AS INTEGER) AS weighed_on,
    1000 * (1 + i * 11 % 3000) AS weight_mg
  FROM range(600) AS r(i);
INSERT INTO trip BY NAME
  SELECT
    'trip-' || lpad(CAST(i AS VARCHAR), 5, '0') AS trip, 'Trip ' || i AS title,
    DATE '2018-01-01' + CAST(i // 6 AS INTEGER) AS start_on,
    DATE '2018-01-01' + CAST(i // 6 + i % 10 AS INTEGER) AS end_on,
    ['foot', 'bike', 'ebike', 'paddle', 'mixed'][1 + i % 5] AS mode,
    40 - (i % 2) * 80 AS latitude,
    CASE WHEN i % 3 = 0 THEN 'full' WHEN i % 5 = 0 THEN 'all_but' WHEN i % 7 = 0 THEN 'partial' END AS use_record,
    1 AS people, i % 100 = 99 AS plan
  FROM range(20000) AS r(i);
CREATE TEMP TABLE spans AS
  SELECT row_number() OVER (ORDER BY trip) - 1 AS n, trip, start_on, end_on - start_on AS nights
  FROM trip;
INSERT INTO carried BY NAME
  SELECT
    s.trip, 'item-' || ((i * 7 + s.n * 3) % 400) AS item,
    1 + CAST(random() < .1 AS INTEGER) AS quantity,
    CASE WHEN random() < .1 THEN 500000 END AS weight_mg,
    CASE WHEN random() < .1 THEN 'worn' END AS carried_as,
    CASE WHEN random() < .05 THEN 'Ann' END AS carried_by,
    'bag ' || (i % 4) AS bag,
    CASE WHEN random() < .05 THEN s.start_on + CAST(random() * s.nights AS INTEGER) END AS from_day,
    CASE WHEN random() < .05 THEN s.start_on + CAST(s.nights AS INTEGER) END AS until_day,
    CASE WHEN random() < .7 THEN CAST(random() < .6 AS INTEGER) END AS used
  FROM range(1000000) AS r(i) JOIN spans AS s ON s.n = i // 50;
INSERT INTO used BY NAME
  SELECT trip, item, 1 AS times
  FROM (SELECT DISTINCT trip, item FROM carried)
  WHERE hash(trip, item) % 20 = 0;
INSERT INTO temperatures BY NAME
  SELECT
    s.trip,
    s.start_on + INTERVAL 8 HOUR + to_seconds((i % 250) * (s.nights + 1) * 86400 // 250) AS read_at,
    round(10 * sin(i / 40.0) + random() * 3, 1) AS temperature_c,
    CASE WHEN random() < .1 THEN 'trail' ELSE 'camp' END AS spot
  FROM range(5000000) AS r(i) JOIN spans AS s ON s.n = i // 250;
CREATE TEMP TABLE days AS
  SELECT trip, nights, unnest(range(0, nights + 1)) AS d, start_on FROM spans WHERE hash(trip) % 10 < 8;
INSERT INTO distances BY NAME
  SELECT
    trip, start_on + CAST(d AS INTEGER) AS day, CAST(random() * 3e7 AS BIGINT) AS distance_mm,
    CAST(random() * 1e6 AS BIGINT) AS ascent_mm
  FROM days;
INSERT INTO weather BY NAME
  SELECT trip, start_on + CAST(d AS INTEGER) AS day, random() * 4 AS rain_mm, random() * 20 AS low_c
  FROM days;
INSERT INTO comfort BY NAME
  SELECT
    trip, start_on + CAST(d AS INTEGER) AS day, 'sleep' AS aspect,
    1 + CAST(random() * 4 AS INTEGER) AS score, CAST(random() * 6 AS INTEGER) - 3 AS warmth
  FROM days
  WHERE d < nights;
INSERT INTO failures BY NAME
  SELECT trip, 'item-' || (n % 400) AS item, start_on AS day, 'nuisance' AS severity
  FROM spans WHERE n % 7 = 0;
