#!/bin/bash
# Runs region.sbatch under a real Slurm of one machine: controller and worker on the loopback, 20 tasks, two of them killed in work
# and put back; then the folder is compared with that of one plain run, byte for byte.
#
# Debian: apt-get install slurm-wlm munge. Needs root, as Slurm's daemons do. Everything is made in a folder of its own and ended
# by the numbers of its own processes.
#
#   BEDYEAR=/path/to/bedyear examples/region/try_on_one_machine.sh
set -eu
here=$(cd "$(dirname "$0")" && pwd)
export BEDYEAR=${BEDYEAR:-$(command -v bedyear)} REGION_FOLDER=$here
work=$(mktemp -d /tmp/region.XXXXXX)
chmod 755 "$work"
mkdir -p "$work/state" "$work/spool" "$work/out"
name=$(hostname -s)
cpus=$(nproc)
cat > "$work/slurm.conf" <<CONF
ClusterName=one
SlurmctldHost=$name(127.0.0.1)
SlurmUser=root
AuthType=auth/munge
AuthInfo=socket=$work/munge.socket
SlurmctldPort=16817
SlurmdPort=16818
StateSaveLocation=$work/state
SlurmdSpoolDir=$work/spool
SlurmctldPidFile=$work/slurmctld.pid
SlurmdPidFile=$work/slurmd.pid
SlurmctldLogFile=$work/slurmctld.log
SlurmdLogFile=$work/slurmd.log
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
SchedulerParameters=requeue_setup_env_fail
JobRequeue=1
MinJobAge=600
NodeName=$name NodeAddr=127.0.0.1 CPUs=$cpus State=UNKNOWN
PartitionName=all Nodes=$name Default=YES MaxTime=INFINITE State=UP
CONF
export SLURM_CONF=$work/slurm.conf
head -c 1024 /dev/urandom > "$work/munge.key"
chmod 400 "$work/munge.key"
munged --force --key-file="$work/munge.key" --socket="$work/munge.socket" --pid-file="$work/munge.pid" \
    --log-file="$work/munge.log" --seed-file="$work/munge.seed"
slurmctld -f "$work/slurm.conf"
slurmd -f "$work/slurm.conf" -N "$name"
end() {
    for daemon in slurmd slurmctld munge; do
        kill "$(cat "$work/$daemon.pid")" 2>/dev/null || true
    done
}
trap end EXIT
for _ in $(seq 30); do
    [ "$(sinfo -h -o %T)" = idle ] && break
    sleep 1
done
sinfo
cd "$work"
job=$(sbatch --parsable --array=0-19 "$here/region.sbatch" "$work/out/array")
echo "array job $job of 20 tasks"
# Two tasks are killed in work, and put back.
killed=0
while [ $killed -lt 2 ]; do
    task=$(squeue -h -r -t R -o %i -j "$job" | sed -n 1p)
    [ -z "$task" ] && { sleep 0.2; continue; }
    sleep 1
    scontrol requeue "$task" 2>/dev/null && { killed=$((killed + 1)); echo "killed in work and put back: $task"; }
    sleep 3
done
while [ -n "$(squeue -h -j "$job")" ]; do sleep 2; done
grep -l "designs of" region-*.log | wc -l | sed 's/$/ tasks have said how many designs they made/'
"$BEDYEAR" designs "$work/out/array" --progress
"$BEDYEAR" sweep "$here/hall.toml" --vary "site.place=@$here/towns.txt" --vary building.length=8..20/4m \
    --vary "air.infiltration=0.2 /h,0.5 /h,1 /h" --part 6 -o "$work/out/one"
diff -r "$work/out/array" "$work/out/one" && echo "byte for byte the folder of one run"
"$BEDYEAR" designs "$work/out/array" --where "air.infiltration < 0.5" --by site.place \
    --show "count, median air_min_c, p10 air_min_c, median heater_kwh"
echo "work folder: $work"
