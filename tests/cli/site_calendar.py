#!/usr/bin/python3
"""The .ics of `isosow site` read by an independent parser (python3-icalendar) and against RFC 5545.

site_calendar.py ISOSOW STATIONS.csv
Exit 0 good, 1 not, 77 skipped where the parser is absent."""

import csv
import datetime
import json
import os
import re
import subprocess
import sys
import tempfile

try:
    import icalendar
except ImportError as missing:
    print("skipped:", missing)
    sys.exit(77)

NAME = 'Öster "Hög", by; the \\ mill, 東京東京東京東京東京東京東京東京東京東京東京東京東京東京'
TEST_DAYS = 7  # the sheet's "Begin to test by hand" comes so long before the cut
STAMP = 1767312000  # 2026-01-02T00:00:00Z


def run(isosow, stations, shape, station, *options):
    words = [isosow, "site", "--quiet", "--crop", "napa-cabbage", "--stations", stations, "--station",
             station, "--place", NAME, "--format", shape, *options]
    return subprocess.run(words, capture_output=True, check=True,
                          env=dict(os.environ, SOURCE_DATE_EPOCH=str(STAMP))).stdout


def check(condition, what):
    if not condition:
        print("failed:", what)
        sys.exit(1)


def told_rows(isosow, stations, station):
    """The rows of the seasons' picks that are not risky, each variety and window once."""
    place = json.loads(run(isosow, stations, "json", station))["places"][0]
    picks = {(pick["variety"], pick["season"]) for pick in place["picks"] if pick["variety"] and not pick["risky"]}
    told = {}
    for row in place["results"]:
        if (row["variety"], row["season"]) in picks:
            told.setdefault((row["variety"], row["sow_from"], row["sow_to"]), row)
    return list(told.values())


def check_nothing_to_sow(isosow):
    """A place where nothing gets ready is a valid calendar all the same."""
    months = range(1, 13)
    with tempfile.TemporaryDirectory() as folder:
        table = os.path.join(folder, "ice.csv")
        with open(table, "w", encoding="utf-8") as file:
            file.write("name,lat,lon," + ",".join(f"{what}_{m}" for what in ("tmin", "tmax") for m in months))
            file.write("\nIce,80,0," + ",".join(["-20"] * 12 + ["-10"] * 12) + "\n")
        calendar = icalendar.Calendar.from_ical(run(isosow, table, "ics", "Ice"))
    check(not calendar.errors, calendar.errors)
    # RFC 5545, 3.6: one component at least
    check([part.name for part in calendar.subcomponents] == ["VJOURNAL"], "one entry, no event")
    entry = calendar.subcomponents[0]
    check(entry["UID"] and entry["DTSTAMP"] and "nothing to sow" in str(entry["SUMMARY"]), "it says why")


def main():
    isosow, stations = sys.argv[1:3]
    with open(stations, encoding="utf-8") as file:
        names = [row["name"] for row in csv.DictReader(file)]
    alarms = events_seen = 0
    for station in names:
        text = run(isosow, stations, "ics", station)
        check(text == run(isosow, stations, "ics", station), "the same bytes again")
        # RFC 5545, 3.1: CRLF, at most 75 octets a line, no character split
        check(text.endswith(b"\r\n") and b"\n" not in text.replace(b"\r\n", b""), "CRLF only")
        for line in text.split(b"\r\n"):
            check(len(line) <= 75, "75 octets")
            line.decode("utf-8")
        calendar = icalendar.Calendar.from_ical(text)
        check(calendar["VERSION"] == "2.0" and calendar["PRODID"], "VERSION and PRODID")
        check(not calendar.errors, calendar.errors)
        events = calendar.walk("VEVENT")
        check(len({str(event["UID"]) for event in events}) == len(events), "UIDs differ")
        sown, firsts, lasts, rings = set(), [], [], []
        for event in events:
            check(not event.errors, event.errors)
            check(event["DTSTAMP"].dt == datetime.datetime.fromtimestamp(STAMP, datetime.timezone.utc),
                  "SOURCE_DATE_EPOCH is the stamp")
            start, end = event["DTSTART"].dt, event["DTEND"].dt
            check(type(start) is datetime.date and type(end) is datetime.date and start < end, "all day")
            check(event["RRULE"]["FREQ"] == ["YEARLY"], "yearly")
            check(str(event["LOCATION"]) == NAME, ("the name survives", str(event["LOCATION"])))
            title = str(event["SUMMARY"])
            check(len(title) <= 90, ("short", title))
            last = end - datetime.timedelta(days=1)
            span = (start.strftime("%m-%d"), last.strftime("%m-%d"))
            # Six weeks at most lie across a calendar; what is longer has a first and a last day.
            check((last - start).days < 42, ("no banner of months", title, span))
            if re.match(r"Sow .* \(\w+\), best ", title):
                sown.add(span)
            elif re.match(r"Sow .* from now on, best ", title):
                firsts.append(span[0])
            elif title.startswith("Last day to sow "):
                lasts.append(span[0])
            inner = event.walk("VALARM")
            if inner:
                check(len(inner) == 1 and inner[0]["TRIGGER"].dt == datetime.timedelta(hours=-5), "the evening before")
                check(inner[0]["ACTION"] == "DISPLAY" and inner[0]["DESCRIPTION"], "alarm that shows")
                rings.append(span[0])
                alarms += 1
        sown |= set(zip(firsts, lasts))
        wanted, wanted_rings = set(), []
        for row in told_rows(isosow, stations, station):
            wanted.add((row["sow_from"], row["sow_to"]))
            test = datetime.datetime.strptime("2025-" + row["harvest"], "%Y-%m-%d") - datetime.timedelta(days=TEST_DAYS)
            wanted_rings += [row["best_sow"], row["harvest"], test.strftime("%m-%d")]
            wanted_rings += [row["transplant"]] if row["transplant"] else []
        check(sown == wanted, ("the windows of the picks", sown, wanted))
        check(sorted(rings) == sorted(wanted_rings), ("best day, transplanting, first test, cut", rings, wanted_rings))
        events_seen += len(events)
        uids = [str(event["UID"]) for event in events]
        warmer = icalendar.Calendar.from_ical(run(isosow, stations, "ics", station, "--spread", "2.9"))
        same = set(uids) & {str(event["UID"]) for event in warmer.walk("VEVENT")}
        check(not uids or same, "UIDs do not depend on dates")
    check(alarms > 8, "there was something to read")
    check_nothing_to_sow(isosow)
    print(f"{len(names)} calendars, {events_seen} events, {alarms} alarms")


main()
