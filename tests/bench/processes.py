#!/usr/bin/env python3
"""Measures the whole program on generated plans, as JSON: start, memory, cores, the solver beside ngspice.

    tests/bench/processes.py FOLDER-OF-PROGRAMS [PART ...]      parts: start memory cores ngspice

Times are medians; processor time and memory are what the system counted for the process (wait4)."""
import json, os, re, shutil, statistics, subprocess, sys, tempfile, time
from pathlib import Path

programs = Path(sys.argv[1]).resolve()
parts = sys.argv[2:] or ["start", "memory", "cores", "ngspice"]
work = Path(tempfile.mkdtemp(prefix="lintern-bench-"))
cache = work / "cache"
base = dict(os.environ, LINTERN_CACHE=str(cache), LINTERN_CONFIG="")


def run(*command, env=None, out=None):
    """Wall seconds, processor seconds and peak memory in bytes of one process."""
    started = time.perf_counter()
    with open(out or os.devnull, "wb") as target:
        child = subprocess.Popen([str(c) for c in command], stdout=target, stderr=subprocess.DEVNULL, env=env or base)
        _, status, usage = os.wait4(child.pid, 0)
    wall = time.perf_counter() - started
    code = os.waitstatus_to_exitcode(status)
    if code not in (0, 1):
        sys.exit(f"{' '.join(map(str, command))} ended with {code}")
    return {"wall": wall, "cpu": usage.ru_utime + usage.ru_stime, "memory": usage.ru_maxrss * 1024}


def median(times, rounds, *command, **options):
    runs = [run(*command, **options) for _ in range(rounds)]
    return {name: statistics.median(r[name] for r in runs) for name in times}


def check(*paths, **options):
    arguments = ["check", "--as-of", "2026-03-05", "--format", "json", "--no-remedies"]
    return [programs / "lintern", *arguments, *paths]


def make(kind, size, to):
    run(programs / "make-plans", kind, size, to)
    return to


result = {}
if "start" in parts:
    plan = make("plan", 5, work / "five.yaml")
    run(*check(plan))
    result["warm start"] = median(["wall", "cpu"], 21, *check(plan))
    colds = []
    for number in range(5):
        shutil.rmtree(cache, ignore_errors=True)
        colds.append(run(*check(plan)))
    result["cold start"] = {"wall": statistics.median(c["wall"] for c in colds), "cpu": statistics.median(c["cpu"] for c in colds)}
    run(*check(plan))
if "memory" in parts:
    plan = make("plan", 10_000, work / "large.yaml")
    run(*check(plan))
    peak = run(*check(plan), out=work / "large.json")["memory"]
    result["memory of 10,000 luminaires"] = {"bytes": peak, "of the file": peak / plan.stat().st_size}
    peaks = {}
    for plans in (100, 1_000, 10_000):
        folder = work / f"repository-{plans}"
        make("repository", plans, folder)
        peaks[plans] = run(*check(folder))["memory"]
    result["memory of repositories"] = {"bytes": peaks, "growth a plan, bytes": (peaks[10_000] - peaks[1_000]) / 9_000}
if "cores" in parts:
    folder = work / "thousand"
    make("repository", 1_000, folder)
    run(*check(folder))
    walls = {}
    for threads in (1, 2):
        env = dict(base, RAYON_NUM_THREADS=str(threads))
        walls[threads] = median(["wall"], 5, *check(folder), env=env)["wall"]
    result["1,000 plans"] = {"seconds by threads": walls, "speedup": walls[1] / walls[2]}
if "ngspice" in parts and shutil.which("ngspice"):
    plan = make("tree", 10_000, work / "tree.yaml")
    solve = [programs / "lintern", "solve", "--format", "json", plan]
    own = median(["wall"], 5, *solve, out=work / "tree.json")["wall"]
    solved = json.loads((work / "tree.json").read_text())
    feed = next(segment["from"] for segment in solved["segments"] if "/" in segment["from"])
    name = lambda node: re.sub(r"\W", "_", node)
    # The same ohms, so that only the solving differs. No `.nodeset`: those cards make ngspice quadratic.
    lines = ["* tree", ".options itl1=2000", f"V0 emf 0 24", f"R0 emf {name(feed)} 1e-3"]
    for number, segment in enumerate(solved["segments"], 1):
        lines.append(f"R{number} {name(segment['from'])} {name(segment['to'])} {segment['ohms']:.17g}")
    lamps = [node for node in solved["nodes"] if node.startswith("N")]
    lines += [f"B{lamp} {name(lamp)} 0 I=0.01/V({name(lamp)})" for lamp in lamps]
    last = lamps[-1]
    lines += [".control", "set numdgt=15", "op", f"print v({name(last)})", "rusage totiter", "rusage tranpoints", "rusage time", "quit", ".endc", ".end"]
    netlist = work / "tree.cir"
    netlist.write_text("\n".join(lines) + "\n")
    walls, analyses = [], []
    for _ in range(3):
        walls.append(run("ngspice", "-b", netlist, out=work / "spice.txt")["wall"])
        text = (work / "spice.txt").read_text()
        found = re.search(r"[Tt]otal (?:analysis|CPU) time \(seconds\)\s*=\s*([\d.eE+-]+)", text)
        analyses.append(float(found.group(1)) if found else None)
    volts = float(re.search(r"v\(\w+\) = ([\d.eE+-]+)", text).group(1))
    result["ngspice on a tree of 10,000"] = {
        "lintern solve, whole process": own,
        "ngspice, whole process": statistics.median(walls),
        "ngspice, its own analysis time": statistics.median(analyses) if all(analyses) else None,
        "volts of the last luminaire": {"lintern": solved["nodes"][last]["volts"], "ngspice": volts},
    }
shutil.rmtree(work)
json.dump(result, sys.stdout, indent=2)
print()
