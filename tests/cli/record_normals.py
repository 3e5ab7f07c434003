"""Normals and year spread of stations against NumPy: record_normals.py ISOSOW RECORD.csv [STATIONS.csv]

RECORD.csv: single years of Colorado stations (tests/data/colorado/README.md). Every station's
normals and year spread are computed once more with NumPy (nanmean; nanstd with n - 1), under the
completeness of WMO-No. 1203 (2017): 80 % of the years. STATIONS.csv: normals 1961-1990 made by R
from the same source's months, with the months of incomplete years that the record leaves out; so
only stations with all thirty years must agree, and they must agree to the second decimal.
Then a synthetic record whose answer is known, on both sides of the equator."""

import csv
import io
import os
import subprocess
import sys
import tempfile

import numpy as np

program, record_path = sys.argv[1:3]
if not os.path.exists(record_path):
    print(f"skipped: no {record_path}")
    sys.exit(77)
failures = []


def run(*words):
    done = subprocess.run([program, "normals", "--quiet", *words], capture_output=True, text=True, check=False)
    if done.returncode != 0:
        sys.exit(f"{words}: exit {done.returncode}: {done.stderr}")
    return {row.get("id") or row["name"]: row for row in csv.DictReader(io.StringIO(done.stdout))}


def check(what, found, expected, tolerance):
    if not abs(found - expected) <= tolerance:
        failures.append(f"{what}: {found}, expected {expected:.4f}")


def months(row, kind):
    return np.array([float(row[f"{kind}_{m}"] or "nan") for m in range(1, 13)])


def read(path):
    stations = {}
    for row in csv.DictReader(open(path, encoding="utf-8")):
        stations.setdefault(row["id"], []).append(row)
    return stations


def against_numpy(first, last, least):
    told = run("--record", record_path, "--from", str(first), "--to", str(last), "--least", str(least))
    years = last - first + 1
    compared = 0
    for name, rows in read(record_path).items():
        rows = [row for row in rows if first <= int(row["year"]) <= last]
        enough = 100 * len(rows) >= least * years  # this record has whole years only
        if enough != (name in told):
            failures.append(f"{name}: {len(rows)} of {years} years, in the answer: {name in told}")
        if not enough or name not in told:
            continue
        lower = np.array([months(row, "tmin") for row in rows])
        upper = np.array([months(row, "tmax") for row in rows])
        for m in range(12):
            check(f"{name} tmin_{m + 1}", float(told[name][f"tmin_{m + 1}"]), np.nanmean(lower[:, m]), 0.00501)
            check(f"{name} tmax_{m + 1}", float(told[name][f"tmax_{m + 1}"]), np.nanmean(upper[:, m]), 0.00501)
        spread = np.nanstd((lower + upper) / 2, axis=0, ddof=1)[3:10].mean()
        check(f"{name} year_spread", float(told[name]["year_spread"]), spread, 0.00501)
        if told[name]["period"] != f"{first}-{last}":
            failures.append(f"{name}: period {told[name]['period']}")
        compared += 1
    return compared


compared = against_numpy(1961, 1990, 80) + against_numpy(1951, 1997, 60)
if compared < 20:
    failures.append(f"only {compared} stations compared")

if len(sys.argv) > 3:
    told = run("--record", record_path, "--from", "1961", "--to", "1990", "--least", "100")
    normals = {row["id"]: row for row in csv.DictReader(open(sys.argv[3], encoding="utf-8"))}
    whole = [id for id in told if id in normals]
    for id in whole:
        for key in [f"{kind}_{m}" for kind in ("tmin", "tmax") for m in range(1, 13)]:
            check(f"{id} {key} of the station normals", float(told[id][key]), float(normals[id][key]), 0.0051)
    print(f"{len(whole)} stations with all thirty years agree with the source's own normals")
    if not whole:
        failures.append("no station with all thirty years")

# Ten years that differ by -0.9 to +0.9 K, the same in each month, times the month's number: the mean
# is the base, the standard deviation of each month its number times that of the ten offsets.
offsets = np.arange(10) * 0.2 - 0.9
deviation = offsets.std(ddof=1)
lines = ["name,lat,lon,year," + ",".join(f"{k}_{m}" for k in ("tmin", "tmax") for m in range(1, 13))]
for name, latitude in (("Above", 40), ("Below", -40)):
    for year, offset in enumerate(offsets):
        cells = [f"{base + m * offset:.3f}" for base in (4, 14) for m in range(1, 13)]
        lines.append(f"{name},{latitude},10,{2001 + year}," + ",".join(cells))
folder = tempfile.TemporaryDirectory()
synthetic = os.path.join(folder.name, "synthetic.csv")
with open(synthetic, "w", encoding="utf-8") as file:
    file.write("\n".join(lines) + "\n")
told = run("--record", synthetic)
for name, growing in (("Above", range(4, 11)), ("Below", (10, 11, 12, 1, 2, 3, 4))):
    for m in range(1, 13):
        check(f"{name} tmin_{m}", float(told[name][f"tmin_{m}"]), 4.0, 1e-9)
        check(f"{name} tmax_{m}", float(told[name][f"tmax_{m}"]), 14.0, 1e-9)
    check(f"{name} year_spread", float(told[name]["year_spread"]), np.mean(growing) * deviation, 0.00501)

print("\n".join(failures) if failures else f"{compared} stations compared with NumPy")
sys.exit(1 if failures else 0)
