"""The reference workload in NumPy, vectorised over draws: loops over strategies and cycles only.

Arguments: file of rows (doubles, [draw][60]), number of draws, file for outcomes (doubles, [draw][strategy][4]).
Prints { "user": seconds of processor time, "wall": seconds } of the loops.
"""

import json
import resource
import sys
import time

import numpy as np

CYCLES = 480


def round_half_up(values):
    return np.floor(values * 1e6 + 0.5) / 1e6


LIFE = -np.log(1 - round_half_up(np.minimum(0.6, 0.0002 + 0.00002 * np.exp(0.1 * np.arange(101))))) / 12


def leave(members, hazard):
    """Who stays, and who leaves per unit of hazard."""
    stay = np.exp(-hazard)
    return members * stay, members * ((1 - stay) / hazard)


def run(p, o):
    """Totals of some draws and one strategy: cost, QALYs, life years, events."""
    loss, regain, stops, c_init, c_fu = o
    c_tunnel = p[21] + c_fu
    hc_dmstr = p[11] * p[14]
    hs_dmchd = p[12] * p[13]
    costs = c_init.copy()
    zero = np.zeros_like(costs)
    qaly, years, events = zero.copy(), zero.copy(), zero.copy()
    tunnel = [zero + 1, zero, zero, zero, zero, zero]
    off = dm = chd = stroke = dmchd = dmstr = multi = zero
    for c in range(CYCLES):
        m = c + 0.5
        since_50 = 40 + m / 12 - 50
        if m < 6:
            bmi = p[0] * (1 - loss * (m / 6))
        else:
            bmi = p[0] * (1 - loss * np.exp(-regain * ((m - 6) / 12)))
        over = bmi - 30
        hd = np.exp(p[1] + p[2] * over + p[3] * since_50) / 12
        hc = np.exp(p[4] + p[5] * over + p[6] * since_50) / 12
        hs = np.exp(p[7] + p[8] * over + p[9] * since_50) / 12
        h = LIFE[min(100, 40 + c // 12)] * np.exp(p[10] * (bmi - 25))
        before = sum(tunnel) if c < 6 else zero
        total = hd + hc + hs + h
        left = np.exp(-total)
        leaving = (before + off) * ((1 - left) / total)
        to_dm, to_chd, to_str, deaths = leaving * hd, leaving * hc, leaving * hs, leaving * h
        off_next = off * left
        after = zero
        if c < 6:
            t1, t2, t3, t4, t5, t6 = (members * left for members in tunnel)
            off_next = off_next + t6 + t3 * stops
            tunnel = [zero, t1, t2, t3 * (1 - stops), t4, t5]
            after = sum(tunnel)
        a, b, d = hc * p[11], hs * p[12], h * p[15]
        dm_next, leaving = leave(dm, a + b + d)
        dm_next += to_dm
        dm_dmchd, dm_dmstr = leaving * a, leaving * b
        deaths += leaving * d
        b, d = hs * p[13], h * p[16]
        chd_next, leaving = leave(chd, hd + b + d)
        chd_next += to_chd
        chd_dmchd, chd_multi = leaving * hd, leaving * b
        deaths += leaving * d
        b, d = hc * p[14], h * p[17]
        str_next, leaving = leave(stroke, hd + b + d)
        str_next += to_str
        str_dmstr, str_multi = leaving * hd, leaving * b
        deaths += leaving * d
        a, d = hs * hs_dmchd, h * p[18]
        dmchd_next, leaving = leave(dmchd, a + d)
        dmchd_next += dm_dmchd + chd_dmchd
        dmchd_multi = leaving * a
        deaths += leaving * d
        a, d = hc * hc_dmstr, h * p[19]
        dmstr_next, leaving = leave(dmstr, a + d)
        dmstr_next += dm_dmstr + str_dmstr
        dmstr_multi = leaving * a
        deaths += leaving * d
        stay = np.exp(-(h * p[20]))
        multi_next = multi * stay + chd_multi + str_multi + dmchd_multi + dmstr_multi
        deaths += multi * (1 - stay)
        new_dm = to_dm + chd_dmchd + str_dmstr
        new_chd = to_chd + dm_dmchd + str_multi + dmstr_multi
        new_str = to_str + dm_dmstr + chd_multi + dmchd_multi
        # twice the mean membership
        in_tunnel, in_off, in_dm, in_chd = before + after, off + off_next, dm + dm_next, chd + chd_next
        in_str, in_dmchd, in_dmstr, in_multi = stroke + str_next, dmchd + dmchd_next, dmstr + dmstr_next, multi + multi_next
        amounts = in_tunnel * c_tunnel + in_off * p[21] + in_dm * p[22] + in_chd * p[23]
        amounts += in_str * p[24] + in_dmchd * p[25] + in_dmstr * p[26] + in_multi * p[27]
        costs += 1.03 ** (-m / 12) * (amounts * 0.5 + new_dm * p[28] + new_chd * p[29] + new_str * p[30] + deaths * p[31])
        free = in_tunnel + in_off
        health = free + in_dm * p[34] + in_chd * p[35] + in_str * p[36] + in_dmchd * p[37] + in_dmstr * p[38] + in_multi * p[39]
        qaly += (1.015 ** (-m / 12) / 24) * (p[32] - p[33] * (bmi - 25)) * health
        years += (free + in_dm + in_chd + in_str + in_dmchd + in_dmstr + in_multi) * (1 / 24)
        events += new_chd + new_str
        off, dm, chd, stroke, dmchd, dmstr, multi = (
            off_next, dm_next, chd_next, str_next, dmchd_next, dmstr_next, multi_next,
        )
    return costs, qaly, years, events


def main():
    path, draws, target = sys.argv[1], int(sys.argv[2]), sys.argv[3]
    rows = np.fromfile(path, dtype="<f8", count=60 * draws).reshape(draws, 60)
    outcomes = np.empty((draws, 4, 4))
    user, wall = resource.getrusage(resource.RUSAGE_SELF).ru_utime, time.perf_counter()
    columns = np.ascontiguousarray(rows.T)
    for s in range(4):
        outcomes[:, s, :] = np.stack(run(columns[:40], columns[40 + 5 * s : 45 + 5 * s]), axis=1)
    taken = resource.getrusage(resource.RUSAGE_SELF).ru_utime - user, time.perf_counter() - wall
    outcomes.astype("<f8").tofile(target)
    print(json.dumps({"user": taken[0], "wall": taken[1]}))


main()
