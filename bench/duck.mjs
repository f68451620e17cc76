// node duck.mjs SQL TIMES: runs the query of a file so many times with DuckDB from npm and prints
// a line of JSON each: seconds of wall and processor, and the first row. TIMES 0 only runs it.
import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { DuckDBInstance } from '@duckdb/node-api';

const [sql, times] = [readFileSync(process.argv[2], 'utf8'), Number(process.argv[3])];
const db = await DuckDBInstance.create(':memory:', { threads: String(availableParallelism()) });
const link = await db.connect();
for (let k = 0; k < Math.max(times, 1); k++) {
  const [wall, cpu] = [performance.now(), process.cpuUsage()];
  const row = (await link.runAndReadAll(sql)).getRows()[0] ?? [];
  const used = process.cpuUsage(cpu);
  if (times > 0) {
    console.log(JSON.stringify({ wall: (performance.now() - wall) / 1e3, cpu: (used.user + used.system) / 1e6, row: row.map(Number).slice(0, 5) }));
  }
}
