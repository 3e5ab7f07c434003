#!/bin/sh
# A map run on a real Slurm: two nodes on this machine, a job array, one task killed and run again,
# the dependent join, and the same results as one run.
#   test_slurm.sh ISOSOW PYTHON DATA-FOLDER
# Installs Slurm and munge where they are missing and that is possible; exit 77 (skipped), with the
# reason, where not. Stops what it started, by process number.
set -eu
isosow=$1 python=$2 data=$3
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
project=$(CDPATH='' cd -- "$here/../.." && pwd)
parts=5

skip() { echo "skipped: $*"; exit 77; }
fail() { echo "FAILED: $*"; exit 1; }
say() { echo "$(date +%T) $*"; }

[ "$(id -u)" = 0 ] || skip "Slurm's daemons need root"
if ! command -v slurmctld >/dev/null || ! command -v munged >/dev/null; then
  command -v apt-get >/dev/null || skip "there is no Slurm and no apt-get to install it"
  say "installing slurm-wlm and munge"
  { apt-get -qq update && DEBIAN_FRONTEND=noninteractive apt-get -qq install -y \
    --no-install-recommends slurm-wlm munge; } >/dev/null 2>&1 </dev/null ||
    skip "apt-get cannot install slurm-wlm and munge"
fi
for program in slurmctld slurmd munged mungekey runuser sbatch scontrol squeue; do
  command -v $program >/dev/null || skip "there is no $program"
done
id munge >/dev/null 2>&1 || skip "there is no user munge"

