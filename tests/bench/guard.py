"""Runs the benchmarks and holds quotients of two of them, taken in one run, against tests/bench/ratios.tsv.

guard.py FOLDER_OF_PROGRAMS RATIOS.tsv      leaves with 1 when a quotient is above its bound.
The benchmarks of a program run nine times, short and shuffled among each other, so that a machine that is slow for a
while is so to all of them; the quickest of each counts. Rows whose benchmark is not built are said.
"""
import json
import pathlib
import subprocess
import sys

REPEATS = ["--benchmark_repetitions=9", "--benchmark_min_time=0.01", "--benchmark_enable_random_interleaving=true"]
UNIT = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}


def quickest(program, names):
    """Real time of each benchmark of the program, seconds: the least of its repetitions."""
    only = "--benchmark_filter=^(" + "|".join(sorted(names)) + ")$"
    out = subprocess.run([program, only, *REPEATS, "--benchmark_format=json"], capture_output=True, text=True,
                         check=True).stdout
    least = {}
    for row in json.loads(out)["benchmarks"]:
        if row["run_type"] != "iteration":
            continue
        name = row["run_name"].replace("/repeats:9", "")
        least[name] = min(least.get(name, float("inf")), row["real_time"] * UNIT[row["time_unit"]])
    return least


def main(folder, table):
    rows = [line.split("\t") for line in pathlib.Path(table).read_text(encoding="utf-8").splitlines()
            if line and not line.startswith("#")][1:]
    times, worse = {}, 0
    for program, of, by, at_most, what in rows:
        if program not in times:
            try:
                named = {name for row in rows if row[0] == program for name in row[1:3]}
                times[program] = quickest(pathlib.Path(folder) / program, named)
            except subprocess.CalledProcessError as error:  # its fast code and its plain twin disagree
                times[program] = {}
                worse += 1
                print(f"STOPPED     {program}: {(error.stderr or '').strip().splitlines()[-1:]}")
        known = times[program]
        if of not in known or by not in known:
            print(f"not built   {what}")
            continue
        ratio = known[of] / known[by]
        above = ratio > float(at_most)
        worse += above
        print(f"{'ABOVE' if above else 'ok':<6}{ratio:9.4g} (at most {at_most})  {what}")
    return 1 if worse else 0


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], sys.argv[2]))
