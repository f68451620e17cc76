#!/usr/bin/python3
"""Writes towed.csv: an outfit of tractor, cart and drill, integrated by scipy 1.10 (solve_ivp, DOP853, rtol 1e-11).

No body slips sideways at its own line: with h = (cos a, sin a) and n = (-sin a, cos a), north and east, of a body that
faces a, and a hitch that moves with velocity w a distance L ahead of its line, a' = w.n/L and the line moves with (w.h) h.
The tractor's speed and curvature are given; its hitch is 1.0 m behind its axle, the cart's axle 4.25 m behind that, the
drill's hitch 2.25 m behind the cart's axle, the drill's line 3.6 m behind its hitch and 0.6 m behind its front rank.
Antennas: on the tractor 1.4 m ahead of its axle and 0.3 m right of its middle, on the cart 1.0 m ahead of its axle, on
the drill 2.1 m ahead of its line. Metres north and east, degrees from north clockwise."""
import csv, math
import numpy as np
from scipy.integrate import solve_ivp

C1, L1, C2, L2, FRONT = 1.0, 4.25, 2.25, 3.6, 0.6
smooth = lambda t, a, b: float(np.clip((t - a) / (b - a), 0, 1)) ** 2 * (3 - 2 * float(np.clip((t - a) / (b - a), 0, 1)))
bump = lambda t, a, b, c, d: smooth(t, a, b) - smooth(t, c, d)

def speed(t):  # m/s: a stand with 4 m of backing between 40 and 52 s
    return 2.2 * (1 - bump(t, 38, 40, 52, 54)) - 0.5 * bump(t, 42, 43, 50, 51)

def curvature(t):  # 1/m: a gentle bend, an S, then a turn of about half a circle at 8 m
    return bump(t, 10, 12, 16, 18) / 60 - bump(t, 22, 23, 26, 27) / 20 + bump(t, 28, 29, 32, 33) / 20 + bump(t, 70, 71.5, 82, 83.5) / 8

h = lambda a: np.array([math.cos(a), math.sin(a)])
n = lambda a: np.array([-math.sin(a), math.cos(a)])

def f(t, y):
    a0, a1, a2 = y[2:]
    v = speed(t); w0 = v * curvature(t)
    hitch1 = v * h(a0) - C1 * w0 * n(a0)
    w1 = hitch1 @ n(a1) / L1; u1 = hitch1 @ h(a1)
    hitch2 = u1 * h(a1) - C2 * w1 * n(a1)
    w2 = hitch2 @ n(a2) / L2
    return [*(v * h(a0)), w0, w1, w2]

T = np.arange(0, 1101) / 10
edges = [0, 10, 12, 16, 18, 22, 23, 26, 27, 28, 29, 32, 33, 38, 40, 42, 43, 50, 51, 52, 54, 70, 71.5, 82, 83.5, 110]
y = np.array([0, 0, 0.6, 0.6, 0.6]); rows = {}
for a, b in zip(edges, edges[1:]):
    at = [t for t in T if a <= t <= b]
    s = solve_ivp(f, (a, b), y, method="DOP853", rtol=1e-11, atol=1e-12, t_eval=at, max_step=0.25); full = solve_ivp(f, (a, b), y, method="DOP853", rtol=1e-11, atol=1e-12, max_step=0.25)
    for t, q in zip(at, s.y.T): rows[round(t, 3)] = q
    y = full.y[:, -1]
with open("towed.csv", "w", newline="") as out:
    w = csv.writer(out, lineterminator="\n")
    w.writerow("t tractor_n tractor_e cart_n cart_e drill_n drill_e ref_n ref_e heading".split())
    for t in sorted(rows):
        if round(t * 10) % 5: continue
        q = rows[t]; p0 = q[:2]; a0, a1, a2 = q[2:]
        p1 = p0 - C1 * h(a0) - L1 * h(a1); p2 = p1 - C2 * h(a1) - L2 * h(a2)
        v = [*(p0 + 1.4 * h(a0) + 0.3 * n(a0)), *(p1 + 1.0 * h(a1)), *(p2 + 2.1 * h(a2)), *(p2 + FRONT * h(a2))]
        w.writerow([f"{t:g}"] + [f"{x:.5f}" for x in v] + [f"{math.degrees(a2):.4f}"])
