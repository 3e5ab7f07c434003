#!/usr/bin/python3
"""The QR codes of the print, read from its rendered pages by an independent reader (zbarimg), measured
against ISO/IEC 18004, and followed into the page in a real browser.

check_codes.py ISOSOW TMIN TMAX DISTRICTS COLUMN SCRATCH-FOLDER

On a window of the sample island, on paper of half A4's size, where pages are shrunk most. Exit 0 passed, 1
failed, 77 skipped where there is no zbarimg, pdftoppm, chromium or GDAL for Python."""

import os
import re
import shutil
import subprocess
import sys

import browser as chromium

try:
    from osgeo import gdal

    import window
except ImportError:
    gdal = None

WINDOW = [100, 60, 24, 24]  # column, row, columns, rows
PLACE = ("Mill & Ford", 43.97, -149.28)
ADDRESS = "https://extension.example/guides/long-named-island-of-many-districts/"
DPI = 300
# ISO/IEC 18004, table 7 [from memory]: octets that a code of version 1, 2, ... holds at correction M.
OCTETS = [14, 26, 42, 62, 84, 106, 122, 152, 180, 213, 251, 287, 331, 362]
QUIET, LEAST_MM = 4, 0.4  # modules; mm a module, the size that is promised
CROPS = ("napa-cabbage", "broccoli")
wrong = []


def check(what, fine):
    if not fine:
        wrong.append(what)


def make_guide(isosow, tmin, tmax, districts, column, scratch):
    out = os.path.join(scratch, "guide")
    subprocess.run([isosow, "guide", "--out", out, "--districts", districts, "--district-name", column, "--maps", "none",
                    "--quiet", "--crop", CROPS[0], "--crop", CROPS[1], "--places", window.places_file([PLACE], scratch),
                    "--size", "210x148", "--page-address", ADDRESS] + window.climate_options(tmin, tmax, WINDOW, scratch),
                   check=True, stderr=subprocess.DEVNULL)
    return out


def captions(pdf):
    """{page: [(x, y)]} of the lines below the codes, their upper left corners in points."""
    text = subprocess.run(["pdftotext", "-bbox", pdf, "-"], check=True, capture_output=True, text=True).stdout
    found = {}
    for number, page in enumerate(text.split("<page ")[1:], 1):
        words = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>(\w+)<', page)
        places = [(float(x), float(y)) for (x, y, word), after in zip(words, words[1:]) if word == "opens" and after[2] in ("the", "this")]
        if places:
            found[number] = places
    return found


def measure(picture, x, y):
    """Left, top, right, bottom of a code's black, and its module, in pixels; x, y: just below its left edge.
    The lower left finder pattern is seven modules of black along both edges (ISO/IEC 18004, 6.3.3)."""
    dark = picture < 128
    bottom = next(row for row in range(y, 0, -1) if dark[row - 1, x + 6:x + 18].all())
    left = next(col for col in range(x + 9, 0, -1) if not dark[bottom - 3, col - 1])
    finder = next(n for n in range(1, 1000) if not dark[bottom - 3, left + n])
    module = finder / 7
    rows = dark[:, left:left + finder].any(axis=1)
    top = next(row for row in range(bottom, 0, -1) if not rows[row - int(3 * module):row].any())
    return left, top, left + bottom - top, bottom, module


def codes_of(pdf, scratch):
    """The links of all codes, page by page; each code is measured on the way."""
    found, stem = [], os.path.join(scratch, "page")
    for number, places in captions(pdf).items():
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", "-f", str(number), "-l", str(number), pdf, stem], check=True)
        picture = gdal.Open(stem + ".pgm").ReadAsArray()
        texts = subprocess.run(["zbarimg", "-q", "--raw", "--nodbus", stem + ".pgm"], capture_output=True, text=True).stdout.split()
        where = "%s, page %d" % (os.path.basename(pdf), number)
        check("%s: %s for %d codes" % (where, texts, len(places)), len(texts) == len(places))
        found += texts
        for x, y in places:
            left, top, right, bottom, finder = measure(picture, int(x / 72 * DPI), int(y / 72 * DPI))
            counts = {17 + 4 * next(i + 1 for i, most in enumerate(OCTETS) if len(text) <= most) for text in texts}
            modules = min(counts, key=lambda n: abs((bottom - top) / n - finder))
            module = (bottom - top) / modules
            check("%s: %d modules in %d pixels, the finder's are %.2f" % (where, modules, bottom - top, finder), abs(module - finder) < 0.2)
            check("%s: modules of %.3f mm" % (where, module / DPI * 25.4), module / DPI * 25.4 >= LEAST_MM - 0.005)
            quiet, edge = int(QUIET * module) - 1, 2  # pixels half black along the edges
            around = picture[top - quiet:bottom + quiet, left - quiet:right + quiet].copy()
            around[quiet - edge:edge - quiet, quiet - edge:edge - quiet] = 255
            check("%s: something in the quiet zone" % where, around.min() >= 250)
            inside = picture[top:bottom, left:right]
            check("%s: not black on white" % where, inside.min() <= 5 and inside.max() >= 250)
    os.remove(stem + ".pgm")
    return found


