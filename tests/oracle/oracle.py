#!/usr/bin/python3
"""An independent second opinion on the growing model.

Written from the method page alone (docs/method.md), with NumPy in double precision and with
plain prefix sums and bisection, so that it shares no code, no data layout and no shortcut with
the program. Whole arrays of cells go through each equation at once.

    oracle.py --tmin TMIN --tmax TMAX --crop SHEET.yaml --out DIR        11-band .npy per result
    oracle.py --tmin TMIN --tmax TMAX --crop SHEET.yaml --compare DIR    against `isosow map`
    oracle.py --stations FILE.csv --crop SHEET.yaml                      the CSV of `isosow site`

--every N looks at every Nth row and column only. Inputs are degC. `isosow crop show NAME` prints a
built-in sheet.

The program may compute a day's rate and fit by the fast form of the method, whose error is below
1e-5; its scores then differ by up to 0.05. That moves nothing by itself, but a flat optimum may get
another best day, and a score next to a threshold may fall on its other side. So --compare takes a
cell that differs for right only when the program's answer is one this model allows within that
tolerance: see Judge. It exits 1 when a cell is left that is not explained so, or with --exact when
any value differs.
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
         "growing_days", "limit", "frost_risk", "bolt_risk")
NODATA, PICK_NODATA = -32768, 255
FROST, BOLTING, NEVER = 101, 102, 103


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
        for s in doc.get("shelters", []):
            self.shelters[s["shelter"]] = (
                temperature(s["warm_to"]) if "warm_to" in s else -np.inf,
                difference(s["warm_most"]) if "warm_most" in s else np.inf,
                temperature(s["cool_to"]) if "cool_to" in s else np.inf,
                difference(s["cool_most"]) if "cool_most" in s else np.inf)
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

    def stages(self, variety, start, grown_under):
        """The variety's stages as they stand: direct sowing clears shelters and transplanting."""
        out = []
        for stage in variety["stages"]:
            stage = dict(stage)
            if start == "direct":
                stage["shelter"], stage["transplant"] = None, False
            if stage["shelter"] is None:
                stage["shelter"] = grown_under
            out.append(stage)
        return out

    def limit_name(self, code):
        fixed = {0: "nothing", FROST: "frost", BOLTING: "bolting", NEVER: "never matures"}
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


def between(sums, start, end):
    return np.take_along_axis(sums, end, 1) - np.take_along_axis(sums, start, 1)


def stage_end(sums, start, days, at_most):
    """First boundary by which the rates add up to `days`; at_most + 1 days on where none does."""
    below, enough = start.copy(), start + at_most + 1
    for _ in range(int(at_most + 1).bit_length() + 1):
        middle = (below + enough) // 2
        reached = between(sums, start, middle) >= days - 1e-6
        open_ = enough - below > 1
        enough = np.where(open_ & reached, middle, enough)
        below = np.where(open_ & ~reached, middle, below)
    return enough


def round6(x):
    return np.floor(x * 1e6 + 0.5) / 1e6


