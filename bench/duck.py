"""duck.py SQL TIMES: runs the query of a file so many times with DuckDB from the Python package index and prints
a line of JSON each: seconds of wall and processor, and the first row. TIMES 0 only runs it."""
import json
import os
import sys
import time

import duckdb

sql, times = open(sys.argv[1]).read(), int(sys.argv[2])
link = duckdb.connect(":memory:", config={"threads": os.cpu_count()})
for _ in range(max(times, 1)):
    wall, cpu = time.perf_counter(), sum(os.times()[:2])
    rows = link.execute(sql).fetchall()
    if times > 0:
        row = [float(v) for v in rows[0][:5]] if rows else []
        print(json.dumps({"wall": time.perf_counter() - wall, "cpu": sum(os.times()[:2]) - cpu, "row": row}))
