"""bench.py: run by bench/run in the folder of the days. Each round runs every contender once, in turn, so that what
else the machine does falls on all of them; medians and ratios at the end."""
import argparse
import json
import os
import platform
import shlex
import statistics
import subprocess
import sys
import time


def whole(command):
    """A command as a whole: seconds of wall and processor, most memory in MiB."""
    wall = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    _, status, used = os.wait4(child.pid, 0)
    if os.waitstatus_to_exitcode(status) > 1:
        sys.exit(f"{command}: status {status}")
    return {"wall": time.perf_counter() - wall, "cpu": used.ru_utime + used.ru_stime, "mib": used.ru_maxrss / 1024}


def inner(command):
    """What the last line of JSON of a command says of its own work, and its memory."""
    child = subprocess.Popen(command, stdout=subprocess.PIPE)
    lines = child.stdout.read().splitlines()
    _, status, used = os.wait4(child.pid, 0)
    if status != 0:
        sys.exit(f"{command}: status {status}")
    runs = [json.loads(line) for line in lines]
    return min(runs, key=lambda r: r["wall"]) | {"mib": used.ru_maxrss / 1024}


def queries(fit, file):
    """The aggregate in the forms that one may write it: head totals for each second, each run's share of its head's,
    and the shares summed up so that nothing needs to be handed out."""
    links = fit["map"]
    name = [f'"{k["node"]}:{k["port"]}"' for k in links]
    head = [k["run"].rsplit("-", 1)[0] for k in links]
    sums = ", ".join(f"sum({n}) as c{i}" for i, n in enumerate(name))
    totals = ", ".join(
        " + ".join(f"c{i}" for i, h in enumerate(head) if h == t) + f" as t{k}" for k, t in enumerate(sorted(set(head)))
    )
    order = sorted(set(head))
    shares = ", ".join(f"sum(c{i} / nullif(t{order.index(h)}, 0)) as s{i}" for i, h in enumerate(head))
    heads = ", ".join(f"sum(t{k})" for k in range(len(order)))
    wide = "with a as (select {key} as second, {sums} from read_parquet('{file}') group by second), b as (select *, {totals} from a) select count(*), {heads}, {shares} from b"
    values = dict(sums=sums, totals=totals, shares=shares, heads=heads, file=file)
    whens = " ".join(f"when '{k['node']}:{k['port']}' then {order.index(h)}" for k, h in zip(links, head))
    return {
        "wide, epoch": wide.format(key="epoch_ns(time) // 1000000000", **values),
        "wide, date_trunc": wide.format(key="date_trunc('second', time)", **values),
        "wide, time_bucket": wide.format(key="time_bucket(interval 1 second, time)", **values),
        "wide, real": wide.format(key="epoch_ns(time) // 1000000000", **(values | {"sums": sums.replace('sum("', 'sum(try_cast("').replace('") as', '" as real)) as')})),
        "long, unpivot": f"with u as (select epoch_ns(time) // 1000000000 as second, port, n from (unpivot (select time, {', '.join(name)} from read_parquet('{file}')) on {', '.join(name)} into name port value n)), "
        f"r as (select second, port, case port {whens} end as head, sum(n) as c from u group by second, port), h as (select second, head, sum(c) as t from r group by second, head) "
        "select count(*), sum(c / nullif(t, 0)) from r join h using (second, head)",
    }


def for_numpy(fit, duck):
    """The file that vector.py loads: the Parquet file, or, without pyarrow, one that DuckDB and numpy make of it. In a
    process of its own, because the memory of this one would count as that of its children."""
    if subprocess.run([sys.executable, "-c", "import pyarrow.parquet"], stderr=subprocess.DEVNULL).returncode == 0:
        return "day/day.parquet"
    if not os.path.exists("counts.npz"):
        print("taking the counts over for numpy (once)", file=sys.stderr)
        name = ", ".join(f'coalesce("{k["node"]}:{k["port"]}", -1)::integer' for k in fit["map"])
        with open("copy.sql", "w") as f:
            f.write(f"copy (select epoch_ns(time), work::integer, {name} from read_parquet('day/day.parquet')) to 'counts.csv' (header false)")
        subprocess.run(duck + ["copy.sql", "0"], check=True)
        take = (
            "import numpy as np; a = np.loadtxt('counts.csv', delimiter=',', dtype=np.int64); "
            "np.savez('counts.npz', time=a[:, 0], work=a[:, 1].astype(np.int8), counts=a[:, 2:].astype(np.int16))"
        )
        subprocess.run([sys.executable, "-c", take], check=True)
        os.remove("counts.csv")
    return "counts.npz"


def main():
    p = argparse.ArgumentParser()
    p.add_argument("--duck", required=True)
    p.add_argument("--times", type=int, default=5)
    p.add_argument("--long", action="store_true")
    a = p.parse_args()
    here, duck, fit = os.path.dirname(os.path.abspath(__file__)), shlex.split(a.duck), json.load(open("fit.json"))

    trial = {}
    for form, sql in queries(fit, "day/day.parquet").items():
        with open("query.sql", "w") as f:
            f.write(sql)
        trial[form] = inner(duck + ["query.sql", "3"])
        print(f"DuckDB, {form:18} {trial[form]['wall']:6.2f} s wall {trial[form]['cpu']:6.2f} s processor", file=sys.stderr)
    best = min(trial, key=lambda form: trial[form]["cpu"])
    with open("query.sql", "w") as f:
        f.write(queries(fit, "day/day.parquet")[best])

    contenders = {
        "review": lambda: whole(["./runproof", "review", "fit.json", "day/day.parquet", "-o", "out"]),
        "duckdb query": lambda: inner(duck + ["query.sql", "3"]),
        "duckdb process": lambda: whole(duck + ["query.sql", "0"]),
    }
    if subprocess.run([sys.executable, "-c", "import numpy"], stderr=subprocess.DEVNULL).returncode == 0:
        counts = for_numpy(fit, duck)
        contenders["numpy"] = lambda: inner([sys.executable, os.path.join(here, "vector.py"), "fit.json", counts])
    if a.long:
        contenders["review, 2.4 h"] = lambda: whole(["./runproof", "review", "fit.json", "tenth/day.parquet", "-o", "out-tenth"])
        contenders["review, 24 h"] = lambda: whole(["./runproof", "review", "fit.json", "long/day.parquet", "-o", "out-long"])
    runs = {name: [] for name in contenders}
    for k in range(a.times):
        for name, run in contenders.items():
            if name == "numpy" and k >= max(1, a.times // 2):
                continue
            runs[name].append(run())
            r = runs[name][-1]
            print(f"round {k + 1}: {name:15} {r['wall']:6.2f} s wall {r['cpu']:6.2f} s processor {r['mib']:6.0f} MiB", file=sys.stderr)

    mid = {name: {k: statistics.median(r[k] for r in rs) for k in ("wall", "cpu", "mib")} for name, rs in runs.items()}
    print(f"\n{platform.machine()}, {os.cpu_count()} processors; DuckDB's fastest form: {best}; medians of {a.times} rounds\n")
    print("| contender | wall, s | processor, s | most memory, MiB | review / it, wall | review / it, processor |")
    print("| --- | --- | --- | --- | --- | --- |")
    base = mid["review"]
    for name, m in mid.items():
        print(f"| {name} | {m['wall']:.2f} | {m['cpu']:.2f} | {m['mib']:.0f} | {base['wall'] / m['wall']:.2f} | {base['cpu'] / m['cpu']:.2f} |")


main()
