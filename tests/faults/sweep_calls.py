#!/usr/bin/env python3
"""Every rename, link, write, read, close, fsync and mmap of small runs on their own files, one at a
time: made to fail, and the process killed there:
sweep_calls.py ISOSOW NORMALS SCRATCH INJECT.so [few]

Four runs: a map run and a site chart over an earlier result, a part, and a join. Afterwards the files of
before or those of after stand whole (after a kill: once the next run has mended it). A failure is told
with exit 1, 3 or 4, or has changed nothing; the run after a kill gives the bytes of an undisturbed one.
"few", for ci: every rename and link, and reads of an input's head, failing."""

import concurrent.futures
import os
import shutil
import subprocess
import sys

import fault_runs as faults
from fault_runs import expect

CALLS = ("rename", "link", "write", "read", "close", "fsync", "mmap")
# Inputs are opened twice; with GDAL 3.6.2 these are reads of the second time, among them one of
# metadata that GDAL leaves out when it fails.
FEW_CALLS = {"rename": (1, 1000), "link": (1, 1000), "read": (104, 120)}
# Cells of the Colorado normals, so that a run has few calls; a place among them.
WINDOW = ("20", "20", "24", "16")
PLACE = "40.3,-108.2"


def small_inputs(data, scratch):
    for name in ("tmin.tif", "tmax.tif"):
        subprocess.run(["gdal_translate", "-q", "-srcwin", *WINDOW, os.path.join(data, name),
                        os.path.join(scratch, name)], check=True)


class Scenario:
    """A run, what is there before it, and what after it."""

    def __init__(self, name, isosow, scratch, before, line):
        self.name, self.home = name, os.path.join(scratch, name)
        self.before, self.after = (os.path.join(self.home, kind) for kind in ("before", "after"))
        self.isosow, self.scratch, self.line = isosow, scratch, line
        os.makedirs(self.before)
        for step in before:
            faults.run_whole(self.command(step, self.before))
        shutil.copytree(self.before, self.after)
        faults.run_whole(self.command(line, self.after))
        self.facts_before, self.facts_after = facts(self.before), facts(self.after)
        expect(self.facts_before != self.facts_after, f"{name}: a run that changes nothing")

    def command(self, line, out):
        inputs = ["--crop", "napa-cabbage", "--variety", "standard", "--season", "autumn", "--unit",
                  "C", "--tmin", os.path.join(self.scratch, "tmin.tif"), "--tmax",
                  os.path.join(self.scratch, "tmax.tif")]
        words = [word.replace("OUT", out) for word in line]
        return [self.isosow, *words, "--quiet", *(inputs if words[0] != "join" else [])]

    def fresh(self, name):
        out = os.path.join(self.home, name)
        shutil.copytree(self.before, out)
        return out


def scenarios(isosow, scratch, few):
    grid = ("--threads", "1", "--dpi", "50", "--out", "OUT")
    none = ("--maps", "none") if few else ()
    part = ("map", *grid, "--part", "1/1")
    chart = ("site", "--at", PLACE, "--chart", "OUT/chart.png")
    for name, before, line in (
            ("map", [("map", *grid, *none, "--warmer", "2")],
             ("map", *grid, *none, "--overwrite")),
            ("part", [], part),
            ("join", [(*part, *none)], ("join", "OUT", "--threads", "1")),
            ("chart", [(*chart, "--warmer", "2")], (*chart, "--overwrite"))):
        yield Scenario(name, isosow, scratch, before, line)


def facts(folder):
    """Path -> what two equal runs share of the file. Locks that a kill leaves are no result."""
    found = {}
    for path, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(faults.UNFINISHED)]
        for name in names:
            whole = os.path.join(path, name)
            if name == faults.RECORD:
                record = faults.read_record(path)
                found[os.path.relpath(whole, folder)] = {
                    key: value for key, value in record.items()
                    if key not in faults.OF_THE_RUN_ITSELF}
            elif not name.startswith("."):
                found[os.path.relpath(whole, folder)] = faults.sha256(whole)
    return found


def unfinished(folder):
    return [name for _, folders, names in os.walk(folder) for name in (*folders, *names)
            if name.startswith(".")]