class Year:
    """Every sowing day of one variety with one start, over a set of cells."""


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

    def score_year(self, variety, start, lo, hi, slips=None):
        """slips: per stage, an error in the rate of every day that is neither lost nor best."""
        sheet, spread = self.sheet, self.options.spread
        cells = len(lo)
        sow = np.broadcast_to(np.arange(YEAR), (cells, YEAR))
        at = sow.copy()
        matures = np.ones((cells, YEAR), bool)
        kill, chill = np.zeros((cells, YEAR)), np.zeros((cells, YEAR))
        transplant = np.zeros((cells, YEAR), int)
        fits, rates = [], []
        stages = sheet.stages(variety, start, self.options.grown_under)
        for stage, slip in zip(stages, slips or [0.0] * len(stages)):
            shelter = sheet.shelters[stage["shelter"]]
            lo2, hi2 = under_shelter(shelter, lo, hi)
            rate, fit = respond(stage["band"], sheet.swing, lo2, hi2)
            if stage["transplant"]:
                transplant = at - sow
            rate_sums = running(rate)
            # Days that never mature go on from a bounded day, so that indexes stay inside.
            begin = np.minimum(at, YEAR + LONGEST_STAND - 1)
            clock_sums = rate_sums
            if slip:
                between_ends = (rate > 1e-9) & (rate < 1 - 1e-9)
                clock_sums = running(np.where(between_ends, np.clip(rate + slip, 0, 1), rate))
            end = stage_end(clock_sums, begin, stage["days"], min(stage["at_most"], LONGEST_STAND))
            matures &= (end - begin <= stage["at_most"]) & (end - sow <= LONGEST_STAND)
            length = end - begin
            rates.append(between(rate_sums, begin, end) / length)
            fits.append(np.maximum(between(running(fit), begin, end) / length, 0))
            if stage["dies_below"] > -np.inf:
                night = self.phi((stage["dies_below"] - lo2) / spread)
                kill += between(running(night), begin, end)
            if stage["chills"] and sheet.chilling is not None and variety["bolts"] is not None:
                share = chilling_share(sheet.chilling, shelter, spread, lo, hi)
                chill += between(running(share), begin, end)
            at = end
        out = Year()
        out.matures = matures
        out.fits, out.rates = np.array(fits), np.array(rates)
        out.survive = np.exp(-kill)
        out.stay = np.ones_like(chill)
        if sheet.chilling is not None and variety["bolts"] is not None:
            safe, all_ = variety["bolts"]
            out.stay = np.clip((all_ - chill) / (all_ - safe), 0, 1)
        least = out.fits.min(axis=0)
        exact = 100 * least * out.survive * out.stay
        tenths = np.floor(10 * exact + 0.5).astype(int)
        out.exact = np.where(matures, exact, 0)
        out.tenths = np.where(matures, tenths, 0)
        out.least = round6(least)
        out.growing = np.where(matures, at - sow, 0)
        out.transplant = np.where(matures, transplant, 0)
        out.good = (matures & (out.tenths > 0) & (out.tenths / 10 >= self.options.good)
                    & (out.survive >= 0.9) & (out.stay >= 0.9))
        return out

    def limits(self, year, cell, day):
        """Limit code of one sowing day per cell."""
        values = np.concatenate([year.fits[:, cell, day], [year.survive[cell, day]],
                                 [year.stay[cell, day]]])
        values = round6(values)
        which = values.argmin(axis=0)  # the first on ties
        stages = len(year.fits)
        k = np.minimum(which, stages - 1)
        rate, fit = year.rates[k, cell, day], year.fits[k, cell, day]
        code = 1 + 2 * k + np.where(1 - rate >= rate - fit, 0, 1)
        code = np.where(which == stages, FROST, code)
        code = np.where(which == stages + 1, BOLTING, code)
        return np.where(values.min(axis=0) >= 0.95, 0, code)

    def season(self, year, season, south):
        """Best day, window and the rest per cell: a dict of arrays; days 0..364, -1 none."""
        cells = len(south)
        first, last = season["sow"]
        length = (last - first) % YEAR + 1
        begin = np.where(south, (first + 182) % YEAR, first)
        day = (begin[:, None] + np.arange(length)) % YEAR  # in season order
        take = lambda a: np.take_along_axis(a, day, 1)
        tenths, good = take(year.tenths), take(year.good)
        any_good = good.any(axis=1)
        ranked = np.where(any_good[:, None], np.where(good, tenths, -1), tenths)
        place = ranked.argmax(axis=1)  # the first on ties
        cell = np.arange(cells)
        best = day[cell, place]
        some = tenths.max(axis=1) > 0
        # Where every score is 0: the maturing day with the largest least fit speaks for the season.
        matures = take(year.matures)
        spare = day[cell, np.where(matures, take(year.least), -1).argmax(axis=1)]
        speaks = some | matures.any(axis=1)
        at = np.where(some, best, spare)
        limit = np.where(speaks, self.limits(year, cell, at), NEVER)
        frost = np.where(speaks, 1 - year.survive[cell, at], 0)
        bolt = np.where(speaks, 1 - year.stay[cell, at], 0)
        start, end, days = self.window(year.good, best, any_good)
        grow = np.where(some, year.growing[cell, at], 0)
        after = np.where(some, year.transplant[cell, at], 0)
        return {
            "tenths": np.where(some, year.tenths[cell, at], 0),
            "best": np.where(some, best, -1), "from": start, "to": end, "days": days,
            "transplant": np.where(after > 0, (best + after) % YEAR, -1),
            "harvest": np.where(some, (best + grow) % YEAR, -1),
            "growing": grow, "limit": limit, "frost": frost, "bolt": bolt,
        }

    @staticmethod
    def window(good, best, any_good):
        """Whole run of good days around the best day; all good: 1 January to 31 December."""
        cell = np.arange(len(best))
        back, on = np.zeros(len(best), int), np.zeros(len(best), int)
        running_back = running_on = any_good.copy()
        for step in range(1, YEAR):
            running_back = running_back & good[cell, (best - step) % YEAR]
            running_on = running_on & good[cell, (best + step) % YEAR]
            if not (running_back.any() or running_on.any()):
                break
            back += running_back
            on += running_on
        all_good = good.all(axis=1)
        start = np.where(all_good, 0, (best - back) % YEAR)
        end = np.where(all_good, YEAR - 1, (best + on) % YEAR)
        days = np.where(all_good, YEAR, back + on + 1)
        none = ~any_good
        return np.where(none, -1, start), np.where(none, -1, end), np.where(none, 0, days)

    def run(self, normals, south):
        """normals: cells x 24 (degC). Results by (variety name, season name), picks by season."""
        lo, hi = self.days(normals)
        sheet, options = self.sheet, self.options
        varieties = [v for v in sheet.varieties
                     if not options.variety or v["name"] in options.variety]
        seasons = [s for s in sheet.seasons if not options.season or s["name"] in options.season]
        results, picks = {}, {}
        for variety in varieties:
            years = {}
            for season in seasons:
                start = options.start or season["start"]
                if start not in years:
                    years[start] = self.score_year(variety, start, lo, hi)
                results[variety["name"], season["name"]] = self.season(years[start], season, south)
        for season in seasons:
            code = np.zeros(len(south), int)
            order = [i for i in season["order"] if sheet.varieties[i] in varieties]
            get = lambda i: results[sheet.varieties[i]["name"], season["name"]]
            for wanted in (7, 1):
                for i in order:
                    code = np.where((code == 0) & (get(i)["days"] >= wanted), i + 1, code)
            tenths = np.array([get(i)["tenths"] for i in order])
            highest = tenths.argmax(axis=0)
            risky = 100 + np.array(order)[highest] + 1
            code = np.where((code == 0) & (tenths.max(axis=0) >= 500), risky, code)
            picks[season["name"]] = code
        return results, picks


