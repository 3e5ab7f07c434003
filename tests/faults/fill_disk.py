#!/usr/bin/env python3
"""A map run onto a disk too small for it, at five sizes, empty and over an earlier result:
fill_disk.py ISOSOW NORMALS-FOLDER SCRATCH-FOLDER

The disk is a tmpfs; where mounting is not permitted the test is skipped (exit 77)."""

import os
import shutil
import subprocess
import sys

import fault_runs as faults
from fault_runs import expect

SHARES = (0.05, 0.3, 0.55, 0.8, 0.95)  # of what the results need
PAGE = 4096


def mount(folder, size):
    os.makedirs(folder, exist_ok=True)
    made = faults.run(["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", folder])
    return made.returncode == 0


def unmount(folder):
    subprocess.run(["umount", folder], check=False, capture_output=True)


def pages(folder):
    """Bytes on a tmpfs: whole pages."""
    return sum(-(-os.path.getsize(os.path.join(folder, name)) // PAGE) * PAGE
               for name in os.listdir(folder))


def fill_once(isosow, data, disk, share, wholes, over):
    (warmer, old_facts), (plain, new_facts) = wholes
    out = os.path.join(disk, "out")
    size = int(pages(plain) * share) + (pages(warmer) if over else 0)
    if not mount(disk, size // PAGE * PAGE):
        print(f"skipped: mounting a tmpfs of {size} bytes is not permitted")
        sys.exit(faults.SKIPPED)
    try:
        if over:
            shutil.copytree(warmer, out)
        command = faults.map_command(isosow, data, out, *(["--overwrite"] if over else []))
        done = faults.run(command)
        where = f"{size} bytes, {'over an earlier result' if over else 'empty'}"
        said = done.stderr.decode(errors="replace")
        expect(done.returncode == 4, f"{where}: exit {done.returncode}: {said}")
        expect(disk in said, f"{where}: the message names no file: {said}")
        faults.expect_nothing_incomplete(out, new_facts[1], old_facts[1])
        expect(not faults.unfinished(out), f"{where}: left its temporary folder")
        if over:
            expect(faults.facts(out) == old_facts, f"{where}: the earlier result changed")
        else:
            expect(not os.path.exists(out), f"{where}: left a folder")
        grown = faults.run(["mount", "-o", f"remount,size={4 * pages(plain)}", disk])
        expect(grown.returncode == 0, "the disk could not be made larger")
        faults.run_whole(command)
        expect(faults.facts(out) == new_facts, f"{where}: with room, other results")
        return said.strip()
    finally:
        unmount(disk)


def check(isosow, data, scratch):
    plain, warmer = os.path.join(scratch, "plain"), os.path.join(scratch, "warmer")
    disk = os.path.join(scratch, "disk")
    faults.run_whole(faults.map_command(isosow, data, plain))
    faults.run_whole(faults.map_command(isosow, data, warmer, "--warmer", "2"))
    wholes = (warmer, faults.facts(warmer)), (plain, faults.facts(plain))
    said = set()
    for share in SHARES:
        for over in (False, True):
            said.add(fill_once(isosow, data, disk, share, wholes, over))
    return "\n".join([f"{2 * len(SHARES)} full disks, {pages(plain)} bytes of results"] +
                     sorted(said))


if __name__ == "__main__":
    faults.main(check)
