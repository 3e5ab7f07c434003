#!/usr/bin/python3
"""The guide's page in a grower's hand: a real browser (headless Chromium) driven by clicks, touch and
keys, asked for the device's location, cut off from the network, printed, and read as a screen reader
reads it. The saved calendar is compared, byte for byte, with `isosow site --format ics`.

check_use.py ISOSOW TMIN TMAX DISTRICTS COLUMN SCRATCH-FOLDER

On a window of the sample island. Exit 0 passed, 1 failed, 77 skipped where there is no chromium, pdfinfo
or GDAL for Python."""

import math
import os
import re
import shutil
import subprocess
import sys
import time

import browser as chromium
import contrast

try:
    import window
except ImportError:  # GDAL's
    window = None

WINDOW = [100, 60, 60, 50]  # column, row, columns, rows
PLACES = [("Öster Mill", 43.95, -149.2), ("Lower Mill", 43.85, -149.1), ("Saltwick", 43.9, -149.0)]
STAMP = 1767312000  # 2026-01-02T00:00:00Z
wrong = []


def check(what, fine):
    if not fine:
        wrong.append(what)


def make_guide(isosow, tmin, tmax, districts, column, scratch):
    common = ["--crop", "napa-cabbage", "--quiet", "--period", "1991-2020"]
    common += window.climate_options(tmin, tmax, WINDOW, scratch)
    out = os.path.join(scratch, "guide")
    record = os.path.join(scratch, "years.csv")
    with open(record, "w", encoding="utf-8") as file:
        file.write("name,lat,lon,year," + ",".join("%s_%d" % (k, m) for k in ("tmin", "tmax") for m in range(1, 13)) + "\n")
        for year in range(2001, 2013):
            months = ["%.1f" % (base - 8 * math.cos(m * math.pi / 6) + 0.2 * (year - 2006)) for base in (8, 17) for m in range(12)]
            file.write("Mill Weather,43.99,-149.25,%d,%s\n" % (year, ",".join(months)))
    subprocess.run([isosow, "guide", "--out", out, "--record", record, "--districts", districts, "--district-name", column, "--maps", "none",
                    "--title", "A window of the island", "--places", window.places_file(PLACES, scratch)] + common,
                   check=True, stderr=subprocess.DEVNULL)
    return os.path.join(out, "index.html"), common


def button(page, text):
    """A selector of the card's button with that text."""
    page.run("document.querySelectorAll('#card button').forEach((b) => { if (b.textContent === '%s') b.id = 'wanted'; })" % text)
    return "#wanted"


def card(page):
    return page.run("document.getElementById('card').innerText")


def heading(page):
    return page.run("document.querySelector('#card h3').textContent")


def search(page, text):
    page.type("#coordinates", text)
    page.key("Enter")


def saved(page, folder):
    """The bytes of the calendar that the card's button saves."""
    for old in os.listdir(folder):
        os.remove(os.path.join(folder, old))
    page.click(button(page, "Save calendar"))
    path, end = os.path.join(folder, "napa-cabbage.ics"), time.monotonic() + 30
    while not os.path.exists(path):
        if time.monotonic() > end:
            return b""
        time.sleep(0.05)
    with open(path, "rb") as file:
        return file.read()


def check_calendar(page, isosow, common, folder, asked):
    address = page.run("location.hash")[4:]
    ours = saved(page, folder)
    # The coordinates are those of the cell's middle.
    where = re.search(rb"GEO:(-?[\d.]+)00;(-?[\d.]+)00\r\n", ours)
    if where is None:
        wrong.append("%s (%s): no calendar: %s" % (asked, address, ours[:200]))
        return 0
    at = b",".join(where.groups()).decode()
    theirs = subprocess.run([isosow, "site", "--format", "ics", "--at", at, "--place", heading(page)] + common, check=True,
                            capture_output=True, env=dict(os.environ, SOURCE_DATE_EPOCH=str(STAMP))).stdout
    check("%s: the calendar saved differs from that of site --at %s" % (asked, at), ours == theirs)
    return ours.count(b"BEGIN:VEVENT")


