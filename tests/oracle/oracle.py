#!/usr/bin/python3
"""An independent second opinion on the growing model.

Written from the method page alone (docs/method.md), with NumPy in double precision and with
plain prefix sums and bisection, so that it shares no code, no data layout and no shortcut with
the program. Whole arrays of cells go through each equation at once.

    oracle.py --tmin TMIN --tmax TMAX --crop SHEET.yaml --out DIR        .npy per result
    oracle.py --tmin TMIN --tmax TMAX --crop SHEET.yaml --compare DIR    against `isosow map`
    oracle.py --stations FILE.csv --crop SHEET.yaml                      the CSV of `isosow site`

--every N looks at every Nth row and column only. Inputs are degC. `isosow crop show NAME` prints a
built-in sheet.

The program may compute a day's rate and fit by the fast form of the method, whose error is below
1e-5. That moves nothing by itself, but the end of a flat top may fall a day earlier or later, and a
score next to a threshold on its other side. So --compare takes a cell that differs for right only
when the program's answer is one this model allows within that tolerance (see Rounding and Judge);
picks and spans are held against the program's own windows. It exits 1 when a cell is left that is
not explained so, or with --exact when any value differs.
"""

import argparse
import csv
import itertools
import math
import os
import sys

import numpy as np
import yaml

