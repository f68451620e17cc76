"""The core of the review in numpy: vector.py FIT COUNTS. It does less than runproof review, and says so at the end of
bench/README.md. COUNTS is an .npz of time (ns), work and counts (samples by runs; -1 = not reported), or the Parquet
file itself where pyarrow is there; loading is not timed. Prints a line of JSON: seconds, and the events found."""
import json
import os
import sys
import time

import numpy as np


def load(fit, path):
    """time, work, counts (samples by runs), and the index of each run's head."""
    links = fit["map"]
    if path.endswith(".npz"):
        z = np.load(path)
        t, work, counts = z["time"], z["work"], z["counts"]
    else:
        import pyarrow.parquet as pq

        names = [f"{k['node']}:{k['port']}" for k in links]
        table = pq.read_table(path, columns=["time", "work"] + names)
        t = table["time"].cast("int64").to_numpy()
        work = table["work"].to_numpy()
        counts = np.stack([table[n].fill_null(-1).to_numpy() for n in names], axis=1).astype(np.int16)
    heads = sorted({k["run"].rsplit("-", 1)[0] for k in links})
    return t, work, counts, np.array([heads.index(k["run"].rsplit("-", 1)[0]) for k in links])


def frames(t, work, counts):
    """Sums over frames of five samples (half a second); a frame ends early at a gap or where the work state changes."""
    new = np.flatnonzero((np.diff(t) > 15e8) | (np.diff(work) != 0)) + 1
    cuts = [np.arange(a, b, 5) for a, b in zip(np.r_[0, new], np.r_[new, len(t)])]
    at = np.concatenate(cuts)
    there = counts >= 0
    x = np.add.reduceat(np.where(there, counts, 0), at, axis=0, dtype=np.int32)
    n = np.add.reduceat(there, at, axis=0, dtype=np.int32)
    size = np.diff(np.r_[at, len(t)])
    with np.errstate(divide="ignore", invalid="ignore"):
        x = np.where(n > 0, x * (size[:, None] / n), 0.0)
    return t[at], size, work[at] > 0, x, n > 0


def settled(on, size):
    """Frames that are past the start of flow: four seconds of work."""
    since = np.where(on, size, 0).cumsum()
    base = np.maximum.accumulate(np.where(on, 0, since))
    return on & (since - base > 40)


def cusum(l):
    """The sums max(0, S + l) of each column, and the place where each began."""
    c = np.minimum(6, np.maximum(-6, l)).cumsum(axis=0)
    low = np.minimum(0, np.minimum.accumulate(c, axis=0))
    return c - low, c, low


def shares(x, ok, head, heads):
    """Each run's part of its head in stretches of ten minutes, the median over stretches of ten seconds in each."""
    part = np.empty_like(x)
    for a in range(0, len(x), 1200):
        b = min(a + 1200, len(x))
        at = np.arange(a, b, 20) - a
        sums = np.add.reduceat(np.where(ok[a:b], x[a:b], 0), at, axis=0)
        tops = np.stack([sums[:, head == h].sum(axis=1) for h in range(heads)], axis=1)[:, head]
        with np.errstate(divide="ignore", invalid="ignore"):
            part[a:b] = np.nan_to_num(np.nanmedian(np.where(tops > 0, sums / tops, np.nan), axis=0))
    return part


def review(t, work, counts, head):
    heads = head.max() + 1
    at, size, on, x, seen = frames(t, work, counts)
    ok = seen & settled(on, size)[:, None]
    p = shares(x, ok, head, heads)
    of = np.zeros((len(head), heads))
    of[np.arange(len(head)), head] = 1
    total = np.where(ok, x, 0) @ of
    whole = np.where(ok, p, 0) @ of
    with np.errstate(divide="ignore", invalid="ignore"):
        level = np.where(whole > 1 / 3, total / whole, np.nan)
    e = np.where(ok, p * level[:, head], 0)
    e[~(e > 0)] = 0
    ok &= e > 0
    spread = np.nanmedian(np.where(ok, (x - e) ** 2 / np.where(e > 0, e, 1), np.nan)[:: max(1, len(e) // 4000)], axis=0) / 0.455
    spread = np.maximum(0.7, spread)
    found = []
    for part, alarm in ((0.1, 18), (0.45, 18), (0.75, 18), (1.35, 24), (2.2, 24)):
        s, _, low = cusum(np.where(ok, (x * np.log(part) + e * (1 - part)) / spread, 0))
        for run in np.flatnonzero((s >= alarm).any(axis=0)):
            first = int(np.argmax(s[:, run] >= alarm))
            begun = int(np.searchsorted(-low[: first + 1, run], -low[first, run]))
            found.append((int(run), part, int(at[begun])))
    wild = np.where(ok, ((x - e) ** 2 / (spread * np.where(e > 0, e, 1)) * 0.6 - np.log(2.5)) / 2, 0)
    s, _, _ = cusum(np.minimum(3, wild))
    found += [(int(run), 0.0, 0) for run in np.flatnonzero((s >= 30).any(axis=0))]
    with np.errstate(divide="ignore", invalid="ignore"):
        y = level / np.nansum(level, axis=1)[:, None]
    usual, v = np.nanmedian(y, axis=0), 1.5 * np.nanvar(y, axis=0)
    for part in (0.35, 0.75):
        s, _, _ = cusum(np.nan_to_num(((y - usual) ** 2 - (y - part * usual) ** 2) / (2 * v)))
        found += [(-1 - int(h), part, 0) for h in np.flatnonzero((s >= 20).any(axis=0))]
    return found


if __name__ == "__main__":
    data = load(json.load(open(sys.argv[1])), sys.argv[2])
    wall, cpu = time.perf_counter(), sum(os.times()[:2])
    found = review(*data)
    print(json.dumps({"wall": time.perf_counter() - wall, "cpu": sum(os.times()[:2]) - cpu, "row": [len(found)]}))
