#!/usr/bin/python3
"""What `isosow site` says a season without a window would take, held against asking for it: under each
shelter (--grown-under), with the other start (--start), with warmer and cooler months (--warmer).

site_openings.py ISOSOW STATION_NORMALS.txt SCRATCH-FOLDER

The first of these that gives some type a window, in the order of docs/method.md, must be the one that
is said, with its type, window and years; where none does, nothing may be said to. Real normals, each
also moved as a whole, so that every kind of answer occurs. Exit 0 good, 1 not."""

import csv
import io
import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor

MOVES = (-8, -3, 0, 3, 5)
STEPS = [sign * step / 2 for step in range(1, 13) for sign in (-1, 1)]
SHELTERS = ["row-cover", "shade-net"]  # of the field, in the sheet's order; the nursery is for young plants only
wrong = []


def write_table(source, path):
    with open(source, encoding="utf-8") as file, open(path, "w", encoding="utf-8") as table:
        table.write("name,lat,lon," + ",".join(f"{what}_{m}" for what in ("tmin", "tmax") for m in range(1, 13)))
        for line in file:
            words = line.split()
            if not words or words[0] == "#":
                continue
            for move in MOVES:
                values = ",".join("%.2f" % (float(x) + move) for x in words[1:25])
                table.write(f"\n{words[25]} {move},{words[0]},0,{values}")


def write_sheet(isosow, path):
    """The built-in sheet with a shade over the field more, as nurseries have it."""
    text = subprocess.run([isosow, "crop", "show", "napa-cabbage"], check=True, capture_output=True, text=True).stdout
    assert text.count("\nchilling:") == 1  # what follows the shelters
    with open(path, "w", encoding="utf-8") as file:
        file.write(text.replace("\nchilling:", "  - {shelter: shade-net, cool_to: 28, cool_most: 4}\n\nchilling:"))


def run(isosow, table, *options):
    sheet = os.path.join(os.path.dirname(table), "sheet.yaml")
    return subprocess.run([isosow, "site", "--quiet", "--crop", sheet, "--stations", table, *options],
                          check=True, capture_output=True, text=True).stdout


def windows(isosow, table, *options):
    """{(place, season): {variety: row with a window}}"""
    found = {}
    for row in csv.DictReader(io.StringIO(run(isosow, table, "--format", "csv", *options))):
        there = found.setdefault((row["name"], row["season"]), {})
        if row["window_days"] != "0":
            there[row["variety"]] = row
    return found


def main():
    isosow, source, scratch = sys.argv[1:4]
    os.makedirs(scratch, exist_ok=True)
    table = os.path.join(scratch, "stations.csv")
    write_table(source, table)
    write_sheet(isosow, os.path.join(scratch, "sheet.yaml"))
    ways = [({"by": "shelter", "shelter": name}, ["--grown-under", name]) for name in SHELTERS]
    ways += [({"by": "start", "start": "direct"}, ["--start", "direct"])]
    ways += [({"by": "shift", "shift": shift}, ["--warmer", str(shift)]) for shift in STEPS]
    with ThreadPoolExecutor(2) as pool:
        answers = list(pool.map(lambda way: windows(isosow, table, *way[1]), ways))
    as_it_is = windows(isosow, table)
    seen = {}
    for place in json.loads(run(isosow, table, "--format", "json"))["places"]:
        for pick in place["picks"]:
            at, said = (place["name"], pick["season"]), pick["opening"]
            if as_it_is[at]:
                if said is not None:
                    wrong.append(f"{at}: has a window, yet {said}")
                continue
            first = next((i for i, found in enumerate(answers) if found[at]), None)
            wanted = {"by": "nothing"} if first is None else ways[first][0]
            seen[wanted["by"]] = seen.get(wanted["by"], 0) + 1
            if any(said[key] != value for key, value in wanted.items()):
                wrong.append(f"{at}: {said}, but {wanted} opens it")
                continue
            if first is None:
                continue
            row = answers[first][at].get(said["variety"])
            if row is None or [said["sow_from"], said["sow_to"], str(said["years"])] != [
                    row["sow_from"], row["sow_to"], row["years"]]:
                wrong.append(f"{at}: {said}, but {row}")
    print(f"seasons without a window, by what opens them: {seen}")
    if not {"shelter", "shift", "nothing"} <= set(seen):
        wrong.append("not every kind of answer occurs")
    for line in wrong:
        print("wrong:", line)
    return 1 if wrong else 0


sys.exit(main())