MONTH_DAYS = np.array([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
YEAR = 365
LONGEST_STAND = 365
BANDS = ("score", "best_sow", "sow_from", "sow_to", "window_days", "transplant", "harvest",
         "growing_days", "limit", "frost_risk", "bolt_risk", "years", "edge", "cut_from", "cut_to")
NODATA, PICK_NODATA = -32768, 255
FROST, BOLTING, NEVER, CUT_OUTSIDE = 101, 102, 103, 104
RISKY = 100  # added to a pick without a window
NOT_COUNTED = -1
# Middles of the upper five tenths of the normal distribution, Phi(z) = .55, .65, .75, .85, .95; the
# lower five are their minus.
TENTHS = (0.12566, 0.38532, 0.67449, 1.03643, 1.64485)
FLAT = 10  # tenths of a score within which days are as good as the highest
SOUTH_LATER = 182
JUDGED_AT_ONCE = 50  # cells; more only takes more memory


# ---------------------------------------------------------------- the sheet

class Sheet:
    """A crop sheet with every override resolved, in degC and K, days 0..364."""

    def __init__(self, path):
        with open(path, encoding="utf-8") as file:
            # Everything as text: YAML's own ideas of dates and truth stay out of it.
            doc = yaml.load(file, Loader=yaml.BaseLoader)
        fahrenheit = doc["unit"] == "F"

        def temperature(text):
            return (float(text) - 32) * 5 / 9 if fahrenheit else float(text)

        def difference(text):
            return float(text) * 5 / 9 if fahrenheit else float(text)

        self.crop = doc["crop"]
        self.swing = float(doc.get("swing", 1))
        self.shelters = {None: (-np.inf, np.inf, np.inf, np.inf)}
        self.uses = {}  # of shelters with lists: the seasons, the varieties; None: all
        for s in doc.get("shelters", []):
            self.shelters[s["shelter"]] = (
                temperature(s["warm_to"]) if "warm_to" in s else -np.inf,
                difference(s["warm_most"]) if "warm_most" in s else np.inf,
                temperature(s["cool_to"]) if "cool_to" in s else np.inf,
                difference(s["cool_most"]) if "cool_most" in s else np.inf)
            self.uses[s["shelter"]] = s.get("seasons"), s.get("varieties")
        self.chilling = None
        if "chilling" in doc:
            self.chilling = tuple(temperature(t) for t in doc["chilling"]["band"])
        self.stage_names = [s["stage"] for s in doc["stages"]]

        def read_stage(keys):
            days = float(keys["days"])
            return {
                "shelter": keys.get("shelter"),
                "transplant": keys.get("transplant", "false") == "true",
                "days": days,
                "at_most": int(keys["at_most"]) if "at_most" in keys else math.ceil(3 * days),
                "band": tuple(temperature(t) for t in keys["band"]),
                "dies_below": temperature(keys["dies_below"]) if "dies_below" in keys else -np.inf,
                "chills": keys.get("chills", "false") == "true",
            }

        self.varieties = []
        for v in doc["varieties"]:
            over = {s["stage"]: s for s in v.get("stages", [])}
            self.varieties.append({
                "name": v["variety"],
                "bolts": tuple(float(x) for x in v["bolts"]) if "bolts" in v else None,
                "stages": [read_stage({**s, **over.get(s["stage"], {})}) for s in doc["stages"]],
            })
        names = [v["name"] for v in self.varieties]
        self.seasons = []
        for s in doc["seasons"]:
            first = [names.index(p) for p in s.get("prefer", [])]
            self.seasons.append({
                "name": s["season"],
                "sow": tuple(day_of_year(d) for d in s["sow"]),
                "start": s.get("start", "nursery"),
                "order": first + [i for i in range(len(names)) if i not in first],
            })

    def way(self, variety, season, start):
        """How the season's sowings of a variety stand: its start, and which shelters are used."""
        def used(shelter):
            seasons, varieties = self.uses[shelter]
            return ((seasons is None or season["name"] in seasons)
                    and (varieties is None or variety["name"] in varieties))
        return start or season["start"], frozenset(filter(used, self.uses))

    def stages(self, variety, way, grown_under):
        """The variety's stages as they stand: direct sowing clears shelters and transplanting."""
        start, used = way
        out = []
        for stage in variety["stages"]:
            stage = dict(stage)
            if start == "direct":
                stage["shelter"], stage["transplant"] = None, False
            if stage["shelter"] not in used:
                stage["shelter"] = grown_under
            out.append(stage)
        return out

    def limit_name(self, code):
        fixed = {0: "nothing", FROST: "frost", BOLTING: "bolting", NEVER: "never matures",
                 CUT_OUTSIDE: "cut outside"}
        if code in fixed:
            return fixed[code]
        k, warm = divmod(code - 1, 2)
        return f"{self.stage_names[k]} too {'warm' if warm else 'cold'}"


def day_of_year(text):
    month, day = (int(x) for x in text.split("-"))
    return int(MONTH_DAYS[:month - 1].sum()) + day - 1


def date_text(day):
    month = 0
    while day >= MONTH_DAYS[month]:
        day -= MONTH_DAYS[month]
        month += 1
    return f"{month + 1:02d}-{day + 1:02d}"


# ---------------------------------------------------------------- daily curve

def curve_matrix():
    """365 x 12: daily values are this times the month means (periodic quadratic spline)."""
    n = MONTH_DAYS.astype(float)
    left, right = np.zeros((12, 12)), np.zeros((12, 12))
    for i in range(12):
        b = (i - 1) % 12
        left[i, b] += 1 / n[b]
        left[i, i] += 2 * (1 / n[b] + 1 / n[i])
        left[i, (i + 1) % 12] += 1 / n[i]
        right[i, b] += 3 / n[b]
        right[i, i] += 3 / n[i]
    starts = np.linalg.solve(left, right)  # value at the start of each month
    rows = []
    for i in range(12):
        own = np.zeros(12)
        own[i] = 1
        for k in range(MONTH_DAYS[i]):
            u1 = (k + 0.5) / n[i]
            u2 = ((k + 0.5) ** 2 + 1 / 12) / n[i] ** 2
            v = u1 - u2
            rows.append((1 - u1 - 3 * v) * starts[i] + (u1 - 3 * v) * starts[(i + 1) % 12]
                        + 6 * v * own)
    return np.array(rows)


# ---------------------------------------------------------------- one day

def under_shelter(shelter, lo, hi):
    warm_to, warm_most, cool_to, cool_most = shelter
    lo2 = np.where(lo < warm_to, np.minimum(warm_to, lo + warm_most), lo)
    hi2 = np.where(hi > cool_to, np.maximum(cool_to, hi - cool_most), hi)
    return lo2, np.maximum(hi2, lo2)


def degree_days(mean, half, base):
    u = np.clip((mean - base) / half, -1, 1)
    return (half / np.pi * (u * (np.pi / 2 + np.arcsin(u)) + np.sqrt(1 - u * u))
            + np.maximum(mean - base - half, 0))


def respond(band, swing, lo, hi):
    a, b, c, d = band
    mean, half = (lo + hi) / 2, swing * (hi - lo) / 2
    flat = half < 1e-6
    safe = np.where(flat, 1.0, half)
    up = (degree_days(mean, safe, a) - degree_days(mean, safe, b)) / (b - a)
    down = (degree_days(mean, safe, c) - degree_days(mean, safe, d)) / (d - c)
    rate = np.where(flat, np.clip((mean - a) / (b - a), 0, 1), up)
    return rate, rate - np.where(flat, np.clip((mean - c) / (d - c), 0, 1), down)


class NormalCdf:
    """Phi by cubic Hermite interpolation between exact values; absolute error below 1e-13."""
    STEP, END = 1 / 1024, 9.0

    def __init__(self):
        self.x = np.arange(-self.END, self.END + self.STEP / 2, self.STEP)
        self.y = np.array([0.5 * math.erfc(-x / math.sqrt(2)) for x in self.x])
        self.slope = np.exp(-self.x ** 2 / 2) / math.sqrt(2 * math.pi) * self.STEP

    def __call__(self, x):
        at = (np.clip(x, -self.END, self.END) + self.END) / self.STEP
        i = np.minimum(at.astype(int), len(self.x) - 2)
        t = at - i
        y0, y1, s0, s1 = self.y[i], self.y[i + 1], self.slope[i], self.slope[i + 1]
        return (y0 * (1 + 2 * t) * (1 - t) ** 2 + s0 * t * (1 - t) ** 2
                + y1 * t * t * (3 - 2 * t) + s1 * t * t * (t - 1))


def chilling_share(band, shelter, spread, lo, hi):
    total = 0
    for shift, weight in ((-math.sqrt(3), 1 / 6), (0, 2 / 3), (math.sqrt(3), 1 / 6)):
        _, fit = respond(band, 1.0, *under_shelter(shelter, lo + shift * spread,
                                                   hi + shift * spread))
        total = total + weight * fit
    return total


# ---------------------------------------------------------------- one year of sowing days

def running(days):
    """Sums of the first 0..1095 days of three like years, cell by cell."""
    three = np.concatenate([days, days, days], axis=1)
    return np.concatenate([np.zeros((len(days), 1)), np.cumsum(three, axis=1)], axis=1)


def between(sums, cell, start, end):
    return sums[cell, end] - sums[cell, start]


def stage_end(sums, cell, start, days, at_most):
    """First boundary by which the rates add up to `days`; at_most + 1 days on where none does."""
    below, enough = start, start + at_most + 1
    for _ in range(int(at_most + 1).bit_length() + 1):
        middle = (below + enough) // 2
        reached = between(sums, cell, start, middle) >= days - 1e-6
        open_ = enough - below > 1
        enough = np.where(open_ & reached, middle, enough)
        below = np.where(open_ & ~reached, middle, below)
    return enough


def round6(x):
    return np.floor(x * 1e6 + 0.5) / 1e6


# ---------------------------------------------------------------- ten years, seasons

def years_of_ten(good_in, count):
    """In how many of ten years each of `count` days, good in the normal year, is good.

    good_in(z, which): whether the days of the mask `which` are good in the year shifted by z. Each
    side is asked from its outermost year inwards.
    """
    years = np.zeros(count, int)
    for sign in (-1, 1):
        def ask(year, which):
            out = np.zeros(count, bool)
            if which.any():
                out[which] = good_in(sign * TENTHS[year - 1], which)
            return out

        fifth = ask(5, np.ones(count, bool))
        third = ask(3, ~fifth)
        fourth = ask(4, third)
        second = ask(2, ~fifth & ~third)
        first = ask(1, ~fifth & ~third & ~second)
        years += np.select([fifth, fourth, third, second, first], [5, 4, 3, 2, 1], 0)
    return years


def season_length(season):
    first, last = season["sow"]
    return (last - first) % YEAR + 1


def season_begin(season, south):
    return (season["sow"][0] + np.where(south, SOUTH_LATER, 0)) % YEAR


def run_around(mask, place):
    """First and last index of each row's run of True that holds `place`; all rows at once."""
    at = np.arange(mask.shape[1])
    before = np.maximum.accumulate(np.where(mask, -1, at), axis=1)
    after = np.minimum.accumulate(np.where(mask, len(at), at)[:, ::-1], axis=1)[:, ::-1]
    row = np.arange(len(mask))
    return before[row, place] + 1, after[row, place] - 1


class Year:
    """Sowing days of one variety that stands one way: a field per figure, each of the days' shape."""


class Tables:
    """What a programme's sowing days are summed from: each stage's days of three like years."""

    def __init__(self, model, variety, way, lo, hi):
        sheet, spread = model.sheet, model.options.spread
        self.variety = variety
        self.bolts = variety["bolts"] if sheet.chilling is not None else None
        self.stages, shares = [], {}
        for stage in sheet.stages(variety, way, model.options.grown_under):
            name = stage["shelter"]
            lo2, hi2 = under_shelter(sheet.shelters[name], lo, hi)
            rate, fit = respond(stage["band"], sheet.swing, lo2, hi2)
            out = {**stage, "rate_of_day": rate, "rate": running(rate), "fit": running(fit)}
            if stage["dies_below"] > -np.inf:
                out["night"] = running(model.phi((stage["dies_below"] - lo2) / spread))
            if stage["chills"] and self.bolts:
                if name not in shares:
                    shares[name] = running(chilling_share(sheet.chilling, sheet.shelters[name],
                                                          spread, lo, hi))
                out["share"] = shares[name]
            self.stages.append(out)

    @staticmethod
    def clock(stage, slip):
        """Sums of the rates, all of those between lost and best off by `slip`."""
        if not slip:
            return stage["rate"]
        if slip not in stage:
            rate = stage["rate_of_day"]
            moves = (rate > 1e-9) & (rate < 1 - 1e-9)
            stage[slip] = running(np.where(moves, np.clip(rate + slip, 0, 1), rate))
        return stage[slip]


class Model:
    def __init__(self, sheet, options):
        self.sheet, self.options = sheet, options
        self.matrix = curve_matrix()
        self.phi = NormalCdf()

    def days(self, normals):
        lo = (normals[:, :12] + self.options.warmer) @ self.matrix.T
        hi = (normals[:, 12:] + self.options.warmer) @ self.matrix.T
        wrong = lo > hi
        mean = (lo + hi) / 2
        return np.where(wrong, mean, lo), np.where(wrong, mean, hi)

    def score(self, tables, cell, sow, slips=None):
        """Sowing days `sow` of the cells `cell`, two arrays of indices that go together.

        slips: per stage, an error in the rate of every day that is neither lost nor best.
        """
        cell, sow = np.broadcast_arrays(cell, sow)
        at, matures = sow, np.ones(sow.shape, bool)
        kill, chill, transplant = np.zeros(sow.shape), np.zeros(sow.shape), np.zeros(sow.shape, int)
        fits, rates, ends = [], [], []
        for stage, slip in zip(tables.stages, slips or [0.0] * len(tables.stages)):
            if stage["transplant"]:
                transplant = at - sow
            # Days that never mature go on from a bounded day, so that indexes stay inside.
            begin = np.minimum(at, YEAR + LONGEST_STAND - 1)
            end = stage_end(tables.clock(stage, slip), cell, begin, stage["days"],
                            min(stage["at_most"], LONGEST_STAND))
            matures = matures & (end - begin <= stage["at_most"]) & (end - sow <= LONGEST_STAND)
            rates.append(between(stage["rate"], cell, begin, end) / (end - begin))
            fits.append(between(stage["fit"], cell, begin, end) / (end - begin))
            if "night" in stage:
                kill = kill + between(stage["night"], cell, begin, end)
            if "share" in stage:
                chill = chill + between(stage["share"], cell, begin, end)
            ends.append(end)
            at = end
        out = Year()
        out.matures, out.ends = matures, np.array(ends)
        out.fits, out.rates = np.maximum(round6(np.array(fits)), 0), np.array(rates)
        out.survive, out.stay = np.exp(-kill), np.ones(sow.shape)
        if tables.bolts:
            safe, all_ = tables.bolts
            out.stay = np.clip((all_ - chill) / (all_ - safe), 0, 1)
        out.least = out.fits.min(axis=0)
        out.exact = np.where(matures, 100 * out.least * out.survive * out.stay, 0)
        out.tenths = np.floor(10 * out.exact + 0.5).astype(int)
        out.growing = np.where(matures, at - sow, 0)
        out.transplant = np.where(matures, transplant, 0)
        out.good = (matures & (out.tenths > 0) & (out.tenths / 10 >= self.options.good)
                    & (out.survive >= 0.9) & (out.stay >= 0.9))
        return out

    def score_year(self, variety, way, lo, hi, year_spread):
        """Every sowing day of every cell, and in how many of ten years it is good."""
        cells = np.arange(len(lo))[:, None]
        year = self.score(Tables(self, variety, way, lo, hi), cells, np.arange(YEAR)[None])
        year.years = np.zeros(year.good.shape, int)
        if self.options.years:
            cell, day = np.nonzero(year.good)

            def good_in(z, which):
                some, local = np.unique(cell[which], return_inverse=True)
                shift = z * year_spread[some][:, None]
                tables = Tables(self, variety, way, lo[some] + shift, hi[some] + shift)
                return self.score(tables, local, day[which]).good

            year.years[cell, day] = years_of_ten(good_in, len(cell))
        year.good_day = year.good & (year.years >= self.options.years) & self.in_cut(year.growing)
        return year

    def in_cut(self, growing):
        """growing: days x 365, from sowing to harvest of every day of the year."""
        if self.options.cut is None:
            return np.ones(growing.shape, bool)
        first, last = self.options.cut
        return (np.arange(YEAR) + growing - first) % YEAR <= (last - first) % YEAR

    def limits(self, year, cell, day):
        """Limit code of one sowing day per cell."""
        values = np.concatenate([year.fits[:, cell, day], [round6(year.survive[cell, day])],
                                 [round6(year.stay[cell, day])]])
        which = values.argmin(axis=0)  # the first on ties
        stages = len(year.fits)
        k = np.minimum(which, stages - 1)
        rate, fit = year.rates[k, cell, day], year.fits[k, cell, day]
        code = 1 + 2 * k + np.where(1 - rate >= rate - fit, 0, 1)
        code = np.where(which == stages, FROST, code)
        code = np.where(which == stages + 1, BOLTING, code)
        return np.where(values.min(axis=0) >= 0.95, 0, code)

    def season(self, year, season, south):
        """What a season answers, per cell: a dict of arrays; days 0..364, -1 none."""
        cell = np.arange(len(south))
        length = season_length(season)
        begin = season_begin(season, south)
        day = (begin[:, None] + np.arange(length)) % YEAR  # in season order
        take = lambda a, at=day: np.take_along_axis(a, at, 1)

        scored = year.tenths > 0  # only what matures has a score
        good, tenths, years = take(year.good_day), take(year.tenths), take(year.years)
        any_good = good.any(axis=1)
        candidate = np.where(any_good[:, None], good, take(scored & self.in_cut(year.growing)))
        most = np.where(candidate, years, -1).max(axis=1)
        level = candidate & (years == most[:, None])
        highest = np.where(level, tenths, -1).max(axis=1)
        top = level & (tenths >= highest[:, None] - FLAT)
        first = (level & (tenths == highest[:, None])).argmax(axis=1)
        left, right = run_around(top, first)
        place = left + (right - left) // 2
        best = day[cell, place]

        some = candidate.any(axis=1)
        cut_outside = take(scored).any(axis=1) & ~some
        # Where every score is 0: the maturing day with the largest least fit speaks for the season.
        matures = take(year.matures)
        spare = day[cell, np.where(matures, take(year.least), -1).argmax(axis=1)]
        speaks = (some | matures.any(axis=1)) & ~cut_outside
        at = np.where(some, best, spare)
        limit = np.where(speaks, self.limits(year, cell, at), NEVER)
        limit = np.where(cut_outside, CUT_OUTSIDE, limit)

        start, end = run_around(good, place)
        edge = np.zeros(len(south), int)
        if length < YEAR:
            outside = (begin[:, None] + np.arange(length, YEAR)) % YEAR
            good_there = take(year.good_day, outside)
            years_there, tenths_there = take(year.years, outside), take(year.tenths, outside)
            better = ((years_there > most[:, None]) | ((years_there == most[:, None])
                      & (tenths_there > highest[:, None] + FLAT)))
            for code, touches, step in ((1, start == 0, -1), (2, end == length - 1, 1)):
                goes_on = np.logical_and.accumulate(good_there[:, ::step], axis=1)
                goes_on &= (any_good & touches)[:, None]
                edge += code * goes_on[:, 0]
                edge += 4 * code * (goes_on & better[:, ::step]).any(axis=1)

        grow = np.where(some, year.growing[cell, at], 0)
        after = np.where(some, year.transplant[cell, at], 0)
        cut = np.arange(length) + take(year.growing)
        inside = (np.arange(length) >= start[:, None]) & (np.arange(length) <= end[:, None])
        cut_from = np.where(inside, cut, 4 * YEAR).min(axis=1)
        cut_to = np.where(inside, cut, -1).max(axis=1)
        window = lambda d: np.where(any_good, (begin + d) % YEAR, -1)
        return {
            "tenths": np.where(some, year.tenths[cell, at], 0),
            "best": np.where(some, best, -1), "from": window(start), "to": window(end),
            "days": np.where(any_good, end - start + 1, 0),
            "transplant": np.where(after > 0, (best + after) % YEAR, -1),
            "harvest": np.where(some, (best + grow) % YEAR, -1),
            "growing": grow, "limit": limit,
            "frost": np.where(speaks, 1 - year.survive[cell, at], 0),
            "bolt": np.where(speaks, 1 - year.stay[cell, at], 0),
            "years": (np.where(some, most, 0) if self.options.years
                      else np.full(len(south), NOT_COUNTED)),
            "edge": edge, "cut_from": window(cut_from), "cut_to": window(cut_to),
        }

    def pick(self, order, of_variety):
        """Code of the variety to choose; of_variety: index -> a season's results."""
        code = 0
        for wanted in (7, 1):
            for i in order:
                code = np.where((code == 0) & (of_variety(i)["days"] >= wanted), i + 1, code)
        tenths = np.array([of_variety(i)["tenths"] for i in order])
        years = np.array([of_variety(i)["years"] for i in order])
        chosen = (1001 * years + tenths).argmax(axis=0)  # the first on ties
        worth = years.max(axis=0) >= 3 if self.options.years else tenths.max(axis=0) >= 500
        return np.where((code == 0) & worth, RISKY + 1 + np.array(order)[chosen], code)

    @staticmethod
    def types(season, order, of_variety, south):
        """The type of every date of the season in its order: variety from 1, or 0."""
        begin, days = season_begin(season, south)[:, None], np.arange(season_length(season))
        types = np.zeros((len(south), len(days)), int)
        for i in reversed(order):
            r = of_variety(i)
            start = (r["from"][:, None] - begin) % YEAR
            holds = (days >= start) & (days < start + r["days"][:, None])
            types = np.where(holds, i + 1, types)
        return types

    @classmethod
    def span(cls, season, order, of_variety, picks, south):
        """The six bands of a season's span."""
        types = cls.types(season, order, of_variety, south)
        begin, cell = season_begin(season, south), np.arange(len(south))
        inside = np.zeros(len(south), int)
        for i in order:
            inside = np.where(picks == i + 1, (of_variety(i)["from"] - begin) % YEAR, inside)
        start, end = run_around(types > 0, inside)
        at = np.arange(types.shape[1])
        spanned = np.where((at >= start[:, None]) & (at <= end[:, None]), types, 0)
        count = sum((spanned == i + 1).any(axis=1).astype(int) for i in order)
        return np.where((picks > 0) & (picks <= RISKY), np.array([
            (begin + start) % YEAR + 1, (begin + end) % YEAR + 1, end - start + 1,
            types[cell, start], types[cell, end], count]), 0)

    def run(self, normals, south, year_spread):
        """normals: cells x 24 (degC), year_spread: per cell (K).

        Results by (variety name, season name), then picks and spans by season name.
        """
        lo, hi = self.days(normals)
        sheet, options = self.sheet, self.options
        results, picks, spans = {}, {}, {}
        for variety in self.varieties():
            years = {}
            for season in self.seasons():
                way = sheet.way(variety, season, options.start)
                if way not in years:
                    years[way] = self.score_year(variety, way, lo, hi, year_spread)
                results[variety["name"], season["name"]] = self.season(years[way], season, south)
        for season in self.seasons():
            order = self.order(season)
            get = lambda i: results[sheet.varieties[i]["name"], season["name"]]
            picks[season["name"]] = self.pick(order, get)
            spans[season["name"]] = self.span(season, order, get, picks[season["name"]], south)
        return results, picks, spans

    def varieties(self):
        chosen = self.options.variety
        return [v for v in self.sheet.varieties if not chosen or v["name"] in chosen]

    def seasons(self):
        chosen = self.options.season
        return [s for s in self.sheet.seasons if not chosen or s["name"] in chosen]

    def order(self, season):
        """Indices of the varieties that compete, in the season's order of preference."""
        return [i for i in season["order"] if self.sheet.varieties[i] in self.varieties()]


def bands_of(result):
    """The integers of a raster cell; days of year 1..365, 0 none."""
    percent = lambda share: np.floor(100 * share + 0.5).astype(int)
    return np.array([(result["tenths"] + 5) // 10, result["best"] + 1, result["from"] + 1,
                     result["to"] + 1, result["days"], result["transplant"] + 1,
                     result["harvest"] + 1, result["growing"], result["limit"],
                     percent(result["frost"]), percent(result["bolt"]), result["years"],
                     result["edge"], result["cut_from"] + 1, result["cut_to"] + 1])


# ---------------------------------------------------------------- rasters and tables

def read_rasters(tmin, tmax, year_spread, hemisphere, every):
    """24 x height x width in degC, where all is there, where it is south, and the year spread."""
    from osgeo import gdal, osr
    gdal.UseExceptions()
    planes, valid = [], True
    for path in (tmin, tmax):
        dataset = gdal.Open(path)
        if dataset.RasterCount != 12:
            sys.exit(f"{path}: {dataset.RasterCount} bands, 12 needed")
        for i in range(1, 13):
            band = dataset.GetRasterBand(i)
            data = band.ReadAsArray().astype(float)
            valid = valid & (band.GetMaskBand().ReadAsArray() != 0) & np.isfinite(data)
            planes.append(data * (band.GetScale() or 1.0) + (band.GetOffset() or 0.0))
    normals = np.array(planes)
    spread = np.zeros(valid.shape)
    if isinstance(year_spread, float):
        spread += year_spread
    else:
        raster = gdal.Open(year_spread)  # must outlive its band
        band = raster.GetRasterBand(1)
        spread += band.ReadAsArray() * (band.GetScale() or 1.0) + (band.GetOffset() or 0.0)
        valid = valid & (band.GetMaskBand().ReadAsArray() != 0) & np.isfinite(spread)
    valid = valid & ~(normals[:12] > normals[12:]).any(axis=0)
    rows, cols = np.arange(0, valid.shape[0], every), np.arange(0, valid.shape[1], every)
    normals, valid = normals[:, rows][:, :, cols], valid[rows][:, cols]
    spread = spread[rows][:, cols]
    south = np.full(valid.shape, hemisphere == "south")
    if hemisphere == "auto":
        here = osr.SpatialReference(wkt=dataset.GetProjection())
        there = osr.SpatialReference()
        there.ImportFromEPSG(4326)
        for crs in (here, there):
            crs.SetAxisMappingStrategy(osr.OAMS_TRADITIONAL_GIS_ORDER)
        t = dataset.GetGeoTransform()
        x, y = np.meshgrid(cols + 0.5, rows + 0.5)
        points = np.column_stack([(t[0] + x * t[1] + y * t[2]).ravel(),
                                  (t[3] + x * t[4] + y * t[5]).ravel()])
        where = osr.CoordinateTransformation(here, there).TransformPoints(points)
        south = (np.array(where)[:, 1] < 0).reshape(valid.shape)
    return normals, valid, south, spread


def run_rasters(options, model):
    normals, valid, south, spread = read_rasters(options.tmin, options.tmax, options.year_spread,
                                                 options.hemisphere, options.every)
    table = normals[:, valid].T
    parts = {}
    for begin in range(0, len(table), options.block):
        part = slice(begin, begin + options.block)
        results, picks, spans = model.run(table[part], south[valid][part], spread[valid][part])
        named = {f"{variety}-{season}": bands_of(r) for (variety, season), r in results.items()}
        named.update({f"pick-{season}": code[None] for season, code in picks.items()})
        named.update({f"span-{season}": bands for season, bands in spans.items()})
        for name, bands in named.items():
            parts.setdefault(name, []).append(bands)
    grids = {}
    for name, some in parts.items():
        bands = np.concatenate(some, axis=1)
        nodata = PICK_NODATA if name.startswith("pick-") else NODATA
        grids[name] = np.full(bands.shape[:1] + valid.shape, nodata, np.int16)
        grids[name][:, valid] = bands
    return argparse.Namespace(grids=grids, valid=valid, normals=normals, south=south, spread=spread)


class Rounding:
    """What an error of 1e-5 in a day's rate and fit can do.

    Where the sum of rates comes that close to its end, a stage's clock may ring a day earlier or
    later: a day is allowed to be as any of the clocks has it whose rates are all off by RATE up or
    down, stage by stage. Beyond that the chilling of 100 days may be off by 1e-3 chilling days, so
    `stay` by SHARE where 5 lie between safe and all, and a score by 100 times that and the error of
    its least fit: SCORE.
    """
    RATE, SCORE, SHARE = 1.2e-5, 0.025, 2e-4

    def __init__(self, model):
        self.model = model

    def clocks(self, stages):
        if stages > 6:  # all together only: a stricter judge, but an affordable one
            return [[sign * self.RATE] * stages for sign in (-1, 1)]
        return [list(slips) for slips in itertools.product((-self.RATE, self.RATE), repeat=stages)]

    def score(self, tables, cell, sow):
        """Sowing days (two rows of indices) as each clock has them; the clock comes first."""
        model, stages = self.model, len(tables.stages)
        early, late = (model.score(tables, cell, sow, [sign * self.RATE] * stages)
                       for sign in (1, -1))
        # Where all early and all late clocks agree stage by stage, so do all between them.
        doubtful = (early.ends != late.ends).any(axis=0)
        clocks = self.clocks(stages) if doubtful.any() else [None]
        some = [model.score(tables, cell[doubtful], sow[doubtful], slips) for slips in clocks
                if slips]
        out = Year()
        for key, value in vars(late).items():
            every = np.repeat(value[None], len(clocks), axis=0)
            for i, year in enumerate(some):
                every[i][..., doubtful] = getattr(year, key)
            setattr(out, key, every)
        return out

    def goods(self, year):
        """Days that may be good in a year, and days that must be."""
        def good(sign):
            return (year.matures
                    & (year.exact >= max(self.model.options.good - 0.05, 0.05) + sign * self.SCORE)
                    & (year.survive >= 0.9 + sign * self.SHARE)
                    & (year.stay >= 0.9 + sign * self.SHARE))
        return good(-1).any(axis=0), good(+1).all(axis=0)

    def year(self, variety, way, lo, hi, year_spread):
        """All sowing days of some cells: a list of years as Judge wants them, one per cell."""
        model, cells = self.model, len(lo)
        cell, sow = (a.ravel() for a in np.indices((cells, YEAR)))
        year = self.score(Tables(model, variety, way, lo, hi), cell, sow)
        year.may, year.must = self.goods(year)
        year.fewest, year.most = np.zeros(cells * YEAR, int), np.zeros(cells * YEAR, int)
        asked = {}
        for normal, years, answer in ((year.may, year.most, 0), (year.must, year.fewest, 1)):
            if not model.options.years:
                break
            days = np.nonzero(normal)[0]

            def good_in(z, which):
                # Answers for both at once: most days are asked the same question for either.
                if z not in asked:
                    asked[z] = [np.zeros(cells * YEAR, bool) for _ in range(3)]
                may, must, known = asked[z]
                new = days[which][~known[days[which]]]
                if len(new):
                    some, local = np.unique(cell[new], return_inverse=True)
                    shift = z * year_spread[some][:, None]
                    tables = Tables(model, variety, way, lo[some] + shift, hi[some] + shift)
                    may[new], must[new] = self.goods(self.score(tables, local, sow[new]))
                    known[new] = True
                return asked[z][answer][days[which]]

            years[days] = years_of_ten(good_in, len(days))
        out = []
        for i in range(cells):
            one = Year()
            for key, value in vars(year).items():
                setattr(one, key, value[..., i * YEAR:(i + 1) * YEAR])
            out.append(one)
        return out


class Judge:
    """Whether the program's answer for one cell, variety and season is one that Rounding allows."""
    SCORE, SHARE = Rounding.SCORE, Rounding.SHARE

    def __init__(self, model, year, season, south):
        """year: of this cell, from Rounding."""
        self.least_years, self.year = model.options.years, year
        begin, self.length = int(season_begin(season, south)), season_length(season)
        # The season's days in its order, then the rest of the year.
        self.days = (begin + np.arange(YEAR)) % YEAR
        take = lambda a: a[..., self.days]
        self.fewest, self.most = take(year.fewest), take(year.most)
        in_cut = model.in_cut(year.growing)
        may_cut, must_cut = in_cut.any(axis=0), in_cut.all(axis=0)
        self.may = take(year.may & (year.most >= self.least_years) & may_cut)
        self.must = take(year.must & (year.fewest >= self.least_years) & must_cut)
        # Scores in tenths, as low and as high as they may be.
        low, high = year.exact.min(axis=0), year.exact.max(axis=0)
        tenths = lambda score: np.floor(10 * score + 0.5).astype(int)
        self.low, self.high = take(tenths(low - self.SCORE)), take(tenths(high + self.SCORE))
        self.may_score, self.must_score = self.high > 0, self.low > 0
        self.may_open = take((tenths(high + self.SCORE) > 0) & may_cut)
        self.must_open = take((tenths(low - self.SCORE) > 0) & must_cut)

    def complaint(self, bands):
        """What is wrong with the program's bands, or None."""
        b = dict(zip(BANDS, (int(x) for x in bands)))
        inside = slice(0, self.length)
        if not self.least_years and b["years"] != NOT_COUNTED:
            return "years counted"
        if b["best_sow"] == 0:
            return self.wrong_without_best(b)
        place = int((b["best_sow"] - 1 - self.days[0]) % YEAR)
        if place >= self.length:
            return "best day outside the season"
        if self.least_years and not self.fewest[place] <= b["years"] <= self.most[place]:
            return "years"
        if b["window_days"]:
            may, must = self.may[inside], self.must[inside]
        elif self.must[inside].any():
            return "a day of the season is good"
        else:
            may, must = self.may_open[inside], self.must_open[inside]
        start, end = self.window(b)
        said = self.wrong_window(b, place, start, end)
        if said:
            return said
        # The highest score that chose the top days is not in the raster: any that explains will do.
        complaints = {highest: self.wrong_best(b, place, highest, may, must)
                      for highest in range(self.low[place], self.high[place] + FLAT + 1)}
        explain = [highest for highest, said in complaints.items() if said is None]
        if not explain:
            return complaints[self.high[place]]
        said = self.first_of_all(lambda highest: self.wrong_edge(b, start, end, highest), explain)
        if said:
            return said
        day = b["best_sow"] - 1
        if (day + b["growing_days"]) % YEAR + 1 != b["harvest"]:
            return "harvest"
        return self.first_of_all(lambda clock: self.wrong_day(b, clock, day),
                                 range(len(self.year.exact)))

    @staticmethod
    def first_of_all(complain, choices):
        """None when one choice gives no complaint, else the last one's."""
        said = "nothing to choose from"
        for choice in choices:
            said = complain(choice)
            if said is None:
                return None
        return said

    def window(self, b):
        """The window's first and last day, counted from the season's first."""
        start = int((b["sow_from"] - 1 - self.days[0]) % YEAR)
        return start, start + b["window_days"] - 1

    def wrong_window(self, b, place, start, end):
        if b["window_days"] == 0:
            return "ends without a window" if any(
                b[key] for key in ("sow_from", "sow_to", "cut_from", "cut_to")) else None
        if end >= self.length or int((b["sow_to"] - 1 - self.days[0]) % YEAR) != end:
            return "the window's days do not match its ends"
        if not start <= place <= end or not self.may[start:end + 1].all():
            return "the window holds a day that is not good"
        if (start > 0 and self.must[start - 1]) or (end + 1 < self.length and self.must[end + 1]):
            return "the window stops short"
        growing = self.year.growing[:, self.days[start:end + 1]] + np.arange(start, end + 1)
        for key, of_all in (("cut_from", np.min), ("cut_to", np.max)):
            earliest, latest = of_all(growing.min(axis=0)), of_all(growing.max(axis=0))
            if (b[key] - 1 - self.days[0] - earliest) % YEAR > latest - earliest:
                return key
        return None

    def wrong_best(self, b, place, highest, may, must):
        """Whether `place` can be the middle of a flat top whose highest score is `highest`."""
        inside = slice(0, self.length)
        low, high = self.low[inside], self.high[inside]
        most = b["years"] if self.least_years else 0
        fewest_years, most_years = self.fewest[inside], self.most[inside]
        if (must & (fewest_years > most)).any():
            return "another day has more years"
        may_level = may & (fewest_years <= most) & (most <= most_years)
        must_level = must & (fewest_years == most) & (most_years == most)
        if (must_level & (low > highest)).any():
            return "another day is better"
        may_top = may_level & (high >= highest - FLAT) & (low <= highest)
        must_top = must_level & (low >= highest - FLAT)
        may_be_it = may_top & (high >= highest)
        must_be_it = must_level & (low == highest) & (high == highest)
        if not may_top[place]:
            return "not a top day"
        for left in range(place, -1, -1):
            if not may_top[left]:
                break
            if (left > 0 and must_top[left - 1]) or must_be_it[:left].any():
                continue
            for right in (2 * place - left, 2 * place - left + 1):
                if (right < self.length and may_top[left:right + 1].all()
                        and not must_top[right + 1:right + 2].any()
                        and may_be_it[left:right + 1].any()):
                    return None
        return "not the middle of a flat top"

    def wrong_edge(self, b, start, end, highest):
        edge, rest = b["edge"], self.length
        for code, touches, onward in ((1, start == 0, slice(None, rest - 1, -1)),
                                      (2, end == rest - 1, slice(rest, None))):
            goes_on, better = bool(edge & code), bool(edge & 4 * code)
            if b["window_days"] == 0 or rest == YEAR or not touches:
                if goes_on or better:
                    return "edge"
                continue
            fewest, most = self.fewest[onward], self.most[onward]
            years = b["years"] if self.least_years else 0
            limit = highest + FLAT
            may = np.logical_and.accumulate(self.may[onward])
            must = np.logical_and.accumulate(self.must[onward])
            may_better = may & ((most > years) | ((most == years) & (self.high[onward] > limit)))
            must_better = must & ((fewest > years) |
                                  ((fewest == years) & (self.low[onward] > limit)))
            for said, possible, certain in ((goes_on, may[0], must[0]),
                                            (better, may_better.any(), must_better.any())):
                if (said and not possible) or (certain and not said):
                    return "edge"
        return None

    def wrong_day(self, b, clock, day):
        year = self.year
        after = (b["transplant"] - b["best_sow"]) % YEAR if b["transplant"] else 0
        if abs(b["score"] - year.exact[clock, day]) > 0.55 + self.SCORE:
            return "score"
        if b["growing_days"] != year.growing[clock, day]:
            return "growing days"
        if after != year.transplant[clock, day]:
            return "transplant"
        return self.wrong_risks(b, clock, day)

    def wrong_without_best(self, b):
        inside = slice(0, self.length)
        if any(b[key] for key in BANDS if key not in ("limit", "frost_risk", "bolt_risk", "years")):
            return "dates without a best day"
        if b["years"] > 0:
            return "years"
        if self.must_open[inside].any():
            return "a day of the season has a score"
        if b["limit"] == CUT_OUTSIDE:
            if b["frost_risk"] or b["bolt_risk"]:
                return "risks without a day"
            return None if self.may_score[inside].any() else "no day of the season has a score"
        if self.must_score[inside].any():
            return "a day of the season has a score"
        return self.wrong_fallback(b)

    def wrong_fallback(self, b):
        year, season = self.year, self.days[:self.length]
        if b["limit"] == NEVER:
            return "a day matures" if year.matures[:, season].all(axis=0).any() else None
        least = np.where(year.matures, year.least, -1)
        best = least.min(axis=0)[season].max()
        days = [(clock, day) for clock in range(len(least)) for day in season
                if year.matures[clock, day] and least[clock, day] >= best - self.SHARE]
        return self.first_of_all(lambda at: self.wrong_risks(b, *at), days)

    def wrong_risks(self, b, clock, day):
        year = self.year
        for key, share in (("frost_risk", year.survive), ("bolt_risk", year.stay)):
            if abs(b[key] - 100 * (1 - share[clock, day])) > 0.5 + 100 * self.SHARE:
                return key
        values = [*year.fits[clock, :, day], year.survive[clock, day], year.stay[clock, day]]
        if b["limit"] == 0:
            return None if min(values) >= 0.95 - self.SHARE else "limit"
        names = {FROST: len(values) - 2, BOLTING: len(values) - 1}
        which = names.get(b["limit"], (b["limit"] - 1) // 2)
        if which >= len(values) or values[which] > min(min(values), 0.95) + self.SHARE:
            return "limit"
        if b["limit"] < FROST:
            rate, fit = year.rates[clock, which, day], year.fits[clock, which, day]
            cold = (1 - rate) - (rate - fit)
            if (cold if b["limit"] % 2 else -cold) < -self.SHARE:
                return "limit"
        return None


def pick_complaint(code, order, of_variety):
    """Whether a pick follows from the program's own rasters; of_variety: index -> bands."""
    bands = {i: dict(zip(BANDS, (int(x) for x in of_variety(i)))) for i in order}
    for wanted in (7, 1):
        for i in order:
            if bands[i]["window_days"] >= wanted:
                return None if code == i + 1 else "pick"
    counted = all(b["years"] != NOT_COUNTED for b in bands.values())
    rank = {i: (b["years"] if counted else 0, b["score"]) for i, b in bands.items()}
    highest = max(rank.values())
    i = code - RISKY - 1
    if counted:
        worth, not_worth = highest[0] >= 3, highest[0] < 3
    else:  # the rasters hold whole scores, the pick compares tenths
        worth, not_worth = highest[1] >= 50, highest[1] <= 50
    if code == 0:
        return None if not_worth else "pick"
    return None if worth and rank.get(i) == highest else "pick"


def compare(results, options, model):
    """Cell by cell against rasters of the program; True when all differences are explained."""
    from osgeo import gdal
    gdal.UseExceptions()
    sheet, grids, valid = model.sheet, results.grids, results.valid
    theirs, wrong, differing = {}, {}, np.zeros(valid.shape, bool)
    for name in grids:
        data = gdal.Open(os.path.join(options.compare, name + ".tif")).ReadAsArray()
        data = data.reshape((-1,) + data.shape[-2:]).astype(int)
        theirs[name] = data[:, ::options.every, ::options.every]
        if theirs[name].shape != grids[name].shape:
            sys.exit(f"{name}: {theirs[name].shape} bands, rows, columns in the raster, "
                     f"{grids[name].shape} here")
        differs = theirs[name] != grids[name]
        differing |= differs.any(axis=0)
        if differs[:, ~valid].any():
            wrong[name, "no-data"] = [(tuple(np.argwhere(differs.any(axis=0) & ~valid)[0]), "")]

    def note(name, complaint, where, detail):
        if complaint:
            wrong.setdefault((name, complaint), []).append((where, detail))

    rounding = Rounding(model)
    of_cells = lambda grid, some: grid[..., some[:, 0], some[:, 1]]
    for variety in model.varieties():
        programmes = {}
        for season in model.seasons():
            programmes.setdefault(sheet.way(variety, season, options.start), []).append(season)
        for way, seasons in programmes.items():
            differs = {s["name"]: (theirs[f"{variety['name']}-{s['name']}"]
                                   != grids[f"{variety['name']}-{s['name']}"]).any(axis=0) & valid
                       for s in seasons}
            where = np.argwhere(np.any(list(differs.values()), axis=0))
            for begin in range(0, len(where), JUDGED_AT_ONCE):
                some = where[begin:begin + JUDGED_AT_ONCE]
                lo, hi = model.days(of_cells(results.normals, some).T)
                years = rounding.year(variety, way, lo, hi, of_cells(results.spread, some))
                for season in seasons:
                    name = f"{variety['name']}-{season['name']}"
                    for year, (row, col) in zip(years, some):
                        if not differs[season["name"]][row, col]:
                            continue
                        judge = Judge(model, year, season, results.south[row, col])
                        note(name, judge.complaint(theirs[name][:, row, col]), (row, col),
                             f"oracle {grids[name][:, row, col]}, "
                             f"raster {theirs[name][:, row, col]}")
    cells = np.argwhere(valid)
    for season in model.seasons():
        name, order = f"pick-{season['name']}", model.order(season)
        bands = {i: of_cells(theirs[f"{sheet.varieties[i]['name']}-{season['name']}"], cells)
                 for i in order}
        for at, (row, col) in enumerate(cells):
            said = pick_complaint(int(theirs[name][0, row, col]), order, lambda i: bands[i][:, at])
            note(name, said, (row, col),
                 f"oracle {grids[name][0, row, col]}, raster {theirs[name][0, row, col]}")
        # A span follows from the program's own windows and pick, with nothing rounded between.
        of = lambda b, key: b[BANDS.index(key)]
        windows = {i: {"from": of(b, "sow_from") - 1, "days": of(b, "window_days")}
                   for i, b in bands.items()}
        follows = model.span(season, order, windows.get, of_cells(theirs[name][0], cells),
                             of_cells(results.south, cells))
        name = f"span-{season['name']}"
        given = of_cells(theirs[name], cells)
        for at in np.nonzero((given != follows).any(axis=0))[0]:
            note(name, "span", tuple(cells[at]), f"follows {follows[:, at]}, raster {given[:, at]}")
    for (name, complaint), cases in wrong.items():
        (row, col), detail = cases[0]
        print(f"{name}: {complaint}: {len(cases)} cells; first at column {col * options.every}, "
              f"row {row * options.every}: {detail}")
    unexplained = sum(len(cases) for cases in wrong.values())
    print(f"{len(grids)} rasters, {int(valid.sum())} valid cells looked at, "
          f"{int(differing.sum())} of them differ, "
          f"{unexplained} differences not explained by the tolerance")
    return valid.any() and unexplained == 0 and not (options.exact and differing.any())


def run_stations(options, model):
    with open(options.stations, encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    normals = np.array([[float(r[f"{key}_{m}"]) for key in ("tmin", "tmax")
                         for m in range(1, 13)] for r in rows])
    south = np.array([options.hemisphere == "south" or
                      (options.hemisphere == "auto" and float(r["lat"]) < 0) for r in rows])
    if not isinstance(options.year_spread, float):
        sys.exit("--year-spread: a raster does not go with --stations; give a column year_spread")
    spread = np.array([float(r.get("year_spread") or options.year_spread) for r in rows])
    results, _, _ = model.run(normals, south, spread)
    one = lambda share: f"{math.floor(share * 1000 + 0.5) / 10:.1f}"
    date = lambda day: "" if day < 0 else date_text(day)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow("name lat lon variety season score best_sow sow_from sow_to window_days "
                 "transplant harvest growing_days limit frost_risk bolt_risk years edge cut_from "
                 "cut_to".split())
    for i, row in enumerate(rows):
        for (variety, season), all_ in results.items():
            r = {key: values[i] for key, values in all_.items()}
            out.writerow([row["name"], row["lat"], row["lon"], variety, season,
                          f"{r['tenths'] / 10:.1f}", date(r["best"]), date(r["from"]),
                          date(r["to"]), r["days"], date(r["transplant"]), date(r["harvest"]),
                          r["growing"], model.sheet.limit_name(int(r["limit"])), one(r["frost"]),
                          one(r["bolt"]), r["years"] if options.years else "", r["edge"],
                          date(r["cut_from"]), date(r["cut_to"])])


def default_options():
    """What the program takes where nothing is said; one place for tests and the command line."""
    return argparse.Namespace(good=70.0, years=7, year_spread=1.3, spread=2.5, cut=None, warmer=0.0,
                              grown_under=None, start=None, variety=None, season=None)


def number_or_path(text):
    try:
        return float(text)
    except ValueError:
        return text


def dates(text):
    first, last = text.split("..")
    return day_of_year(first), day_of_year(last)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--tmin")
    parser.add_argument("--tmax")
    parser.add_argument("--stations")
    parser.add_argument("--crop", required=True, help="a sheet's file")
    parser.add_argument("--variety", action="append")
    parser.add_argument("--season", action="append")
    parser.add_argument("--good", type=float)
    parser.add_argument("--years", type=int, help="of ten; 0: not counted")
    parser.add_argument("--year-spread", type=number_or_path, help="K, or a raster")
    parser.add_argument("--spread", type=float, help="K")
    parser.add_argument("--cut", type=dates, metavar="MM-DD..MM-DD")
    parser.add_argument("--warmer", type=float, help="K")
    parser.add_argument("--grown-under")
    parser.add_argument("--start", choices=("direct", "nursery"))
    parser.add_argument("--hemisphere", choices=("auto", "north", "south"), default="auto")
    parser.add_argument("--out")
    parser.add_argument("--compare")
    parser.add_argument("--exact", action="store_true", help="no tolerance")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--block", type=int, default=500, help="cells at a time")
    parser.set_defaults(**vars(default_options()))
    options = parser.parse_args()
    model = Model(Sheet(options.crop), options)
    if options.stations:
        run_stations(options, model)
        return
    results = run_rasters(options, model)
    if options.out:
        os.makedirs(options.out, exist_ok=True)
        for name, grid in results.grids.items():
            np.save(os.path.join(options.out, name + ".npy"), grid)
    if options.compare and not compare(results, options, model):
        sys.exit(1)


if __name__ == "__main__":
    main()