def disturbed(scenario, shim, out, call, at, how):
    """The finished run, and how many such calls it made."""
    count = out + ".calls"
    environment = dict(os.environ, LD_PRELOAD=shim, ISOSOW_FAULT_UNDER=scenario.scratch,
                       ISOSOW_FAULT_CALL=call, ISOSOW_FAULT_AT=str(at), ISOSOW_FAULT_HOW=how,
                       ISOSOW_FAULT_COUNT=count)
    done = subprocess.run(scenario.command(scenario.line, out), env=environment, timeout=300,
                          stdin=subprocess.DEVNULL, capture_output=True, check=False)
    calls = 0
    if os.path.exists(count):
        with open(count, encoding="utf-8") as file:
            calls = int(file.read())
        os.unlink(count)
    return done, calls


def count_calls(scenario, shim, call):
    out = scenario.fresh("counting")
    done, calls = disturbed(scenario, shim, out, call, -1, "fail")
    expect(done.returncode == 0, f"{scenario.name}: undisturbed exit {done.returncode}")
    shutil.rmtree(out)
    return calls


def expect_told(scenario, out, code, said):
    expect(code in (0, 1, 3, 4), f"exit {code}: {said}")
    expect(code == 0 or said, f"exit {code} without a word")
    expected = scenario.facts_after if code == 0 else scenario.facts_before
    found = facts(out)
    differ = [name for name in {*expected, *found} if expected.get(name) != found.get(name)]
    expect(not differ, f"exit {code}, but not as it should be: {', '.join(differ)}: {said}")
    expect(not unfinished(out), f"left {unfinished(out)}")


def expect_mended(scenario, out, code):
    expect(code == 137, f"was not killed, exit {code}")
    for name, what in facts(out).items():
        expect(what in (scenario.facts_before.get(name), scenario.facts_after.get(name)),
               f"{name}: under its final name, but not complete")
    line = scenario.command(scenario.line, out)
    if scenario.name == "join" and facts(out) != scenario.facts_before:
        line.append("--overwrite")  # what a kill left under final names, whole, is asked about
    done = faults.run(line)
    # A part whose name was there when the kill came is whole.
    already = scenario.name == "part" and done.returncode == 2
    expect(done.returncode == 0 or already, f"the next run: {done.stderr.decode(errors='replace')}")
    expect(facts(out) == scenario.facts_after, "the next run differs")
    expect(not unfinished(out), f"the next run left {unfinished(out)}")


def strike(shim, fault):
    """What is broken, or None; and the exit code."""
    scenario, call, at, calls, how = fault
    out = scenario.fresh(f"{call}-{at}-{how}")
    done, _ = disturbed(scenario, shim, out, call, at, how)
    code, said = faults.shell_code(done.returncode), done.stderr.decode(errors="replace")
    try:
        if how == "fail":
            expect_told(scenario, out, code, said)
        else:
            expect_mended(scenario, out, code)
        broken = None
    except faults.Broken as what:
        broken = f"{scenario.name}, {call} {at} of {calls}, {how}: {what}"
    shutil.rmtree(out)
    return broken, f"{how}: exit {code}"


def check(isosow, data, scratch):
    shim, few = os.path.abspath(sys.argv[4]), sys.argv[5:] == ["few"]
    small_inputs(data, scratch)
    runs, planned, counted = list(scenarios(isosow, scratch, few)), [], {}
    for scenario in runs:
        for call in FEW_CALLS if few else CALLS:
            if few and call == "read" and scenario.name != "map":
                continue
            calls = count_calls(scenario, shim, call)
            counted[call] = counted.get(call, 0) + calls
            planned += [(scenario, call, at, calls, how) for at in range(1, calls + 1)
                        if not few or FEW_CALLS[call][0] <= at <= FEW_CALLS[call][1]
                        for how in (("fail",) if few else ("fail", "kill"))]
    told, broken = {}, []
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for what, outcome in pool.map(lambda fault: strike(shim, fault), planned):
            told[outcome] = told.get(outcome, 0) + 1
            broken += [what] if what else []
    words = [f"{times} x {outcome}" for outcome, times in sorted(told.items())]
    print(f"{len(planned)} faults ({counted}): {', '.join(words)}")
    expect(not broken, "\n".join(broken))
    expect(planned, "nothing to disturb: is the library that disturbs preloaded?")
    return "all told, or without consequence"


if __name__ == "__main__":
    faults.main(check)
