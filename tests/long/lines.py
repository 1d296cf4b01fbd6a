"""Lines of the sources that ran, from the counts of a build in the mode coverage.

usage: lines.py BUILD LEAST_PERCENT SOURCE_PREFIX,... [--left]
Prints the lines covered of each file, then all together; with --left also the numbers of the lines
that never ran. Ends with 1 if less than LEAST_PERCENT of the lines ran.
"""
import collections
import json
import pathlib
import subprocess
import sys


def counts_of(build):
    """{source: {line: runs}}, summed over all objects made from it."""
    lines = collections.defaultdict(lambda: collections.defaultdict(int))
    notes = sorted(str(p.resolve()) for p in pathlib.Path(build).rglob("*.gcda"))
    for note in notes:
        told = subprocess.run(["gcov", "--json-format", "--stdout", note], capture_output=True,
                              check=True)
        for document in told.stdout.splitlines():
            for file in json.loads(document)["files"]:
                for line in file["lines"]:
                    lines[file["file"]][line["line_number"]] += line["count"]
    return lines


def ranges(numbers):
    """1, 2, 3, 7 as '1-3 7'."""
    parts = []
    for n in sorted(numbers):
        if parts and parts[-1][1] == n - 1:
            parts[-1][1] = n
        else:
            parts.append([n, n])
    return " ".join(str(a) if a == b else f"{a}-{b}" for a, b in parts)


def main():
    build, least, prefix = sys.argv[1], float(sys.argv[2]), sys.argv[3]
    total = ran = 0
    for source, lines in sorted(counts_of(build).items()):
        if not source.startswith(tuple(prefix.split(","))):
            continue
        left = [n for n, count in lines.items() if count == 0]
        total += len(lines)
        ran += len(lines) - len(left)
        print(f"{source:32} {len(lines) - len(left):4} of {len(lines):4} lines")
        if "--left" in sys.argv and left:
            print(f"    never ran: {ranges(left)}")
    share = 100 * ran / total if total else 0
    print(f"{ran} of {total} lines of {prefix} ran: {share:.1f} %, at least {least:g} % wanted")
    sys.exit(0 if share >= least else 1)


main()