# Sockets want short paths; munged refuses folders that others may write to.
scratch=$(mktemp -d)
chmod 755 "$scratch"
pids=''
keep_logs() {
  for log in "$scratch"/*.log "$scratch"/out/logs/*.log; do
    if [ -e "$log" ]; then echo "--- $log"; tail -n 15 "$log"; fi
  done
}
finish() {
  status=$?
  if [ "$status" != 0 ] && [ "$status" != 77 ]; then keep_logs; fi
  for pid in $pids; do kill "$pid" 2>/dev/null || true; done
  for pid in $pids; do
    tries=0
    while kill -0 "$pid" 2>/dev/null && [ $tries -lt 100 ]; do
      sleep 0.1
      tries=$((tries + 1))
    done
    kill -KILL "$pid" 2>/dev/null || true
  done
  rm -rf "$scratch"
}
trap finish EXIT
trap 'exit 130' INT TERM

# ---- munge and Slurm, with nothing of the system's own configuration ----

mkdir "$scratch/munge" "$scratch/state" "$scratch/spool"
mungekey --create --keyfile="$scratch/munge/key" || skip "mungekey makes no key"
chown -R munge "$scratch/munge"
chmod 755 "$scratch/munge"
chmod 400 "$scratch/munge/key"
# A shell in between would be the one whose number $! is.
setpriv --reuid=munge --regid="$(id -g munge)" --clear-groups munged --foreground \
  --key-file="$scratch/munge/key" --socket="$scratch/munge/socket" \
  --pid-file="$scratch/munge/pid" --log-file="$scratch/munge/log" \
  --seed-file="$scratch/munge/seed" >"$scratch/munged.log" 2>&1 &
pids="$pids $!"
tries=0
until munge --socket="$scratch/munge/socket" --no-input >/dev/null 2>&1; do
  tries=$((tries + 1))
  [ $tries -lt 100 ] || { cat "$scratch/munged.log"; skip "munged does not start here"; }
  sleep 0.1
done

host=$(hostname -s)
memory=$(($(sed -n 's/^MemTotal: *\([0-9]*\).*/\1/p' /proc/meminfo) / 1024 / 3))
free_port() {
  "$python" -c 'import socket; s = socket.socket(); s.bind(("", 0)); print(s.getsockname()[1])'
}
cat >"$scratch/slurm.conf" <<END
ClusterName=isosow
SlurmctldHost=$host(127.0.0.1)
SlurmctldPort=$(free_port)
SlurmUser=root
AuthType=auth/munge
AuthInfo=socket=$scratch/munge/socket
CredType=cred/munge
StateSaveLocation=$scratch/state
SlurmdSpoolDir=$scratch/spool/%n
SlurmctldPidFile=$scratch/slurmctld.pid
SlurmdPidFile=$scratch/slurmd-%n.pid
SlurmctldLogFile=$scratch/slurmctld.log
SlurmdLogFile=$scratch/slurmd-%n.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
MpiDefault=none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core_Memory
SchedulerParameters=sched_interval=1,requeue_delay=1,batch_sched_delay=0
JobRequeue=1
KillWait=2
ReturnToService=2
NodeName=first NodeHostname=$host NodeAddr=127.0.0.1 Port=$(free_port) CPUs=1 RealMemory=$memory
NodeName=second NodeHostname=$host NodeAddr=127.0.0.1 Port=$(free_port) CPUs=1 RealMemory=$memory
PartitionName=all Nodes=first,second Default=YES State=UP MaxTime=INFINITE
END
export SLURM_CONF="$scratch/slurm.conf"
slurmctld -c -D >"$scratch/slurmctld-start.log" 2>&1 &
pids="$! $pids"
for node in first second; do
  slurmd -N $node -D >"$scratch/slurmd-$node-start.log" 2>&1 &
  pids="$! $pids"
done
tries=0
until [ "$(sinfo -h -t idle -o %D 2>/dev/null | paste -sd+ -)" = 2 ]; do
  tries=$((tries + 1))
  if [ $tries -ge 300 ]; then
    keep_logs
    sinfo -N -l || true
    skip "Slurm does not come up with two nodes here"
  fi
  sleep 0.2
done
say "Slurm $(slurmctld -V | cut -d' ' -f2) with two nodes on $host"

# ---- the run ----

cd "$scratch"
"$python" "$here/repeat_grid.py" "$data/tmin.tif" tmin.vrt 6 6
"$python" "$here/repeat_grid.py" "$data/tmax.tif" tmax.vrt 6 6
set -- --tmin "$scratch/tmin.vrt" --tmax "$scratch/tmax.vrt" --crop napa-cabbage --dpi 60 \
  --title "Six by six"
export ISOSOW="$isosow"
"$project/scripts/cluster/slurm" $parts "$@" --out "$scratch/out"
squeue -h -o "%i %t" | sed 's/^/  queued: /'

# Kill the program (not Slurm's shell) of one task as soon as it computes.
part_of() { # PID's array task, or nothing
  tr '\0' '\n' <"/proc/$1/environ" 2>/dev/null | sed -n 's/^SLURM_ARRAY_TASK_ID=//p' || true
}
find_victim() {
  for folder in /proc/[0-9]*; do
    pid=${folder#/proc/}
    [ "$(readlink "$folder/exe" 2>/dev/null || true)" = "$(readlink -f "$isosow")" ] || continue
    [ -n "$(find "$scratch/out/parts" -name ".part-$(part_of "$pid")-of-*" 2>/dev/null)" ] || continue
    echo "$pid"
    return
  done
}
victim='' tries=0
while [ -z "$victim" ] && [ $tries -lt 2000 ]; do
  victim=$(find_victim)
  tries=$((tries + 1))
done
[ -n "$victim" ] || fail "no task was seen computing"
killed=$(part_of "$victim")
[ -n "$killed" ] || fail "the task to be killed ended by itself"
kill -KILL "$victim"
say "killed part $killed (process $victim)"

tries=0 limit=3000
while [ -n "$(squeue -h -o %i)" ]; do
  tries=$((tries + 1))
  [ $tries -lt $limit ] || { squeue; fail "the jobs do not end"; }
  sleep 0.5
done
say "all jobs have ended"
grep -q "part $killed was killed (status 137); it is queued again" "out/logs/part-$killed.log" ||
  fail "the killed part was not queued again"
[ "$(find out/parts -name "part-*-of-$parts.isosow" | wc -l)" = $parts ] || fail "parts are missing"
[ -z "$(find out/parts -name '.part-*')" ] || fail "the killed task's unfinished file is still there"
[ -e out/run.json ] || fail "the join made no results"

"$isosow" map "$@" --out single --quiet
"$here/same_results.sh" single out || fail "the results differ"
say "passed: $parts parts on two nodes, part $killed killed and run again: the same $(find out \
  -maxdepth 1 -type f | wc -l) files as one run"
