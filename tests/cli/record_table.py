"""Real years against ten equally likely ones, by the program alone: record_table.py ISOSOW RECORD.csv
FOLDER own|fixed

The table of docs/method.md (5,455 real station years of 139 Colorado stations): on the sowing days
that get so many of ten years by the normals, the share of real years in which they are good. It was
worked out with a model of its own before this program was written. Here isosow normals makes the
normals and isosow site --days says of every sowing day its years; then every real year becomes a
station of its own, and site --years 0 --days says whether the day is good in it. RECORD.csv: all
stations (held to the table), or a share of them (held to the order of its shares).
own: with each station's own year spread; fixed: 1.3 K for all, as in the table."""

import csv
import os
import subprocess
import sys

import numpy as np

program, record_path, folder, spread = sys.argv[1:5]
if not os.path.exists(record_path):
    print(f"skipped: no {record_path}")
    sys.exit(77)
TABLE = {10: (8246, .97), 9: (7261, .89), 8: (4843, .78), 7: (4168, .67), 6: (3490, .55), 5: (1908, .47), 4: (183, .43)}
OF_ALL = 139
MONTHS = [f"{kind}_{m}" for kind in ("tmin", "tmax") for m in range(1, 13)]
failures = []
os.makedirs(folder, exist_ok=True)


def run(*words):
    done = subprocess.run([program, *words], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"{words}: exit {done.returncode}: {done.stderr}")
    return done.stdout


def sowing_days(table, column, *words):
    """{name: [value of the column, variety after variety, day after day]}"""
    path = os.path.join(folder, "days.csv")
    run("site", "--quiet", "--crop", "napa-cabbage", "--stations", table, "--hemisphere", "north", "--days", path,
        "--overwrite", "--format", "csv", *words)
    found = {}
    with open(path, encoding="utf-8") as file:
        reader = csv.reader(file)
        at = next(reader).index(column)
        for row in reader:
            found.setdefault(row[0], []).append(int(row[at]))
    return found


def write(name, header, rows):
    path = os.path.join(folder, name)
    with open(path, "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(header)
        writer.writerows(rows)
    return path


stations = {}
for row in csv.DictReader(open(record_path, encoding="utf-8")):
    stations.setdefault(row["id"], []).append(row)
normals = run("normals", "--quiet", "--record", record_path, "--least", "1").splitlines()
rows = list(csv.DictReader(normals))
columns = ["lat", "lon"] + (["year_spread"] if spread == "own" else []) + MONTHS
table = write("normals.csv", ["name"] + columns, [[row["id"]] + [row[c] for c in columns] for row in rows])
promised = sowing_days(table, "years", "--year-spread", "1.3")
days, real = dict.fromkeys(range(11), 0), dict.fromkeys(range(11), 0.0)
for id, years in promised.items():
    table = write("years.csv", ["name", "lat", "lon"] + MONTHS,
                  [[row["year"], row["lat"], row["lon"]] + [row[m] for m in MONTHS] for row in stations[id]])
    good = np.array(list(sowing_days(table, "good", "--years", "0").values()))
    share = good.mean(axis=0)
    years = np.array(years)
    for n in range(1, 11):
        days[n] += int((years == n).sum())
        real[n] += float(share[years == n].sum())
shares = {n: real[n] / days[n] for n in days if days[n] > 0}
for n in sorted(shares, reverse=True):
    print(f"{n:2d} of ten: {days[n]:5d} days, good in {shares[n]:.3f} of the real years")
for n in range(6, 11):
    if not shares[n] > shares[n - 1]:
        failures.append(f"the share at {n} is not above that at {n - 1}")
if len(promised) == OF_ALL and spread == "fixed":
    for n, (count, share) in TABLE.items():
        # Normals here have two decimals; days near a threshold may fall to either side.
        if abs(days[n] - count) > max(0.02 * count, 4) or abs(shares[n] - share) > 0.01:
            failures.append(f"{n} of ten: {days[n]} days, {shares[n]:.3f}; the table has {count}, {share}")
print("\n".join(failures))
sys.exit(1 if failures else 0)
