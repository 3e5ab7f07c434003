#!/usr/bin/env python3
"""Every rename, write, read, close, fsync and mmap of a small run on its own files, one at a time:
made to fail, and the process killed there: sweep_calls.py ISOSOW NORMALS SCRATCH INJECT.so

The run replaces an earlier result. Afterwards the old set or the new one stands whole (after a kill:
once the next run has mended it), a failure is told with exit 1, 3 or 4 or has changed nothing, and the
next run gives the bytes of an undisturbed one."""

import os
import shutil
import subprocess
import sys

import fault_runs as faults
from fault_runs import expect

CALLS = ("rename", "write", "read", "close", "fsync", "mmap")


def small_inputs(data, scratch):
    """A corner of the normals, so that a run has few calls."""
    for name in ("tmin.tif", "tmax.tif"):
        subprocess.run(["gdal_translate", "-q", "-srcwin", "20", "20", "24", "16",
                        os.path.join(data, name), os.path.join(scratch, name)], check=True)


def command(isosow, scratch, out, *more):
    return [isosow, "map", "--quiet", "--threads", "1", "--crop", "napa-cabbage", "--variety",
            "standard", "--season", "autumn", "--dpi", "50", "--unit", "C", "--tmin",
            os.path.join(scratch, "tmin.tif"), "--tmax", os.path.join(scratch, "tmax.tif"), "--out",
            out, *more]


def disturbed(line, shim, under, call, at, how, count):
    environment = dict(os.environ, LD_PRELOAD=shim, ISOSOW_FAULT_UNDER=under, ISOSOW_FAULT_CALL=call,
                       ISOSOW_FAULT_AT=str(at), ISOSOW_FAULT_HOW=how, ISOSOW_FAULT_COUNT=count)
    return subprocess.run(line, env=environment, stdin=subprocess.DEVNULL, capture_output=True,
                          timeout=120, check=False)


def check(isosow, data, scratch):
    shim = os.path.abspath(sys.argv[4])
    small_inputs(data, scratch)
    old, new, out = (os.path.join(scratch, name) for name in ("old", "new", "out"))
    count = os.path.join(os.path.dirname(scratch), "calls.txt")
    faults.run_whole(command(isosow, scratch, old, "--warmer", "2"))
    faults.run_whole(command(isosow, scratch, new))
    old_facts, new_facts = faults.facts(old), faults.facts(new)
    line = command(isosow, scratch, out, "--overwrite")
    tried, told = 0, {}
    for call in CALLS:
        shutil.rmtree(out, ignore_errors=True)
        shutil.copytree(old, out)
        done = disturbed(line, shim, scratch, call, -1, "fail", count)
        expect(done.returncode == 0, f"{call}: undisturbed exit {done.returncode}")
        with open(count, encoding="utf-8") as file:
            calls = int(file.read())
        for at in range(1, calls + 1):
            for how in ("fail", "kill"):
                where = f"{call} {at} of {calls}, {how}"
                shutil.rmtree(out, ignore_errors=True)
                shutil.copytree(old, out)
                done = disturbed(line, shim, scratch, call, at, how, count)
                code, said = faults.shell_code(done.returncode), done.stderr.decode(errors="replace")
                tried += 1
                told[how, code] = told.get((how, code), 0) + 1
                if how == "fail":
                    expect(code in (0, 1, 3, 4), f"{where}: exit {code}: {said}")
                    expect(code == 0 or said, f"{where}: exit {code} without a word")
                    expect(faults.facts(out) == (new_facts if code == 0 else old_facts),
                           f"{where}: exit {code}, and the folder holds something else: {said}")
                    expect(not faults.unfinished(out), f"{where}: left {faults.unfinished(out)}")
                else:
                    expect(code == 137, f"{where}: was not killed, exit {code}")
                    faults.expect_nothing_incomplete(out, old_facts[1], new_facts[1])
                    faults.run_whole(line)
                    expect(faults.facts(out) == new_facts, f"{where}: the next run differs")
                    expect(not faults.unfinished(out), f"{where}: the next run left something")
    words = ", ".join(f"{how} exit {code}: {times}" for (how, code), times in sorted(told.items()))
    return f"{tried} faults injected ({words})"


if __name__ == "__main__":
    faults.main(check)