def check_names(page):
    search(page, "saltwick")
    check("a name in small letters: " + heading(page), heading(page) == "Saltwick")
    check("its address", page.run("location.hash") == "#at=43.9000,-149.0000")
    search(page, "oster")
    check("a name without its marks: " + heading(page), heading(page) == "Öster Mill")
    check("its real years: " + card(page), re.search(
        r"How real years went: record of Mill Weather, \d km away\n.*?years\. The normals promise", card(page), re.S))
    search(page, "mill")
    names = page.run("[...document.querySelectorAll('#card button')].map((b) => b.textContent)")
    check("both mills are offered: %s" % names, names == ["Öster Mill", "Lower Mill"])
    page.click(button(page, "Lower Mill"))
    check("the one that is pressed: " + heading(page), heading(page) == "Lower Mill")
    check("no record, and none is said: " + card(page), "How real years went" not in card(page))
    search(page, "Nowhereby")
    check("an unknown name: " + card(page), "No place of that name" in card(page))


def check_location(page, url):
    def press(permission, at):
        page.send("Browser.setPermission", permission={"name": "geolocation"}, setting=permission)
        page.send("Emulation.setGeolocationOverride", **at)
        page.open(url)
        check("asked before it was pressed", "Latitude" not in card(page) and not page.run("location.hash"))
        page.tap("#here")
        page.wait("document.querySelector('#card h3') && !/Asking the device/.test(document.getElementById('card').innerText)")
        return card(page)
    found = press("granted", {"latitude": 43.95, "longitude": -149.2, "accuracy": 20})
    check("location granted: " + found[:80], "Sow" in found and page.run("location.hash") == "#at=43.9500,-149.2000")
    found = press("granted", {"latitude": 10, "longitude": 10, "accuracy": 20})
    check("location outside: " + found, "outside" in found)
    found = press("denied", {"latitude": 43.95, "longitude": -149.2, "accuracy": 20})
    check("location refused: " + found, "Sow" not in found and len(found) > 20)
    refused = found
    found = press("granted", {})  # no position is to be had
    check("location unavailable: " + found, "Sow" not in found and found != refused)


def check_hands(page, url, isosow, common, folder):
    events = 0
    page.size(390, 844, True)
    page.open(url)
    page.tap("#map", 0.4, 0.6)
    page.wait("document.querySelector('#card .place')")
    box = page.run("(() => { const b = document.querySelector('#card h3').getBoundingClientRect(); return [b.top, b.bottom, innerHeight]; })()")
    check("the card's heading is in view after a tap: %s" % box, 0 <= box[0] and box[1] <= box[2])
    events += check_calendar(page, isosow, common, folder, "a tap")
    page.size(1280, 900)
    page.open(url)
    for _ in range(60):  # by the keyboard alone, to the map and on it
        page.key("Tab")
        if page.run("document.activeElement.id") == "map":
            break
    check("Tab comes to the map", page.run("document.activeElement.id") == "map")
    for key in ("ArrowRight", "ArrowDown", "ArrowRight"):
        page.key(key)
    page.key("Enter")
    page.wait("document.querySelector('#card .place')")
    check("the focus is on the card: " + page.run("document.activeElement.id"), page.run("document.activeElement.id") == "card")
    events += check_calendar(page, isosow, common, folder, "the keyboard")
    for place in ("43.90, -149.30", "43,85; -149,05"):
        search(page, place)
        events += check_calendar(page, isosow, common, folder, place)
    return events


