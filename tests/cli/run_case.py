#!/usr/bin/python3
"""Run one case of the command line: run_case.py ISOSOW CASE-FOLDER SCRATCH-FOLDER

A case folder holds
  cmd      shell words, run in an empty folder; $DATA, $SAMPLE and $SHARED lead to test data
  setup    optional, shell: makes inputs there first; exit 77 skips the case
  status   the exit code expected (0 where the file is absent)
  stdout, stderr
           the whole text expected, line by line; * stands for anything within a line; an absent
           file means that nothing is said
  stdout.some, stderr.some
           instead: lines that must occur, in this order, among others (empty: whatever is said)
  after    optional, shell: looks at what is left; anything but exit 0 fails the case
  needs-shared
           optional, empty: the case is skipped where the shared data are absent
No case may take more memory than MEMORY_MB; ISOSOW_ANY_MEMORY lifts that, for builds that watch
memory and so take more of it.
With ISOSOW_UPDATE_CASES set, stdout and stderr files that differ are written anew, to be read before
they are committed.
Exit 0 passed, 1 failed, 77 skipped."""

import os
import re
import resource
import shutil
import subprocess
import sys

SKIPPED = 77
MEMORY_MB = 500


def read(folder, name):
    path = os.path.join(folder, name)
    if not os.path.exists(path):
        return None
    with open(path, encoding="utf-8") as file:
        return file.read()


def shell(script, scratch, environment):
    return subprocess.run(["sh", "-c", script], cwd=scratch, env=environment, stdin=subprocess.DEVNULL,
                          capture_output=True, timeout=300)


def like(want, line):
    return re.fullmatch(".*".join(re.escape(part) for part in want.split("*")), line, re.S)


def missing_line(expected, text):
    """The first expected line that does not occur after those before it, or None."""
    lines = iter(text.splitlines())
    for want in expected.splitlines():
        if not any(like(want, line) for line in lines):
            return want
    return None


def differs(case, name, text):
    """What is wrong with a stream, or None."""
    some, whole = read(case, name + ".some"), read(case, name)
    if some is not None and whole is not None:
        return f"{name} and {name}.some are both there; keep one"
    if some is not None:
        missing = missing_line(some, text)
        return None if missing is None else f"{name} has no line: {missing}"
    expected, lines = (whole or "").splitlines(), text.splitlines()
    for number in range(max(len(expected), len(lines))):
        want = expected[number] if number < len(expected) else None
        line = lines[number] if number < len(lines) else None
        if want is None or line is None or not like(want, line):
            if "ISOSOW_UPDATE_CASES" in os.environ:
                update(case, name, text)
            return (f"{name} line {number + 1}: expected {want!r}, is {line!r}"
                    f" (if only some lines matter, name the file {name}.some)")
    return None


def update(case, name, text):
    path = os.path.join(case, name)
    if text:
        with open(path, "w", encoding="utf-8") as file:
            file.write(text)
    elif os.path.exists(path):
        os.remove(path)


def main():
    isosow, case, scratch = (os.path.abspath(path) for path in sys.argv[1:4])
    tests = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    environment = dict(os.environ, PATH=os.path.dirname(isosow) + os.pathsep + os.environ["PATH"],
                       ISOSOW=isosow, DATA=os.path.join(tests, "data"), CASE=case,
                       SAMPLE=os.path.join(os.path.dirname(tests), "sample-rasters"),
                       SHARED=os.path.join(os.path.dirname(os.path.dirname(tests)), "shared", "data"))
    if read(case, "needs-shared") is not None and not os.path.isdir(environment["SHARED"]):
        print("skipped: the shared data are not beside the project")
        return SKIPPED
    shutil.rmtree(scratch, ignore_errors=True)
    os.makedirs(scratch)
    setup = read(case, "setup")
    if setup is not None:
        made = shell("set -e\n" + setup, scratch, environment)
        if made.returncode == SKIPPED:
            print("skipped:", made.stdout.decode("utf-8", "replace").strip())
            return SKIPPED
        if made.returncode != 0:
            print("setup failed:", made.stderr.decode("utf-8", "replace"))
            return 1
    run = shell(read(case, "cmd"), scratch, environment)
    out, err = (text.decode("utf-8", "replace") for text in (run.stdout, run.stderr))
    failures = []
    wanted = int(read(case, "status") or 0)
    if run.returncode != wanted:
        failures.append(f"exit {run.returncode}, expected {wanted}")
    for name, text in (("stdout", out), ("stderr", err)):
        wrong = differs(case, name, text)
        if wrong is not None:
            failures.append(wrong)
    # Of the largest process so far, in kB (getrusage); no case but this one has run here.
    used_MB = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    if used_MB > MEMORY_MB and "ISOSOW_ANY_MEMORY" not in os.environ:
        failures.append(f"took {used_MB:.0f} MB of memory, at most {MEMORY_MB} are allowed")
    after = read(case, "after")
    if after is not None:
        left = shell(after, scratch, environment)
        if left.returncode != 0:
            failures.append("after: " + (left.stdout + left.stderr).decode("utf-8", "replace"))
    if failures:
        print("\n".join(failures), "--- stdout", out, "--- stderr", err, sep="\n")
        return 1
    shutil.rmtree(scratch, ignore_errors=True)
    return 0


sys.exit(main())