def bands_of(result):
    """The eleven integers of a raster cell; days of year 1..365, 0 none."""
    percent = lambda share: np.floor(100 * share + 0.5).astype(int)
    return np.array([(result["tenths"] + 5) // 10, result["best"] + 1, result["from"] + 1,
                     result["to"] + 1, result["days"], result["transplant"] + 1,
                     result["harvest"] + 1, result["growing"], result["limit"],
                     percent(result["frost"]), percent(result["bolt"])])


# ---------------------------------------------------------------- rasters and tables

def read_rasters(tmin, tmax, hemisphere, every):
    """24 x height x width in degC, where all 24 are there, and where it is south."""
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
    valid = valid & ~(normals[:12] > normals[12:]).any(axis=0)
    rows, cols = np.arange(0, valid.shape[0], every), np.arange(0, valid.shape[1], every)
    normals, valid = normals[:, rows][:, :, cols], valid[rows][:, cols]
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
    return normals, valid, south


def run_rasters(options, model):
    normals, valid, south = read_rasters(options.tmin, options.tmax, options.hemisphere,
                                         options.every)
    table, where = normals[:, valid].T, south[valid]
    results, picks = {}, {}
    for begin in range(0, len(table), options.block):
        part = slice(begin, begin + options.block)
        some, chosen = model.run(table[part], where[part])
        for key, result in some.items():
            results.setdefault(key, []).append(bands_of(result))
        for key, code in chosen.items():
            picks.setdefault(key, []).append(code)
    grids = {}
    for (variety, season), parts in results.items():
        grid = np.full((len(BANDS),) + valid.shape, NODATA, np.int16)
        grid[:, valid] = np.concatenate(parts, axis=1)
        grids[f"{variety}-{season}"] = grid
    for season, parts in picks.items():
        grid = np.full((1,) + valid.shape, PICK_NODATA, np.uint8)
        grid[0, valid] = np.concatenate(parts)
        grids[f"pick-{season}"] = grid
    return argparse.Namespace(grids=grids, valid=valid, normals=normals, south=south)


