#!/usr/bin/env python3
"""A language made up from the sentences in src/words, to see that none escapes translation and that
every page survives longer words in other letters.

    pseudo_language.py PROGRAM SOURCE SCRATCH KIND    KIND: card, chart, map, compare, guide, wide-card

Each template becomes Greek and Cyrillic letters, half as long again; its arguments stay. The crop
sheet of the test is in Georgian, its ids begin with q. So whatever is left in Latin letters is a name
(allowed below) or a sentence that stands in the code. Exits 1 with what escaped; 77 without
xgettext and msgfmt (Debian: gettext).
"""

import html
import json
import os
import re
import shutil
import subprocess
import sys
import unicodedata
import zlib

LANGUAGE = "qps"
TO = str.maketrans(
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "абцдефгхийклмнопярстувшхызАБЦДЕФГХИЙКЛМНОПЯРСТУВШХЫЗ")
KEEP = re.compile(r"%\d\$s|%%|<[^>]*>|&\w+;")
# Names of units, of the program and of the machine's libraries; months' names are sentences.
ALLOWED = {"isosow", "GDAL", "PROJ", "TIFF", "PNG", "EPSG", "WGS", "tmin", "tmax", "tif"}

SHEET = """\
crop: qcrop
title: კომბოსტო
unit: C
swing: 0.5
shelters:
  - {shelter: qhouse, warm_to: 16, cool_to: 28, cool_most: 4}
  - {shelter: qcover, warm_to: 8, warm_most: 2}
chilling: {band: [-1, 3, 12, 15]}
stages:
  - {stage: qaa, shelter: qhouse, days: 4, band: [4, 18, 28, 36], dies_below: -1, chills: true}
  - {stage: qbb, shelter: qhouse, days: 17, band: [4, 18, 25, 32], dies_below: -2, chills: true}
  - {stage: qcc, transplant: true, days: 22, band: [4, 15, 22, 30], dies_below: -4, chills: true}
  - {stage: qdd, days: 13, band: [4, 12, 21, 28], dies_below: -5}
  - {stage: qee, days: 18, band: [2, 12, 21, 28], dies_below: -6}
seasons:
  - {season: qspring, sow: [01-01, 05-15], prefer: [qslow], cut_at_once: true}
  - {season: qsummer, sow: [05-16, 06-30]}
  - {season: qautumn, sow: [07-01, 12-31]}
varieties:
  - {variety: qlate, title: გვიანი, bolts: [11, 19], stages: [{stage: qee, days: 21}]}
  - {variety: qplain, title: საშუალო, bolts: [7, 13]}
  - {variety: qslow, title: ადრეული, bolts: [18, 30]}
tasks:
  - {at: qdd, day: 0, do: კვება}
  - {at: harvest, day: 1, do: მოსავალი}
sources: [წიგნი]
"""


def pseudo(text):
    """The template in other letters, half as long again, with its arguments where they are."""
    out, letters, at = [], 0, 0
    for kept in KEEP.finditer(text):
        out += [text[at:kept.start()].translate(TO), kept.group()]
        letters += kept.start() - at
        at = kept.end()
    out.append(text[at:].translate(TO))
    letters += len(text) - at
    more, left = [], (letters + 1) // 2
    while left > 0:  # in words, so that lines can break
        more.append("ωψξλβδ"[: max(1, min(left - 1, 6))] if left > 1 else "ω")
        left -= len(more[-1]) + 1
    extra = " ".join(more)
    # Before the end's punctuation; a single word stays one.
    end = re.search(r"[.:;,)]*$", "".join(out)).start()
    whole = "".join(out)
    glue = "" if " " not in text else " "
    if glue == "":
        extra = extra.replace(" ", "")
    return whole[:end] + glue + extra + whole[end:]


