#!/usr/bin/python3
"""How often a sowing day that is good in so many of ten years was good in real years.

    station_years.py SHEET.yaml STATION-YEARS.csv [--check]

The table: id,name,lat,lon,elev,year,tmin_1..tmin_12,tmax_1..tmax_12, degC, a row per station and
year. For each station the normals of its own years are asked for the years (method, equation 13);
each real year is scored with its own twelve months, in calendar order, as if it came back every
year. Prints the table of docs/method.md and, by variety, over the normal year's good days, how far
the years stand from the share of real years.

--check: exit 1 unless the figures hold what is asked of them (a mean error of at most .07 by
variety; a real share of at least .95 at ten years and of .6 to .75 at seven).
"""

import argparse
import csv
import os
import sys

import numpy as np

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
import oracle  # noqa: E402


def read_stations(path):
    """Per station its years x 24 means, as a list."""
    stations = {}
    with open(path, encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            months = [float(row[f"{key}_{m}"]) for key in ("tmin", "tmax") for m in range(1, 13)]
            stations.setdefault(row["id"], []).append(months)
    return [np.array(years) for years in stations.values()]


def own_spread(years):
    """Standard deviation between years of a month's mean temperature, averaged April to October."""
    means = (years[:, :12] + years[:, 12:]) / 2
    return means[:, 3:10].std(axis=0, ddof=1).mean()


def shares(model, variety, stations, spreads):
    """Of the normal year's good days: years, and the share of real years in which each is good."""
    normals = np.array([years.mean(axis=0) for years in stations])
    lo, hi = model.days(normals)
    way = model.sheet.way(variety, model.sheet.seasons[0], "nursery")
    normal = model.score_year(variety, way, lo, hi, spreads)
    counted, real = [], []
    for i, years in enumerate(stations):
        days = np.nonzero(normal.good[i])[0]
        if len(days) == 0:
            continue
        tables = oracle.Tables(model, variety, way, *model.days(years))
        good = model.score(tables, np.arange(len(years))[:, None], days[None]).good
        counted.append(normal.years[i, days])
        real.append(good.mean(axis=0))
    return np.concatenate(counted), np.concatenate(real)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("sheet")
    parser.add_argument("table")
    parser.add_argument("--year-spread", default="1.3", help="K, or own: each station's")
    parser.add_argument("--check", action="store_true")
    asked = parser.parse_args()
    if not os.path.exists(asked.table):
        print(f"skipped: {asked.table} is not there")
        sys.exit(77)
    options = oracle.default_options()
    model = oracle.Model(oracle.Sheet(asked.sheet), options)
    stations = read_stations(asked.table)
    own = np.array([own_spread(years) for years in stations])
    spreads = own if asked.year_spread == "own" else np.full(len(own), float(asked.year_spread))
    print(f"{len(stations)} stations, {sum(map(len, stations))} years; own year spread "
          f"{own.min():.2f} to {own.max():.2f} K, {np.median(own):.2f} in the middle")
    every, wrong = [], []
    for variety in model.varieties():
        counted, real = shares(model, variety, stations, spreads)
        every.append((counted, real))
        off = counted / 10 - real
        print(f"{variety['name']}: {len(off)} days, mean error {np.abs(off).mean():.3f}, "
              f"bias {off.mean():+.3f}, correlation {np.corrcoef(counted, real)[0, 1]:.3f}")
        if np.abs(off).mean() > 0.07:
            wrong.append(f"mean error of {variety['name']}")
    counted, real = (np.concatenate(part) for part in zip(*every))
    share = {}
    print("years  days  real share")
    for years in range(10, -1, -1):
        days = counted == years
        if days.any():
            share[years] = real[days].mean()
            print(f"{years:5d} {days.sum():5d}  {share[years]:.2f}")
    if share[10] < 0.95:
        wrong.append("real share at ten years")
    if not 0.6 <= share[7] <= 0.75:
        wrong.append("real share at seven years")
    print("wrong: " + ", ".join(wrong) if wrong else "as asked")
    sys.exit(1 if asked.check and wrong else 0)


if __name__ == "__main__":
    main()
