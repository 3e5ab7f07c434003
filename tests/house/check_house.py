#!/usr/bin/env python3
"""Check that the tree keeps the house rules (DEVELOPERS.md): prints what does not, exits 1.

    check_house.py ROOT                   the source tree
    check_house.py --self-test            that each rule catches a breach of it
    check_house.py --pure LIBRARY [OBJDUMP]  that a static library has no state and calls nothing impure
"""

import os
import re
import subprocess
import sys
import tempfile

ROOMS = ["base", "documents", "crop", "growth", "climate", "regions", "survey", "words", "output",
         "chart", "guide", "jobs", "cli"]
TOP = {"README.md", "DEVELOPERS.md", "CMakeLists.txt", "src", "tests", "sample-rasters", "scripts",
       "docs"}
MADE = re.compile(r"^(build.*|out|__pycache__)$")  # as in .gitignore

# Which rooms may include the headers of a library.
LIBRARIES = [
    (re.compile(r"^(gdal|ogr|cpl_|gdalwarper)"), "GDAL", {"climate", "regions", "output", "chart",
                                                          "guide", "jobs", "cli"}),
    (re.compile(r"^(proj|geodesic)"), "PROJ", {"climate", "chart", "guide", "cli"}),
    (re.compile(r"^png"), "libpng", {"chart"}),
    (re.compile(r"^(cairo|pango)"), "cairo and Pango", {"chart", "guide"}),
    (re.compile(r"^librsvg"), "librsvg", {"guide"}),
    (re.compile(r"^qrencode"), "libqrencode", {"guide"}),
    (re.compile(r"^qpdf"), "qpdf", {"guide"}),
    (re.compile(r"^(glib|gio|gobject)"), "GLib", set(ROOMS) - {"base", "growth"}),
    (re.compile(r"^json-glib"), "json-glib", {"output", "guide", "jobs", "cli"}),
    (re.compile(r"^yaml"), "libyaml", {"documents", "crop", "jobs"}),
    (re.compile(r"^nettle"), "nettle", {"output"}),
    (re.compile(r"^libintl"), "gettext", {"words"}),
]
GROWTH_HEADERS = {"assert.h", "math.h", "stdbool.h", "stddef.h", "stdint.h", "string.h", "stdio.h", "float.h",
                  "limits.h", "immintrin.h", "emmintrin.h", "arm_neon.h"}
# What only growth itself and its tests may look into.
GROWTH_INSIDE = re.compile(r"growth/(kernel|workspace|method_numbers)")
GROWTH_CALLS = re.compile(r"\b(malloc|calloc|realloc|free|fopen|printf|fprintf|puts|getenv|exit|"
                          r"abort|time|rand)\s*\(")
# What the growing model may call: libm, memory blocks, snprintf into a caller's buffer, and where
# asserts are on, their end.
PURE_CALLS = {"exp", "sqrt", "floor", "ceil", "erfc", "erf", "asin", "sin", "cos", "fabs", "fmin",
              "fmax", "lround", "lrint", "llround", "log", "pow", "round", "rint", "trunc",
              "memcpy", "memset", "memmove", "strlen", "strcmp", "snprintf", "__snprintf_chk",
              "__assert_fail", "__memcpy_chk", "__memset_chk", "__stack_chk_fail", "__cpu_model",
              "__cpu_indicator_init", "_GLOBAL_OFFSET_TABLE_"}

CODE = (".c", ".h", ".py")
MACHINE_PATH = re.compile(r"(?<![\w.})/])/(?:work|tmp|home|root)/\w")


def walk(root, top):
    for folder, folders, files in os.walk(os.path.join(root, top)):
        folders[:] = [f for f in folders if f != "__pycache__"]
        for name in files:
            yield os.path.relpath(os.path.join(folder, name), root).replace(os.sep, "/")


def read(root, path):
    with open(os.path.join(root, path), encoding="utf-8", errors="replace") as file:
        return file.read()