def check_print(page, scratch):
    """The card on one sheet, with the class that its button sets while it prints."""
    page.run("window.print = () => { window.printed = document.body.className; }")
    page.click(button(page, "Print this card"))
    check("the button prints the card", page.run("window.printed") == "card-only")
    path = os.path.join(scratch, "card.pdf")
    page.print(path)
    said = subprocess.run(["pdfinfo", path], check=True, capture_output=True, text=True).stdout
    check("the card on one sheet: " + said, re.search(r"Pages:\s+1\n", said) is not None)
    text = re.sub(r"\s+", " ", subprocess.run(["pdftotext", path, "-"], check=True, capture_output=True, text=True).stdout)
    check("the work is printed", "raw manure" in text and "Save calendar" not in text)
    check("the sheet tells the crop: " + text[:60], text.startswith("Heading Chinese cabbage Saltwick"))
    page.send("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": "dark"}])
    page.print(path)
    page.send("Emulation.setEmulatedMedia", features=[])
    subprocess.run(["pdftoppm", "-r", "20", "-gray", "-singlefile", path, path[:-4]], check=True)
    with open(path[:-4] + ".pgm", "rb") as file:
        shades = file.read()[20:]
    check("paper is white by night too", sum(shades) / len(shades) > 200)
    page.run("window.dispatchEvent(new Event('afterprint'))")


def check_tree(page):
    """What a screen reader finds: names for all that can be used, one first heading, the map's name."""
    nodes = [n for n in page.send("Accessibility.getFullAXTree")["nodes"] if not n.get("ignored")]
    value = lambda node, key: (node.get(key) or {}).get("value")
    roles = {}
    for node in nodes:
        roles.setdefault(value(node, "role"), []).append(value(node, "name") or "")
    for role in ("button", "combobox", "textbox", "link", "application", "region", "table", "Date"):
        check("%s without a name: %s" % (role, roles.get(role)), all(roles.get(role, ["x"])))
    check("a map with a name: %s" % roles.get("application"), any(name.startswith("Map.") for name in roles.get("application", [])))
    levels = [p["value"]["value"] for n in nodes if value(n, "role") == "heading" for p in n["properties"] if p["name"] == "level"]
    check("headings go down by one: %s" % levels, levels[:1] == [1] and levels.count(1) == 1
          and all(b - a <= 1 for a, b in zip(levels, levels[1:])))
    check("main, once", len(roles.get("main", [])) == 1)


def check_ways_on(page, url):
    """The link from the head to the fields, the link that is copied, and a date typed by hand."""
    page.size(390, 844, True)
    page.open(url + "#at=43.9000,-149.0000")
    page.run("scrollTo(0, 0)")
    page.tap(".jump a")
    where = page.run("(() => { const b = document.getElementById('place-h').getBoundingClientRect(); return [b.top, b.bottom, innerHeight, document.activeElement.id, location.hash]; })()")
    check("the head's link leads to the fields: %s" % where, 0 <= where[0] < where[1] <= where[2] and where[3] == "district"
          and where[4] == "#at=43.9000,-149.0000")
    page.run("navigator.clipboard.writeText = (text) => { window.copied = text; return Promise.resolve(); }")
    search(page, "43.95, -149.2")
    page.click(button(page, "Copy link to this place"))
    copied = page.run("window.copied")
    check("the link copied: %s" % copied, copied == url + "#at=43.9500,-149.2000" and "Link copied" in card(page))
    said = heading(page)
    page.open(copied)
    check("it opens the same card: %s, %s" % (said, heading(page)), heading(page) == said)
    top = page.run("(() => { document.querySelector('#card h3').scrollIntoView({block: 'center'}); return scrollY; })()")
    page.run("document.getElementById('coordinates').value = '43.85, -149.05'")
    page.run("document.getElementById('find').requestSubmit()")
    check("a card in view does not make the page jump", page.run("scrollY") == top)
    page.click("#sow-on")
    page.run("document.getElementById('sow-on').focus()")
    for key in "05102027":  # month, day, year, as the browser's own field takes them
        page.send("Input.dispatchKeyEvent", type="char", text=key)
    answer = page.run("document.getElementById('sow-on-answer').innerText")
    check("a date typed: %s, %s" % (page.run("document.getElementById('sow-on').value"), answer), re.match(r"(On )?10 May", answer) is not None)
    small = page.run("[...document.querySelectorAll('a, button, select, input, summary')].filter((x) => x.offsetParent && !x.classList.contains('skip'))"
                     ".map((x) => [x.id || x.textContent, x.getBoundingClientRect().height]).filter((x) => x[1] < 44)")
    check("too small for a finger: %s" % small, small == [])


