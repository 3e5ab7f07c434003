"""Runs of `isosow map` that are disturbed, and what must hold of the folder they leave."""

import hashlib
import json
import os
import shutil
import signal
import subprocess
import sys

SKIPPED = 77
UNFINISHED = ".isosow-"
RECORD = "run.json"
# What a record may say differently of two runs that gave the same results.
OF_THE_RUN_ITSELF = ("command", "threads", "wall_seconds")


class Broken(Exception):
    """A promise that was not kept."""


def map_command(isosow, data, out, *more):
    return [isosow, "map", "--quiet", "--crop", "napa-cabbage", "--variety", "standard", "--variety",
            "late-storage", "--season", "autumn", "--dpi", "60", "--tmin",
            os.path.join(data, "tmin.tif"), "--tmax", os.path.join(data, "tmax.tif"), "--out", out,
            *more]


def run(command):
    return subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, timeout=600,
                          check=False)


def expect(condition, what):
    if not condition:
        raise Broken(what)


def run_whole(command):
    done = run(command)
    expect(done.returncode == 0, f"exit {done.returncode}: {done.stderr.decode(errors='replace')}")


def sha256(path):
    with open(path, "rb") as file:
        return hashlib.sha256(file.read()).hexdigest()


def read_record(folder):
    with open(os.path.join(folder, RECORD), encoding="utf-8") as file:
        return json.load(file)


def results_of(folder):
    """Name -> checksum of everything under a final name but the record."""
    if not os.path.isdir(folder):
        return {}
    return {name: sha256(os.path.join(folder, name)) for name in os.listdir(folder)
            if name != RECORD and not name.startswith(UNFINISHED)}


def unfinished(folder):
    return [name for name in os.listdir(folder) if name.startswith(UNFINISHED)] \
        if os.path.isdir(folder) else []


def has_record(folder):
    return os.path.exists(os.path.join(folder, RECORD))


def facts(folder):
    """Everything that two equal runs share."""
    record = {key: value for key, value in read_record(folder).items()
              if key not in OF_THE_RUN_ITSELF}
    return record, results_of(folder)


def expect_whole(folder):
    """The record is there and every result is the one it lists."""
    listed = {result["file"]: result["sha256"] for result in read_record(folder)["results"]}
    expect(listed == results_of(folder), f"{folder}: results are not those of the record")


def expect_nothing_incomplete(folder, *wholes):
    """Whatever stands under a final name has the bytes of one of the whole runs."""
    if has_record(folder):
        expect_whole(folder)
    for name, checksum in results_of(folder).items():
        expect(any(whole.get(name) == checksum for whole in wholes),
               f"{folder}/{name}: under its final name, but not complete")


def main(check):
    """check(isosow, data, scratch) -> a sentence; Broken fails the test."""
    isosow, data, scratch = (os.path.abspath(path) for path in sys.argv[1:4])
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    try:
        print(check(isosow, data, scratch))
    except Broken as broken:
        print(f"broken: {broken}")
        sys.exit(1)
    shutil.rmtree(scratch, ignore_errors=True)


def shell_code(returncode):
    """As a shell reports it: 128 + the signal that ended the process."""
    return 128 - returncode if returncode < 0 else returncode


EXPECTED = {signal.SIGINT: 130, signal.SIGTERM: 143, signal.SIGKILL: 137}