def check_way(page, url, link, crop, heading):
    """The link opens that crop, and the card of that heading, in view."""
    page.open(url + link[len(ADDRESS):])
    shown, said = page.run(
        "(() => { const seen = [...document.querySelectorAll('.crop')].filter((x) => !x.hidden), card = seen[0].querySelector('.card h3');"
        " const box = card && card.getBoundingClientRect();"
        " return [seen.map((x) => x.id), card ? [card.textContent, box.top >= 0 && box.bottom <= innerHeight] : null]; })()")
    check("%s shows %s" % (link, shown), shown == ["guide" + ("" if crop == CROPS[0] else "-" + crop)])
    check("%s opens %s, not %s" % (link, said, heading), said == (heading and [heading, True]))


def main():
    if gdal is None or chromium.PROGRAM is None or not all(map(shutil.which, ("zbarimg", "pdftoppm", "pdftotext"))):
        print("skipped: no zbarimg, poppler, chromium or GDAL for Python")
        return 77
    isosow, tmin, tmax, districts, column, scratch = sys.argv[1:7]
    scratch = os.path.abspath(scratch)
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    out = make_guide(isosow, tmin, tmax, districts, column, scratch)
    handouts = codes_of(os.path.join(out, "handouts.pdf"), scratch)
    guide = codes_of(os.path.join(out, "guide.pdf"), scratch)
    for link in handouts + guide:
        check(link, re.fullmatch(re.escape(ADDRESS) + r"#(at=-?\d+\.\d{4},-?\d+\.\d{4}&)?crop=(%s)" % "|".join(CROPS), link))
    text = re.sub(r"\s+", " ", subprocess.run(["pdftotext", os.path.join(out, "guide.pdf"), "-"], check=True, capture_output=True, text=True).stdout)
    check("the address in words", "On the web: " + ADDRESS in text)
    check("a code on page 1 of each crop's print", [link for link in guide if "#at" not in link] == [ADDRESS + "#crop=" + crop for crop in CROPS])
    page = chromium.Browser()
    try:
        page.size(390, 844, True)
        url = "file://" + os.path.join(out, "index.html")
        name, lat, lon = PLACE
        for crop in CROPS:
            named = "%s#at=%.4f,%.4f&crop=%s" % (ADDRESS, lat, lon, crop)
            check("%s on a handout and in the guide" % named, named in handouts and named in guide)
            check_way(page, url, named, crop, name)
            check_way(page, url, ADDRESS + "#crop=" + crop, crop, None)
        page.open(url + "#crop=" + CROPS[1])
        page.tap(".jump a")
        check("the head's link leads to the crop that is shown", page.run("document.activeElement.id") == "district-" + CROPS[1])
        number, typical = next((i, link) for i, link in enumerate(handouts, 1) if "#at" in link and "%.4f" % lat not in link)
        title = subprocess.run(["pdftotext", "-f", str(number), "-l", str(number), os.path.join(out, "handouts.pdf"), "-"],
                               check=True, capture_output=True, text=True).stdout.split("\n")[0]
        check_way(page, url, typical, typical.split("=")[-1], title)
    finally:
        page.close()
    print("\n".join(wrong))
    print("%d codes in handouts, %d in the guide, %d failures" % (len(handouts), len(guide), len(wrong)))
    return 1 if wrong else 0


sys.exit(main())
