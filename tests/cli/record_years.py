"""How real years went, held against the program's other door: record_years.py ISOSOW RECORD.csv FOLDER

site --record takes each real year apart from the others. Here every real year of some stations
(Colorado, tests/data/colorado/README.md) becomes a station of its own in a table, its twelve months
put together in Python after docs/method.md, equation 21, and site --stations --years 0 --days says
of each sowing day whether it is good. From that, with NumPy, everything that site --record counts
is counted once more: good years of the fixed day, what went wrong, the best fixed day in hindsight,
and the last fifteen years against those before. In both hemispheres."""

import csv
import io
import json
import os
import subprocess
import sys

import numpy as np

program, record_path, folder = sys.argv[1:4]
STATIONS = {"north": ("LAMAR", "GRAND JUNCTI"), "south": ("AKRON WASHIN",)}
BEGINS = {"north": {"spring": 1, "summer": 5, "autumn": 7}, "south": {"spring": 7, "summer": 11, "autumn": 12}}
RECENT, LEAST = 15, 40
MONTHS = [f"{kind}_{m}" for kind in ("tmin", "tmax") for m in range(1, 13)]
failures = []
os.makedirs(folder, exist_ok=True)


def run(*words):
    done = subprocess.run([program, "site", "--quiet", "--crop", "napa-cabbage", *words],
                          capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"{words}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def expect(what, found, expected):
    if found != expected:
        failures.append(f"{what}: {found}, expected {expected}")


def real_year(years, year, begins):
    """Twelve months from the one before month `begins`, in calendar order; None: one is missing."""
    months = {}
    for ahead in range(begins - 2, begins + 10):
        row = years.get(year + ahead // 12)
        if row is None:
            return None
        month = ahead % 12 + 1
        for kind in ("tmin", "tmax"):
            months[f"{kind}_{month}"] = row[f"{kind}_{month}"]
    return months


def days_of(hemisphere, name, years, begins):
    """{year: {variety: [row of each day]}}"""
    table, days = os.path.join(folder, "years.csv"), os.path.join(folder, "days.csv")
    with open(table, "w", encoding="utf-8") as file:
        file.write("name,lat,lon," + ",".join(MONTHS) + "\n")
        for year in range(min(years), max(years) + 1):
            months = real_year(years, year, begins)
            if months:
                file.write(f"{year},38,-103," + ",".join(months[m] for m in MONTHS) + "\n")
    run("--stations", table, "--hemisphere", hemisphere, "--years", "0", "--days", days, "--overwrite",
        "--format", "csv")
    found = {}
    for row in csv.DictReader(open(days, encoding="utf-8")):
        found.setdefault(int(row["name"]), {}).setdefault(row["variety"], []).append(row)
    return found


def day_of(text):
    lengths = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    month, day = (int(part) for part in text.split("-"))
    return sum(lengths[:month - 1]) + day - 1


def fault(row):
    if row["growing_days"] == "0":
        return "never matures"
    if float(row["score"]) < 70:
        return row["limit"]
    return "frost" if float(row["frost_risk"]) >= float(row["bolt_risk"]) else "bolting"


def check_result(what, told, dates, days, results):
    variety = told["variety"]
    years = sorted(days)
    expect(f"{what} years", [y["year"] for y in told["years"]], years)
    rows = [[days[year][variety][day] for day in range(365)] for year in years]
    good = np.array([[row["good"] == "1" for row in year] for year in rows])
    tenths = np.array([[round(10 * float(row["score"])) for row in year] for year in rows])
    if told["sow"] is not None:
        fixed = day_of(told["sow"])
        expect(f"{what} good years", told["good"], int(good[:, fixed].sum()))
        for y, year in enumerate(told["years"]):
            row = rows[y][fixed]
            expect(f"{what} {year['year']} good", year["good"], row["good"] == "1")
            expect(f"{what} {year['year']} score", year["score"], float(row["score"]))
            if row["good"] != "1":
                expect(f"{what} {year['year']} fault", year["failed_from"], fault(row))
    first, n = dates
    season = [(first + i) % 365 for i in range(n)]
    best = max(season, key=lambda day: (good[:, day].sum(), tenths[:, day].sum(), -season.index(day)))
    if good[:, best].sum() > 0:
        expect(f"{what} hindsight", (day_of(told["hindsight_sow"]), told["hindsight_good"]),
               (best, int(good[:, best].sum())))
    else:
        expect(f"{what} hindsight", told["hindsight_sow"], None)
    trend = told["trend"]
    if len(years) < LEAST:
        expect(f"{what} trend", trend, None)
    elif told["sow"] is not None:
        expect(f"{what} recent good", trend["recent_good"], int(good[-RECENT:, fixed].sum()))
        expect(f"{what} good before", trend["before_good"], int(good[:-RECENT, fixed].sum()))
        own = [(day_of(y["best_sow"]) - first) % 365 if y["best_sow"] else np.nan for y in told["years"]]
        recent, before = np.array(own[-RECENT:], float), np.array(own[:-RECENT], float)
        shift = np.nanmean(recent) - np.nanmean(before)
        if abs(trend["best_shift_days"] - shift) > 0.0501:
            failures.append(f"{what} shift: {trend['best_shift_days']}, expected {shift}")
        error = np.sqrt(sum(np.nanvar(part, ddof=1) / np.isfinite(part).sum() for part in (recent, before)))
        expect(f"{what} shift beyond chance", trend["shift_beyond_chance"], bool(abs(shift) > 2 * error))
    for y in told["years"]:  # each year's own best day, as site finds it
        expect(f"{what} {y['year']} best day", y["best_sow"], results[y["year"], variety] or None)


compared = 0
for hemisphere, names in STATIONS.items():
    for name in names:
        years = {int(row["year"]): row for row in csv.DictReader(open(record_path, encoding="utf-8"))
                 if row["name"] == name}
        place = json.loads(run("--record", record_path, "--least", "1", "--station", name, "--format", "json",
                               "--hemisphere", hemisphere))["places"][0]
        for season, begins in BEGINS[hemisphere].items():
            days = days_of(hemisphere, name, years, begins)
            table = os.path.join(folder, "years.csv")
            rows = csv.DictReader(io.StringIO(run("--stations", table, "--hemisphere", hemisphere, "--years",
                                                  "0", "--format", "csv")))
            results = {(int(row["name"]), row["variety"]): row["best_sow"] for row in rows
                       if row["season"] == season}
            shift = 182 if hemisphere == "south" else 0
            first, last = {"spring": ("01-01", "05-15"), "summer": ("05-16", "06-30"),
                           "autumn": ("07-01", "12-31")}[season]
            dates = ((day_of(first) + shift) % 365, day_of(last) - day_of(first) + 1)
            for told in place["record"]["results"]:
                if told["season"] == season:
                    check_result(f"{name} {hemisphere} {season} {told['variety']}", told, dates, days, results)
                    compared += 1

print("\n".join(failures[:40]) if failures else f"{compared} results compared")
sys.exit(1 if failures or compared == 0 else 0)
