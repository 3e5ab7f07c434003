#!/usr/bin/env python3
"""Every sowing day of the built-in sheets against published calendars and harvests.

published_calendars.py ISOSOW TABLES SCRATCH [PLACES.csv]
TABLES holds published_calendars.txt, which says what is asked, and station_normals.txt. Rows whose place
is in no table at hand are left out. Exit 0 good, 1 not."""

import csv
import datetime
import os
import subprocess
import sys

HEADER = ["name", "lat", "lon"] + [f"{kind}_{m}" for kind in ("tmin", "tmax") for m in range(1, 13)]


def day_of(text):
    return (datetime.date(2025, int(text[:2]), int(text[3:])) - datetime.date(2025, 1, 1)).days


def days_between(first, last):
    return [(first + k) % 365 for k in range((last - first) % 365 + 1)]


def rows_of(path):
    with open(path, encoding="utf-8") as file:
        return [line.split() for line in file if line.strip() and not line.startswith("#")]


def places(tables, others):
    found = {}
    for row in rows_of(os.path.join(tables, "station_normals.txt")):
        found[" ".join(row[25:])] = [row[0], "0"] + row[1:25]
    if others and os.path.exists(others):
        with open(others, encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                found[row["name"]] = [row[key] for key in HEADER[1:]]
    return found


def find_place(known, wanted):
    if not wanted.endswith("*"):
        return known[wanted]
    start = wanted[:-1].replace("_", " ")
    return next((normals for name, normals in known.items() if name.startswith(start)), None)


def sowing_days(isosow, scratch, crop, normals, start):
    """{day of the year: [row of each variety]}"""
    stations, days = os.path.join(scratch, "stations.csv"), os.path.join(scratch, "days.csv")
    with open(stations, "w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([HEADER, ["place"] + normals])
    subprocess.run([isosow, "site", "--quiet", "--overwrite", "--crop", crop, "--stations", stations,
                    "--format", "csv", "--start", start, "--days", days],
                   check=True, stdout=subprocess.DEVNULL)
    found = {}
    with open(days, encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            found.setdefault(day_of(row["sow"]), []).append(row)
    return found


def agrees(check, wanted, sown, rows):
    """(whether the days `sown` are as `wanted`, what they are)"""
    good = [any(row["good"] == "1" for row in rows[day]) for day in sown]
    if check == "sown":
        return sum(good) >= float(wanted) * len(good), f"{sum(good)} of {len(good)} days are good"
    if check == "never":
        return not any(good), f"{sum(good)} of {len(good)} days are good"
    first, last = wanted.split("..")
    if check == "days":
        taken = [int(row["growing_days"]) for day in sown for row in rows[day] if row["good"] == "1"]
        said = f"{min(taken, default=0)} to {max(taken, default=0)} days"
        return bool(taken) and int(first) <= min(taken) and max(taken) <= int(last), said
    within = set(days_between(day_of(first), day_of(last)))
    cuts = sorted(day_of(row["harvest"]) for day in sown for row in rows[day] if row["harvest"])
    each = all(any(row["harvest"] and day_of(row["harvest"]) in within for row in rows[day])
               for day in sown)
    middle = datetime.date(2025, 1, 1) + datetime.timedelta(cuts[len(cuts) // 2])
    return each and cuts[len(cuts) // 2] in within, f"cut about {middle:%d %B}, {cuts[0]}..{cuts[-1]}"


def main():
    isosow, tables, scratch = sys.argv[1:4]
    known = places(tables, sys.argv[4] if len(sys.argv) > 4 else None)
    os.makedirs(scratch, exist_ok=True)
    answers, asked, wrong = {}, 0, 0
    for crop, place, start, check, first, last, wanted, *source in rows_of(
            os.path.join(tables, "published_calendars.txt")):
        normals = find_place(known, place)
        if normals is None:
            print(f"left out, no normals here: {crop} {place} {check}")
            continue
        key = crop, place, start
        if key not in answers:
            answers[key] = sowing_days(isosow, scratch, crop, normals, start)
        right, said = agrees(check, wanted, days_between(day_of(first), day_of(last)), answers[key])
        print("ok  " if right else "NOT ", *key, check, first, last, wanted, "|", said, "|", *source)
        asked, wrong = asked + 1, wrong + (not right)
    print(f"{asked} asked, {wrong} not as published")
    sys.exit(1 if wrong or asked < 4 else 0)


if __name__ == "__main__":
    main()
