-- duckdb.parquet was written by DuckDB 1.5.6 (MIT licence) with this statement.
copy (select
  timestamptz '2026-05-12 09:15:30.2Z' + interval (i*200) millisecond as "time",
  51.2 + i*1e-6 as lat, case when i%10=0 then null else -106.3 end as lon,
  (i // 50 % 2)::utinyint as work, (i%7=0)::boolean as "sec:S1",
  case when i%11=3 then null else (i*7919%23)::integer end as "4103:1",
  (i*104729%41)::usmallint as "4103:2", (i*1299709%1000)::bigint as "4103:3", (i%5)/4.0::double as "4103:4"
  from range(600) t(i))
to 'duckdb.parquet' (format parquet, compression zstd, row_group_size 2048);