def wide(text):
    """The template in letters of two columns, as long as it was."""
    return "".join(part if KEEP.fullmatch(part) else re.sub(r"[A-Za-z]+", lambda m: "字" * ((len(
        m.group()) + 1) // 2), part) for part in re.split("(" + KEEP.pattern + ")", text))


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'


def unquoted(lines):
    return "".join(json.loads(line) for line in lines)


def read_entries(pot):
    """(context, singular, plural or None) of a .pot file."""
    for block in re.split(r"\n\s*\n", pot):
        parts, at = {}, None
        for line in block.splitlines():
            found = re.match(r"(msgctxt|msgid_plural|msgid|msgstr\S*) (\".*\")$", line)
            if found:
                at = found.group(1)
                parts[at] = [found.group(2)]
            elif line.startswith('"') and at:
                parts[at].append(line)
        if parts.get("msgid") and unquoted(parts["msgid"]):
            yield (unquoted(parts.get("msgctxt", [])), unquoted(parts["msgid"]),
                   unquoted(parts["msgid_plural"]) if "msgid_plural" in parts else None)


def make_catalogue(source, folder, change):
    """Extract as DEVELOPERS.md says, change, compile. Three plural forms, as Slavic languages have."""
    words = os.path.join(source, "src", "words")
    tables = sorted(os.path.join(words, name) for name in os.listdir(words)
                    if name.startswith("sentences_") and name.endswith(".def"))
    pot = subprocess.run(
        ["xgettext", "--from-code=UTF-8", "-L", "C", "--keyword=ISW_SENTENCE:3c,4",
         "--keyword=ISW_PLURAL:3c,4,5", "-o", "-"] + tables,
        check=True, capture_output=True, text=True).stdout
    entries = list(read_entries(pot))
    said = len(re.findall(r"^ISW_(?:SENTENCE|PLURAL)\(", "".join(
        open(table, encoding="utf-8").read() for table in tables), re.M))
    if len(entries) < 0.9 * said:  # equal sentences of one context share an entry
        sys.exit(f"xgettext found {len(entries)} of {said} sentences")
    po = ['msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n'
          '"Plural-Forms: nplurals=3; plural=(n%10==1 && n%100!=11 ? 0 : n%10>=2 && n%10<=4 && '
          '(n%100<10 || n%100>=20) ? 1 : 2);\\n"\n']
    for context, one, many in entries:
        head = f"msgctxt {quoted(context)}\nmsgid {quoted(one)}\n"
        if many is None:
            po.append(head + f"msgstr {quoted(change(one))}\n")
        else:
            po.append(head + f"msgid_plural {quoted(many)}\n" + "".join(
                f"msgstr[{i}] {quoted(change(text))}\n" for i, text in enumerate((one, many, many))))
    place = os.path.join(folder, LANGUAGE, "LC_MESSAGES")
    os.makedirs(place, exist_ok=True)
    po_path = os.path.join(place, "isosow.po")
    with open(po_path, "w", encoding="utf-8") as file:
        file.write("\n".join(po))
    subprocess.run(["msgfmt", "-o", os.path.join(place, "isosow.mo"), po_path], check=True)


def latin_words(text):
    return re.findall(r"[A-Za-z]{2,}(?:-[A-Za-z]+)*", text)


def escaped(what, text, names):
    """Lines that hold a Latin word that is no name."""
    bad = 0
    for line in text.splitlines():
        if re.fullmatch(r"[A-Z.]{72}", line):  # the card's bar of types
            continue
        left = [word for word in latin_words(line)
                if word not in names and word not in ALLOWED and word[0] not in "qQ"]
        if left:
            bad += 1
            print(f"{what}: {', '.join(left)} in: {line.strip()[:160]}")
    return bad


def columns(line):
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
               for c in line)


def too_wide(text):
    bad = 0
    for line in text.splitlines():
        if columns(line) > 80 and " " in line.strip():
            bad += 1
            print(f"{columns(line)} columns: {line}")
    return bad


def png_texts(path):
    """Title, Description, Source ... of a PNG (PNG specification, iTXt and tEXt)."""
    with open(path, "rb") as file:
        data = file.read()
    at, texts = 8, []
    while at < len(data):
        size, kind = int.from_bytes(data[at:at + 4], "big"), data[at + 4:at + 8]
        body = data[at + 8:at + 8 + size]
        if kind == b"tEXt":
            key, text = body.split(b"\0", 1)
            texts.append((key.decode(), text.decode("latin-1")))
        elif kind == b"iTXt":
            key, rest = body.split(b"\0", 1)
            packed = rest[0]
            text = rest[2:].split(b"\0", 2)[2]
            texts.append((key.decode(), (zlib.decompress(text) if packed else text).decode()))
        at += 12 + size
    return [text for key, text in texts if key != "Software"]


def pdf_text(path):
    return subprocess.run(["pdftotext", "-layout", path, "-"], check=True, capture_output=True,
                          text=True).stdout


def page_text(path):
    """What a reader sees of the page, after its script has run."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        print("no chromium: the page's script is not run")
        with open(path, encoding="utf-8") as file:
            dom = file.read()
    else:
        dom = subprocess.run(
            [browser, "--headless", "--no-sandbox", "--disable-gpu", "--virtual-time-budget=20000",
             "--dump-dom", "file://" + os.path.abspath(path) + "#at=43.94,-149.62"],
            check=True, capture_output=True, text=True).stdout
    dom = re.sub(r"(?s)<(script|style)\b.*?</\1>", "", dom)
    labels = re.findall(r'(?:aria-label|title|alt|placeholder)="([^"]*)"', dom)
    text = re.sub(r"<(?:p|li|td|th|h\d|div|tr|option|dt|dd|br|caption|summary|section)\b", "\n<", dom)
    return html.unescape(re.sub(r"<[^>]*>", "", text) + "\n" + "\n".join(labels))


def main():
    program, source, scratch, kind = sys.argv[1:5]
    if not shutil.which("xgettext") or not shutil.which("msgfmt"):
        print("skipped: no xgettext and msgfmt (Debian: gettext)")
        sys.exit(77)
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    make_catalogue(source, scratch, wide if kind == "wide-card" else pseudo)
    sheet = os.path.join(scratch, "sheet.yaml")
    with open(sheet, "w", encoding="utf-8") as file:
        file.write(SHEET)
    sample = os.path.join(source, "sample-rasters")
    environment = dict(os.environ, LC_ALL="C.UTF-8", LANGUAGE=LANGUAGE, TEXTDOMAINDIR=scratch)

    def run(*arguments):
        done = subprocess.run([program, *arguments], env=environment, capture_output=True, text=True)
        if done.returncode != 0:
            sys.exit(f"{' '.join(arguments)} exits {done.returncode}:\n{done.stderr}")
        return done.stdout

    rasters = ["--tmin", f"{sample}/tmin.tif", "--tmax", f"{sample}/tmax.tif"]
    with open(f"{sample}/districts.geojson", encoding="utf-8") as file:
        districts = [f["properties"]["name"] for f in json.load(file)["features"]]
    names = set(latin_words(" ".join(districts))) | {"Millmeadow"}
    place = ["site", "--quiet", "--crop", sheet, *rasters, "--at", "43.94,-149.62", "--place",
             "Millmeadow", "--period", "1961-1990"]
    bad = 0
    if kind in ("card", "wide-card"):
        for more in ([], ["--warmer", "-4"], ["--warmer", "12"], ["--warmer", "3", "--show", "F"]):
            card = run(*place, *more)
            bad += escaped("card", card, names) + too_wide(card)
        record = os.path.join(source, "tests", "data", "colorado", "station_years.csv")
        for station in ("TELLURIDE", "GRAND JUNCTI"):
            card = run("site", "--quiet", "--crop", sheet, "--record", record, "--least", "1", "--station",
                       station)
            bad += escaped("card of a record", card, names | set(latin_words(station))) + too_wide(card)
        for more in ([], ["--years", "0"]):
            bad += escaped("table of varieties", run(*place, "--format", "table", *more), names)
        calendar = run(*place, "--format", "ics").replace("\r\n ", "")
        for line in calendar.splitlines():
            if re.match(r"(SUMMARY|DESCRIPTION)", line):
                bad += escaped("calendar", line.split(":", 1)[1].replace("\\n", "\n"), names)
    elif kind == "chart":
        run(*place, "--chart", f"{scratch}/year.png")
        run(*place, "--chart", f"{scratch}/year.pdf")
        bad += escaped("chart", pdf_text(f"{scratch}/year.pdf"), names)
        record = os.path.join(source, "tests", "data", "colorado", "station_years.csv")
        run("site", "--quiet", "--crop", sheet, "--record", record, "--least", "1", "--station", "LAMAR",
            "--chart", f"{scratch}/record.pdf")
        bad += escaped("chart of a record", pdf_text(f"{scratch}/record.pdf"), names | {"LAMAR"})
        for text in png_texts(f"{scratch}/year.png"):
            bad += escaped("chart's PNG", text, names)
    else:
        out = f"{scratch}/out"
        common = ["--quiet", *rasters, "--crop", sheet, "--out", out, "--dpi", "100", "--districts",
                  f"{sample}/districts.geojson", "--district-name", "name", "--period", "1961-1990"]
        if kind == "map":
            run("map", *common, "--maps", "all", "--what-opens")
        elif kind == "compare":
            run("compare", "qlate", "qplain", *common)
        else:
            run("guide", *common)
            bad += escaped("print", pdf_text(f"{out}/guide.pdf"), names)
            bad += escaped("handouts", pdf_text(f"{out}/handouts.pdf"), names)
            pages = [name for name in os.listdir(out) if name.endswith(".html")]
            for page in pages:
                bad += escaped("page", page_text(f"{out}/{page}"), names)
        for name in sorted(os.listdir(out)):
            if name.endswith(".png"):
                for text in png_texts(os.path.join(out, name)):
                    bad += escaped(name, text, names)
    print(f"{bad} lines escaped")
    sys.exit(1 if bad else 0)


if __name__ == "__main__":
    main()