class Judge:
    """Whether the program's answer for one cell, variety and season is allowed.

    The tolerances follow from an error of 1e-5 in a day's rate and fit. Where the sum of rates comes
    that close to its end, a stage's clock may ring a day earlier or later: a day is allowed to be as
    any of the clocks has it whose rates are all off by RATE up or down, stage by stage. Beyond that
    scores move by up to 0.05 and shares by less than 1e-3, and the order of two scores, being
    rounded to 0.1, by 0.1 more.
    """
    RATE, SCORE, ORDER, SHARE = 1.2e-5, 0.06, 0.1, 1e-3

    @classmethod
    def clocks(cls, stages):
        if stages > 6:  # all together only: a stricter judge, but an affordable one
            return [[sign * cls.RATE] * stages for sign in (-1, 1)]
        return [list(slips) for slips in itertools.product((-cls.RATE, cls.RATE), repeat=stages)]

    def __init__(self, model, years, cell, season, south):
        """years: the same one as each of the clocks has it."""
        self.good_score = model.options.good
        pick = lambda key: np.array([getattr(year, key)[..., cell, :] for year in years])
        self.exact, self.matures = pick("exact"), pick("matures")  # clock x day
        self.survive, self.stay = pick("survive"), pick("stay")
        self.growing, self.transplant = pick("growing"), pick("transplant")
        self.fits, self.rates = pick("fits"), pick("rates")  # clock x stage x day
        first, last = season["sow"]
        begin = (first + 182) % YEAR if south else first
        self.season = (begin + np.arange((last - first) % YEAR + 1)) % YEAR

    def goods(self):
        """Days that may be good, and days that must be."""
        def good(sign):
            return (self.matures
                    & (self.exact >= max(self.good_score - 0.05, 0.05) + sign * self.SCORE)
                    & (self.survive >= 0.9 + sign * self.SHARE)
                    & (self.stay >= 0.9 + sign * self.SHARE))
        return good(-1).any(axis=0), good(+1).all(axis=0)

    def complaint(self, bands):
        """What is wrong with the program's bands, or None."""
        b = dict(zip(BANDS, (int(x) for x in bands)))
        may, must = self.goods()
        lowest, highest = self.exact.min(axis=0), self.exact.max(axis=0)
        if b["best_sow"] == 0:
            if (lowest[self.season] >= 0.05 + self.SCORE).any():
                return "a day of the season has a score"
            return self.wrong_fallback(b)
        day = b["best_sow"] - 1
        if day not in self.season:
            return "best day outside the season"
        rivals = self.season[must[self.season]] if b["window_days"] else self.season
        if (lowest[rivals] > highest[day] + 2 * self.SCORE + self.ORDER).any():
            return "another day is better"
        if b["window_days"] == 0:
            if must[self.season].any() or b["sow_from"] or b["sow_to"]:
                return "a day of the season is good"
        else:
            start, end = b["sow_from"] - 1, b["sow_to"] - 1
            if (end - start) % YEAR + 1 != b["window_days"]:
                return "the window's days do not match its ends"
            run = (start + np.arange(b["window_days"])) % YEAR
            if day not in run or not may[run].all():
                return "the window holds a day that is not good"
            if b["window_days"] < YEAR and (must[(start - 1) % YEAR] or must[(end + 1) % YEAR]):
                return "the window stops short"
        if (day + b["growing_days"]) % YEAR + 1 != b["harvest"]:
            return "harvest"
        return self.first_of_all(lambda clock: self.wrong_day(b, clock, day), range(len(self.exact)))

    @staticmethod
    def first_of_all(complain, choices):
        """None when one choice gives no complaint, else the last one's."""
        said = "nothing to choose from"
        for choice in choices:
            said = complain(choice)
            if said is None:
                return None
        return said

    def wrong_day(self, b, clock, day):
        after = (b["transplant"] - b["best_sow"]) % YEAR if b["transplant"] else 0
        if abs(b["score"] - self.exact[clock, day]) > 0.55 + self.SCORE:
            return "score"
        if b["growing_days"] != self.growing[clock, day]:
            return "growing days"
        if after != self.transplant[clock, day]:
            return "transplant"
        return self.wrong_risks(b, clock, day)

    def wrong_fallback(self, b):
        if any(b[key] for key in ("score", "sow_from", "sow_to", "window_days", "transplant",
                                  "harvest", "growing_days")):
            return "dates without a best day"
        if b["limit"] == NEVER:
            return "a day matures" if self.matures[:, self.season].all(axis=0).any() else None
        least = np.where(self.matures, self.fits.min(axis=1), -1)
        best = least.min(axis=0)[self.season].max()
        days = [(clock, day) for clock in range(len(least)) for day in self.season
                if self.matures[clock, day] and least[clock, day] >= best - self.SHARE]
        return self.first_of_all(lambda at: self.wrong_risks(b, *at), days)

    def wrong_risks(self, b, clock, day):
        for key, share in (("frost_risk", self.survive), ("bolt_risk", self.stay)):
            if abs(b[key] - 100 * (1 - share[clock, day])) > 0.5 + 100 * self.SHARE:
                return key
        values = [*self.fits[clock, :, day], self.survive[clock, day], self.stay[clock, day]]
        if b["limit"] == 0:
            return None if min(values) >= 0.95 - self.SHARE else "limit"
        names = {FROST: len(values) - 2, BOLTING: len(values) - 1}
        which = names.get(b["limit"], (b["limit"] - 1) // 2)
        if which >= len(values) or values[which] > min(min(values), 0.95) + self.SHARE:
            return "limit"
        if b["limit"] < FROST:
            rate, fit = self.rates[clock, which, day], self.fits[clock, which, day]
            cold = (1 - rate) - (rate - fit)
            if (cold if b["limit"] % 2 else -cold) < -self.SHARE:
                return "limit"
        return None


def pick_complaint(code, order, of_variety):
    """Whether a pick follows from the program's own rasters; of_variety: index -> bands."""
    score = {i: int(of_variety(i)[0]) for i in order}
    days = {i: int(of_variety(i)[4]) for i in order}
    for wanted in (7, 1):
        for i in order:
            if days[i] >= wanted:
                return None if code == i + 1 else "pick"
    highest = max(score.values())
    if code == 0:
        return None if highest <= 50 else "pick"
    # The rasters hold whole scores, the pick compares tenths.
    i = code - 101
    return None if i in score and score[i] == highest and highest >= 50 else "pick"


def compare(results, options, model):
    """Cell by cell against rasters of the program; True when all differences are explained."""
    from osgeo import gdal
    gdal.UseExceptions()
    sheet, grids, valid = model.sheet, results.grids, results.valid
    theirs, wrong, differing = {}, {}, np.zeros(valid.shape, bool)
    for name in grids:
        data = gdal.Open(os.path.join(options.compare, name + ".tif")).ReadAsArray()
        theirs[name] = data.reshape((-1,) + data.shape[-2:])[:, ::options.every, ::options.every]
        differs = theirs[name] != grids[name]
        differing |= differs.any(axis=0)
        if differs[:, ~valid].any():
            wrong[name, "no-data"] = [(tuple(np.argwhere(differs.any(axis=0) & ~valid)[0]), "")]

    def note(name, complaint, where, detail):
        if complaint:
            wrong.setdefault((name, complaint), []).append((where, detail))

    varieties = [v for v in sheet.varieties if not options.variety or v["name"] in options.variety]
    for season in sheet.seasons:
        if options.season and season["name"] not in options.season:
            continue
        for variety in varieties:
            name = f"{variety['name']}-{season['name']}"
            where = np.argwhere((theirs[name] != grids[name]).any(axis=0) & valid)
            for begin in range(0, len(where), options.block // 10):
                some = where[begin:begin + options.block // 10]
                lo, hi = model.days(results.normals[:, some[:, 0], some[:, 1]].T)
                start = options.start or season["start"]
                years = [model.score_year(variety, start, lo, hi, slips)
                         for slips in Judge.clocks(len(sheet.stage_names))]
                for i, (row, col) in enumerate(some):
                    judge = Judge(model, years, i, season, results.south[row, col])
                    note(name, judge.complaint(theirs[name][:, row, col]), (row, col),
                         f"oracle {grids[name][:, row, col]}, raster {theirs[name][:, row, col]}")
        name = f"pick-{season['name']}"
        order = [i for i in season["order"] if sheet.varieties[i] in varieties]
        for row, col in np.argwhere(valid):
            bands = lambda i: theirs[f"{sheet.varieties[i]['name']}-{season['name']}"][:, row, col]
            note(name, pick_complaint(int(theirs[name][0, row, col]), order, bands), (row, col),
                 f"oracle {grids[name][0, row, col]}, raster {theirs[name][0, row, col]}")
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
    results, _ = model.run(normals, south)
    one = lambda share: f"{math.floor(share * 1000 + 0.5) / 10:.1f}"
    date = lambda day: "" if day < 0 else date_text(day)
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow("name lat lon variety season score best_sow sow_from sow_to window_days "
                 "transplant harvest growing_days limit frost_risk bolt_risk".split())
    for i, row in enumerate(rows):
        for (variety, season), all_ in results.items():
            r = {key: values[i] for key, values in all_.items()}
            out.writerow([row["name"], row["lat"], row["lon"], variety, season,
                          f"{r['tenths'] / 10:.1f}", date(r["best"]), date(r["from"]),
                          date(r["to"]), r["days"], date(r["transplant"]), date(r["harvest"]),
                          r["growing"], model.sheet.limit_name(int(r["limit"])), one(r["frost"]),
                          one(r["bolt"])])


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--tmin")
    parser.add_argument("--tmax")
    parser.add_argument("--stations")
    parser.add_argument("--crop", required=True, help="a sheet's file")
    parser.add_argument("--variety", action="append")
    parser.add_argument("--season", action="append")
    parser.add_argument("--good", type=float, default=70)
    parser.add_argument("--spread", type=float, default=3, help="K")
    parser.add_argument("--warmer", type=float, default=0, help="K")
    parser.add_argument("--grown-under")
    parser.add_argument("--start", choices=("direct", "nursery"))
    parser.add_argument("--hemisphere", choices=("auto", "north", "south"), default="auto")
    parser.add_argument("--out")
    parser.add_argument("--compare")
    parser.add_argument("--exact", action="store_true", help="no tolerance")
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--block", type=int, default=500, help="cells at a time")
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
