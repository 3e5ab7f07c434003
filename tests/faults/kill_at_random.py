#!/usr/bin/env python3
"""Send SIGINT, SIGTERM and SIGKILL to a map run at MOMENTS moments each, into an empty folder and
over an earlier result: kill_at_random.py ISOSOW NORMALS-FOLDER SCRATCH-FOLDER MOMENTS

The moments are spread over the time an undisturbed run takes, at random within each of as many
equal shares of it; the numbers are the same each time, the machine is not."""

import os
import random
import shutil
import signal
import subprocess
import sys
import time

import fault_runs as faults
from fault_runs import expect

MOMENTS = int(sys.argv[4])


def disturb(command, number, delay_s):
    process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                               stderr=subprocess.DEVNULL)
    time.sleep(delay_s)
    process.send_signal(number)
    return faults.shell_code(process.wait(timeout=600))


def check(isosow, data, scratch):
    plain, warmer = os.path.join(scratch, "plain"), os.path.join(scratch, "warmer")
    out = os.path.join(scratch, "out")
    begun = time.monotonic()
    faults.run_whole(faults.map_command(isosow, data, plain))
    took_s = time.monotonic() - begun
    faults.run_whole(faults.map_command(isosow, data, warmer, "--warmer", "2"))
    new_facts, old_facts = faults.facts(plain), faults.facts(warmer)
    new, old = new_facts[1], old_facts[1]
    expect(all(new[name] != old[name] for name in new), "the two runs must differ to be told apart")
    dice = random.Random(365)
    ended = {number: 0 for number in faults.EXPECTED}
    swept = kept = 0
    for number, code in faults.EXPECTED.items():
        for moment in range(MOMENTS):
            over = moment % 2 == 1
            shutil.rmtree(out, ignore_errors=True)
            if over:
                shutil.copytree(warmer, out)
            command = faults.map_command(isosow, data, out, *(["--overwrite"] if over else []))
            got = disturb(command, number, took_s * (moment + dice.random()) / MOMENTS)
            where = f"{number.name}, moment {moment}"
            expect(got in (0, code), f"{where}: exit {got}, expected {code} or 0")
            ended[number] += got == code
            faults.expect_nothing_incomplete(out, new, old)
            if got == 0:
                expect(faults.facts(out) == new_facts, f"{where}: ended well with other results")
            elif number != signal.SIGKILL:
                expect(not faults.unfinished(out), f"{where}: left its temporary folder")
                if over:
                    expect(faults.facts(out) == old_facts, f"{where}: the earlier result changed")
                else:
                    expect(not os.path.exists(out), f"{where}: left a folder")
            elif over and faults.has_record(out):
                expect(faults.facts(out) in (old_facts, new_facts),
                       f"{where}: the earlier result changed")
                kept += faults.facts(out) == old_facts
            swept += len(faults.unfinished(out))
            if number == signal.SIGKILL or moment % 5 == 0:
                # Whatever the kill left of a run into an empty folder, --resume goes on from.
                faults.run_whole(faults.map_command(isosow, data, out,
                                                    "--overwrite" if over else "--resume"))
                expect(faults.facts(out) == new_facts, f"{where}: the next run gave other results")
                expect(not faults.unfinished(out), f"{where}: the next run left a temporary folder")
    # A signal that always comes late would show nothing.
    for number, times in ended.items():
        expect(times >= MOMENTS // 4, f"{number.name} ended only {times} of {MOMENTS} runs")
    words = ", ".join(f"{number.name} {times}" for number, times in ended.items())
    return (f"runs ended of {MOMENTS} each: {words}; {swept} temporary folders of killed runs "
            f"swept up by the next; {kept} earlier results untouched by a kill; a run takes "
            f"{took_s:.2f} s")


if __name__ == "__main__":
    faults.main(check)
