"""The manual against the program's own table of options: check_manual.py docs/isosow.1

Every command has a synopsis; every option stands in a heading with its argument as --help shows it;
a default that --help states in brackets stands in the manual's paragraph too."""

import re
import subprocess
import sys

text = open(sys.argv[1], encoding="utf-8").read()
failures = []
paragraphs = []  # heading, body: plain text
for block in text.split("\n.TP\n")[1:]:
    heading, _, body = block.partition("\n")
    body = body.split("\n.SH")[0]
    plain = re.sub(r"\\f[A-Z]|^\.[BIR]+ ", "", heading.replace("\\-", "-"))
    paragraphs.append((" ".join(plain.replace('"', "").split()), body.replace("\\-", "-")))


def told_in(words):
    return [body for heading, body in paragraphs
            if re.search(r"(^|[ ,])" + re.escape(words) + r"($|[ ,])", heading)]


def run(*words):
    return subprocess.run(["isosow", *words], capture_output=True, text=True, check=True).stdout


rows = [line.split("\t") for line in run("--options").splitlines()]
for command in dict.fromkeys(row[0] for row in rows):
    if f"\n.B isosow {command}" not in text:
        failures.append(f"no synopsis of {command}")
    defaults = dict(re.findall(r"^ +(--[a-z-]+)=.*\(([-0-9.]+)\)$", run(command, "--help"), re.M))
    for _, option, _, argument, _ in (row for row in rows if row[0] == command):
        bodies = told_in(f"{option} {argument}".strip().replace('"', ""))
        if not bodies:
            failures.append(f"{command}: no heading \"{option} {argument}\"")
        elif option in defaults and not any(f"({defaults[option]})" in b for b in bodies):
            failures.append(f"{command}: {option}: the default ({defaults[option]}) is not there")
print("\n".join(dict.fromkeys(failures)), end="")