def check_parts(page, url):
    """What is no text has a contrast of 3 to 1 to what stands beside it, in both modes; on the map a line
    stands between any two classes."""
    least = []
    for mode in ("light", "dark"):
        page.send("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": mode}])
        page.open(url + "#at=43.9000,-149.0000")
        page.key("Tab")
        found = page.run(contrast.PARTS_SCRIPT)
        kinds = {re.sub(r" of .*", "", part[0]) for part in found}
        check("kinds of parts: %s" % kinds, len(found) > 50 and {"edge", "focus ring", "bar", "mark", "lines", "hatch"} <= kinds)
        failed, ratio = contrast.failures(found)
        least.append(ratio)
        for one in failed:
            check("%s: %.2f to 1: %s %s beside %s" % ((mode,) + one), False)
        for variety in page.run("[...document.getElementById('variety').options].map((x) => x.value)"):
            page.run("(() => { const v = document.getElementById('variety'); v.value = '%s'; v.dispatchEvent(new Event('change')); })()" % variety)
            bare, lines = page.run(contrast.LINES_SCRIPT)
            check("%s, map of %s: %d places without a line between classes, %d with" % (mode, variety, bare, lines), bare == 0 and lines > 100)
    page.send("Emulation.setEmulatedMedia", features=[])
    return min(least)


def main():
    if chromium.PROGRAM is None or shutil.which("pdfinfo") is None or window is None:
        print("skipped: no chromium, pdfinfo or GDAL for Python")
        return 77
    isosow, tmin, tmax, districts, column, scratch = sys.argv[1:7]
    scratch = os.path.abspath(scratch)
    shutil.rmtree(scratch, ignore_errors=True)
    folder = os.path.join(scratch, "saved")
    os.makedirs(folder)
    path, common = make_guide(isosow, tmin, tmax, districts, column, scratch)
    url = "file://" + path
    page = chromium.Browser()
    try:
        page.send("Page.addScriptToEvaluateOnNewDocument", source="Date.now = () => %d000;" % STAMP)
        page.send("Browser.setDownloadBehavior", behavior="allow", downloadPath=folder)
        page.send("Network.emulateNetworkConditions", offline=True, latency=0, downloadThroughput=0, uploadThroughput=0)
        events = check_hands(page, url, isosow, common, folder)
        check("calendars of %d events" % events, events > 60)
        check_tree(page)
        for width in (1280, 390):
            page.size(width, 900, width < 500)
            page.picture(os.path.join(scratch, "page_%d.png" % width))
        page.size(1280, 900)
        check_names(page)
        search(page, "Saltwick")
        check_print(page, scratch)
        check_location(page, url)
        check_ways_on(page, url)
        asked = [e["params"]["request"]["url"] for e in page.events if e["method"] == "Network.requestWillBeSent"]
        check("requests: %s" % asked, all(re.match(r"(file|data|blob):", x) or x == "about:blank" for x in asked))
        said = [e["params"] for e in page.events if e["method"] in ("Runtime.exceptionThrown", "Log.entryAdded")]
        check("the console: %s" % said, said == [])
        least = check_parts(page, url)
    finally:
        page.close()
    print("\n".join(wrong))
    print("%d events in calendars, least contrast of parts %.2f, %d failures" % (events, least, len(wrong)))
    return 1 if wrong else 0


sys.exit(main())
