"""Dates of CF time coordinates by cftime, an independent library: time_points.py TABLE [--write]

Makes tests/tables/time_points.txt anew and compares it with what is there; test_time_axis holds the
program to the table. cftime knows months only as those of the 360_day calendar. Skips where there is
no cftime (Debian python3-cftime)."""

import random
import sys

try:
    import cftime
except ImportError:
    print("skipped: no cftime here")
    sys.exit(77)

CALENDARS = ("standard", "proleptic_gregorian", "julian", "noleap", "all_leap", "360_day")
LENGTHS = {"seconds": 86400, "minutes": 1440, "hours": 24, "days": 1}
ORIGINS = ("1850-01-01", "1961-07-15 06:00:00", "0001-01-01", "1900-3-1")
PER_CALENDAR = 24
HEAD = """# Dates of CF time coordinates (CF Conventions 1.10, section 4.4).
# Source: cftime 1.6.2 (Debian python3-cftime), cftime.num2date, by tests/climate/time_points.py.
#
# value  year  month  day of the month  calendar  units
"""


def rows():
    dice = random.Random(1961)
    for calendar in CALENDARS:
        for i in range(PER_CALENDAR):
            unit = list(LENGTHS)[i % len(LENGTHS)]
            units = f"{unit} since {ORIGINS[i // len(LENGTHS) % len(ORIGINS)]}"
            origin = int(units.split(" since ")[1][:4])
            days = dice.randint(-300, 90000) + (365 * 1500 if origin == 1 else 0)
            yield calendar, units, days * LENGTHS[unit] + LENGTHS[unit] // 4
    for value in (-25, -1, 0, 1, 11, 12, 359, 600):
        yield "360_day", "months since 1961-01-16", value


def table():
    lines = []
    for calendar, units, value in rows():
        date = cftime.num2date(value, units, calendar, only_use_cftime_datetimes=True)
        day = date.day + (date.hour + date.minute / 60 + date.second / 3600) / 24
        lines.append(f"{value} {date.year} {date.month} {day:.6f} {calendar} {units}\n")
    return HEAD + "".join(lines)


if "--write" in sys.argv:
    with open(sys.argv[1], "w", encoding="utf-8") as out:
        out.write(table())
with open(sys.argv[1], encoding="utf-8") as there:
    found = there.read()
expected = table()
print(f"{expected.count(chr(10)) - HEAD.count(chr(10))} dates of cftime {cftime.__version__}")
if found != expected:
    print(f"{sys.argv[1]}: is not what cftime says")
    sys.exit(1)