def without_comments(text):
    """Comments and the insides of strings blanked, line breaks kept."""
    pattern = re.compile(r'/\*.*?\*/|//[^\n]*|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.S)

    return pattern.sub(lambda match: re.sub(r"[^\n]", " ", match.group()), text)


# What a crop is called, and its parts, stands in its sheet.
CROP_WORDS = re.compile(r"\b(cabbages?|napa|heads?|hearts?|curds?|rosettes?|broccoli|lettuces?|"
                        r"cauliflowers?|buttoning)\b", re.I)
# An option's name as catalogues and growers say it, whatever the crop makes.
CATALOGUE_OPTION = "heads-to"
STRINGS = re.compile(r'/\*.*?\*/|"((?:\\.|[^"\\\n])*)"', re.S)
# An option as the command line spells it; a name of CSS ("var(--line)", ":root { --months") is none.
OPTION = re.compile(r"(?<![\w(-])(?<!{ )--[a-z]")
OPTION_ROOMS = ("jobs", "cli")


def check_crop_words(path, text):
    for found in STRINGS.finditer(text):
        line = text[text.rfind("\n", 0, found.start()) + 1:found.start()]
        if found.group(1) is None or line.startswith("#include"):
            continue
        # The second argument of a sentence but one is a note for translators: a table's head.
        words = [w for w in CROP_WORDS.findall(found.group(1).replace(CATALOGUE_OPTION, ""))
                 if not (path.endswith(".def") and re.match(r"ISW_SENTENCE\(\w+, \d+, $", line))]
        for word in words:
            number = text.count("\n", 0, found.start()) + 1
            yield f"{path}:{number}: '{word}' is of a crop; it belongs in the crop's sheet"


def check_options_named(path, text):
    if path.split("/")[1] in OPTION_ROOMS:
        return
    for found in STRINGS.finditer(text):
        if found.group(1) is not None and OPTION.search(found.group(1)):
            number = text.count("\n", 0, found.start()) + 1
            yield f"{path}:{number}: names an option; name the setting (base/setting.h)"


def check_source(root, path, text):
    parts = path.split("/")
    room = parts[1]
    if room not in ROOMS:
        if len(parts) > 2:
            yield f"{path}: src holds only {', '.join(ROOMS)}"
        return
    if not path.endswith((".c", ".h")):
        return
    for number, line in enumerate(text.splitlines(), 1):
        found = re.match(r'\s*#\s*include\s*([<"])([^>"]+)[>"]', line)
        if not found:
            continue
        kind, header = found.groups()
        where = f"{path}:{number}"
        if kind == '"':
            other = header.split("/")[0]
            if other not in ROOMS or header.count("/") < 1:
                yield f"{where}: write \"room/file.h\", not \"{header}\""
            elif room != "growth" and GROWTH_INSIDE.match(header):
                yield f"{where}: {header} is inside the growing model; its door is growth/cell.h"
            elif not os.path.exists(os.path.join(root, "src", header)):
                yield f"{where}: there is no src/{header}"
            elif ROOMS.index(other) > ROOMS.index(room):
                yield f"{where}: {room} must not include {other}, which stands below it"
            continue
        for pattern, library, rooms in LIBRARIES:
            if pattern.match(header) and room not in rooms:
                yield f"{where}: {library} is not for {room}, only for {', '.join(sorted(rooms))}"
                break
        else:
            if room == "growth" and header not in GROWTH_HEADERS:
                yield f"{where}: growth is C and its mathematics only; <{header}> is more"
    code = without_comments(text)
    if room != "cli" and re.search(r"\bmain\s*\(", code):
        yield f"{path}: main belongs to src/cli"
    if room == "growth":
        for call in sorted(set(GROWTH_CALLS.findall(code))):
            yield f"{path}: growth neither allocates nor talks; {call}() does"
    if path.endswith(".h"):
        stem = re.sub(r"\W", "_", parts[-1][:-2]).upper()
        if not re.search(rf"#ifndef \w*{stem}_H\b", text):
            yield f"{path}: the include guard should end in {stem}_H"


def strong_components(graph):
    """Sets of nodes that reach each other (Tarjan 1972, without recursion)."""
    order, low, stack, on_stack, found = {}, {}, [], set(), []
    for root in sorted(graph):
        if root in order:
            continue
        work = [(root, iter(sorted(graph[root])))]
        while work:
            node, rest = work[-1]
            if node not in order:
                order[node] = low[node] = len(order)
                stack.append(node)
                on_stack.add(node)
            for other in rest:
                if other not in order:
                    work.append((other, iter(sorted(graph[other]))))
                    break
                if other in on_stack:
                    low[node] = min(low[node], order[other])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == order[node]:
                    component = set()
                    while node not in component:
                        component.add(stack.pop())
                    on_stack -= component
                    found.append(component)
    return found


def check_circles(root):
    """A unit is room/name, its .h and .c together; units that include each other are one idea in
    pieces, or two that do not know it."""
    graph = {}
    for path in walk(root, "src"):
        if path.endswith((".c", ".h")):
            unit = path[len("src/"):-2]
            includes = re.findall(r'^\s*#\s*include\s*"([^"]+)\.h"', read(root, path), re.M)
            graph.setdefault(unit, set()).update(other for other in includes if other != unit)
    for unit in list(graph):
        for other in graph[unit]:
            graph.setdefault(other, set())
    for component in strong_components(graph):
        if len(component) > 1:
            yield f"src/{min(component)}: a circle of includes: {', '.join(sorted(component))}"


EQUATIONS = re.compile(r"[Mm]ethod,\s+equations?\s+((?:\d+(?:\s*-\s*\d+)?(?:,\s*|\s+and\s+)?)+)")
DOCUMENT = re.compile(r"(?<![\w/.-])docs/(?!decisions/NNN)[\w./-]+\.(?:md|1)\b")
DECISION = re.compile(r"\b[Dd]ecision (\d{3})\b")
LINK = re.compile(r"\]\(([^)#\s:]+)(?:#[^)]*)?\)")
STATUS = re.compile(r"^\*\*Status\.\*\* (?:Stands\.|Replaced by \d{3}\.)", re.M)


def numbers_of(text):
    """1, 3-5 and 8: 1, 3, 4, 5, 8."""
    for first, last in re.findall(r"(\d+)(?:\s*-\s*(\d+))?", text):
        yield from range(int(first), int(last or first) + 1)


def check_references(root, path, text, labels, decisions):
    """What a text points at must be there: equations, documents, decisions, linked files."""
    flat = re.sub(r"\n\s*(?:\*|#|//)?\s*", " ", text)
    for found in EQUATIONS.findall(flat):
        for number in numbers_of(found):
            if number not in labels:
                yield f"{path}: the method has no equation {number}"
    if re.search(r"\b([Mm]ethod|[Dd]esign), section \d", flat):
        yield f"{path}: the method's equations have numbers, not its sections"
    for name in sorted(set(DOCUMENT.findall(text))):
        if not os.path.exists(os.path.join(root, name)):
            yield f"{path}: there is no {name}"
    for number in sorted(set(DECISION.findall(flat))):
        if number not in decisions:
            yield f"{path}: there is no decision {number}"
    if path.endswith(".md"):
        for target in LINK.findall(text):
            if not os.path.exists(os.path.join(root, os.path.dirname(path), target)):
                yield f"{path}: links to {target}, which is not there"
    if path.startswith("docs/decisions/") and not STATUS.search(text):
        yield f"{path}: a decision says **Status.** Stands. or Replaced by NNN."


def equation_labels(root):
    method = os.path.join(root, "docs", "method.md")
    if not os.path.exists(method):
        return set()
    return {int(n) for n in re.findall(r"^\*\*Equation (\d+)[,.]", read(root, "docs/method.md"), re.M)}


def check_tree(root):
    labels = equation_labels(root)
    decisions = {path.split("/")[-1][:3] for path in walk(root, "docs/decisions")}
    for path in ("README.md", "DEVELOPERS.md"):
        if os.path.exists(os.path.join(root, path)):
            yield from check_references(root, path, read(root, path), labels, decisions)
    for name in sorted(os.listdir(root)):
        if name not in TOP and not name.startswith(".") and not MADE.match(name):
            yield f"{name}: the top level holds only {', '.join(sorted(TOP))} and dot-files"
    seen = {}
    for top in ("src", "tests", "scripts", "docs", "sample-rasters", ".ci"):
        for path in sorted(walk(root, top)):
            name = path.split("/")[-1]
            if path.endswith(CODE):
                if name in seen:
                    yield f"{path}: the name is taken by {seen[name]}; file names are unique"
                seen.setdefault(name, path)
            if path.endswith(CODE + (".md", ".txt", ".yaml", ".sh", ".in", ".1")) or top in (
                    "scripts", ".ci"):
                text = read(root, path)
                for number, line in enumerate(text.splitlines(), 1):
                    if MACHINE_PATH.search(line):
                        yield f"{path}:{number}: names a path of one machine"
                if not path.startswith("tests/house/"):
                    yield from check_references(root, path, text, labels, decisions)
                if top == "src" and path.endswith(CODE):
                    yield from check_crop_words(path, text)
                    yield from check_options_named(path, text)
                if top == "src":
                    yield from check_source(root, path, text)
            elif path.endswith(".def"):
                yield from check_crop_words(path, read(root, path))
                yield from check_options_named(path, read(root, path))


    yield from check_circles(root)


def check_pure(library, objdump):
    listing = subprocess.run([objdump, "-t", library], check=True, capture_output=True,
                             text=True).stdout
    defined, wanted = set(), set()
    for line in listing.splitlines():
        found = re.match(r"[0-9a-f]{8,} .{7} (\S+)\s+[0-9a-f]+\s+(?:\.hidden )?(\S+)$", line)
        if not found:
            continue
        section, symbol = found.groups()
        if section == "*UND*":
            wanted.add(symbol)
            continue
        defined.add(symbol)
        # Tables of constants that hold addresses are read-only once loaded: .data.rel.ro.
        state = re.match(r"\.data(?!\.rel\.ro)|\.bss|\.tdata|\.tbss|\*COM\*", section)
        if state and symbol != section:
            yield f"{library}: {symbol} is state that outlives a call"
    if not any(symbol.startswith("isw_growth_") for symbol in defined):
        yield f"{library}: nothing of the growing model is defined in it"
    for symbol in sorted(wanted - defined - PURE_CALLS):
        if not symbol.startswith("isw_"):
            yield f"{library}: calls {symbol}, which the growing model may not"


BREACHES = [
    ("src/base/a.c", '#include "crop/b.h"\n', "must not include"),
    ("src/growth/c.c", '#include "d.h"\n', 'write "room/file.h"'),
    ("src/growth/e.c", '#include "base/missing.h"\n', "there is no"),
    ("src/growth/f.c", "#include <glib.h>\n", "GLib is not for growth"),
    ("src/survey/s.c", '#include "growth/kernel.h"\n', "inside the growing model"),
    ("src/base/g.c", "#include <glib.h>\n", "GLib is not for base"),
    ("src/growth/q.c", "#include <stdlib.h>\n", "growth is C and its mathematics only"),
    ("src/crop/h.c", "#include <gdal.h>\n", "GDAL is not for crop"),
    ("src/survey/i.c", "#include <ogr_srs_api.h>\n", "GDAL is not for survey"),
    ("src/guide/j.c", "#include <png.h>\n", "libpng is not for guide"),
    ("src/output/k.c", "#include <cairo.h>\n", "cairo and Pango is not for output"),
    ("src/growth/l.c", "void *f(void) { return malloc(1); }\n", "malloc() does"),
    ("src/crop/words.c", '/* "rosette" */ const char *ready = "the head is firm";\n', "belongs in the crop's sheet"),
    ("src/words/words.def", 'ISW_SENTENCE(A, 0, "table head",\n             "Curds open")\n', "'Curds' is of a crop"),
    ("src/climate/say.c", '/* --unit */ const char *advice = "say it with --unit";\n', "names an option"),
    ("src/guide/style.c", 'const char *style = "var(--line) :root { --months";\n', None),
    ("src/chart/m.c", "int main(void) { return 0; }\n", "main belongs to src/cli"),
    ("src/chart/n.h", "#ifndef OTHER\n#endif\n", "include guard"),
    ("tests/base/a.c", "", "file names are unique"),
    ("notes.txt", "", "the top level holds only"),
    ("src/misc/o.c", "", "src holds only"),
    ("docs/p.md", "see " + "/".join(["", "tmp", "x"]) + "\n", "a path of one machine"),
    ("src/base/r.h", "/* (method,\n * equations 1 and 3-4) */\n#ifndef R_H\n#endif\n",
     "no equation 4"),
    ("src/base/w.c", "/* (method, section 3.6) */\n", "not its sections"),
    ("src/base/s.c", "/* docs/other.md */\n", "there is no docs/other.md"),
    ("docs/t.md", "see decision 007\n", "there is no decision 007"),
    ("docs/u.md", "[a](missing.md)\n", "links to missing.md"),
    ("docs/decisions/001-v.md", "# 001. V\n", "**Status.**"),
    # By way of the header's own file, and of a third unit.
    ("src/crop/x.c", '#include "crop/b.h"\n', None),
    ("src/crop/b.c", '#include "crop/y.h"\n', "a circle of includes: crop/b, crop/y, crop/z"),
]


def self_test():
    bad = 0
    for path, text, wanted in BREACHES:
        with tempfile.TemporaryDirectory() as root:
            for name, content in (("src/crop/y.h", '#ifndef Y_H\n#include "crop/z.h"\n#endif\n'),
                                  ("src/crop/z.h", '#ifndef Z_H\n#include "crop/b.h"\n#endif\n'),
                                  ("src/base/a.c", '// main( malloc( \n#include <stdio.h>\n'),
                                  ("src/crop/b.h", "#ifndef ISW_CROP_B_H\n#endif\n"),
                                  ("src/cli/main.c", '#include "crop/b.h"\nint main(void) {}\n'),
                                  ("docs/method.md", "".join(f"**Equation {n}, x.**\n" for n in (1, 2, 3))),
                                  (path, text)):
                file = os.path.join(root, name)
                os.makedirs(os.path.dirname(file), exist_ok=True)
                with open(file, "w", encoding="utf-8") as out:
                    out.write(content)
            said = list(check_tree(root))
            if len(said) != (wanted is not None) or (wanted and wanted not in said[0]):
                bad += 1
                print(f"{path} should give one complaint with '{wanted}' (None: no complaint), gave: "
                      f"{said}")
    print(f"{len(BREACHES)} breaches tried, {bad} not caught")
    return bad


def main():
    if sys.argv[1:2] == ["--self-test"]:
        sys.exit(1 if self_test() else 0)
    if sys.argv[1:2] == ["--pure"]:
        complaints = list(check_pure(sys.argv[2], sys.argv[3] if len(sys.argv) > 3 else "objdump"))
    else:
        complaints = list(check_tree(sys.argv[1]))
    for complaint in complaints:
        print(complaint)
    sys.exit(1 if complaints else 0)


if __name__ == "__main__":
    main()
