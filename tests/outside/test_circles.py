"""No two files of the library lean on each other, by what their object files define and ask for; but for
the reader of scenarios, whose blocks hold blocks. Prints "ok - name" or "not ok - name"."""
import os
import re
import subprocess
from pathlib import Path

BUILD = Path(os.environ.get("BUILD", "build"))
ALLOWED = [{"scenario/materials", "scenario/read"}]


def main():
    defines, asks = {}, {}
    for path in sorted((BUILD / "obj").rglob("*.o")):
        name = re.sub("_(base|v3|v4)$", "", str(path.relative_to(BUILD / "obj").with_suffix("")))
        if name.startswith("app/"):
            continue
        for line in subprocess.run(["nm", path], capture_output=True, text=True, check=True).stdout.splitlines():
            words = line.split()
            if len(words) == 3 and words[1] in "TRDB":
                defines[words[2]] = name
            elif words[0] == "U":
                asks.setdefault(name, set()).add(words[1])
    assert len(asks) > 100
    leans = {n: {defines[s] for s in a if s in defines} - {n} for n, a in asks.items()}

    def reached(start):
        seen, left = set(), [start]
        while left:
            for other in leans.get(left.pop(), ()):
                if other not in seen:
                    seen.add(other)
                    left.append(other)
        return seen

    reach = {name: reached(name) for name in leans}
    circles = {frozenset(o for o in reach[n] if n in reach.get(o, ())) for n in leans if n in reach[n]}
    wrong = [sorted(c) for c in circles if set(c) not in ALLOWED]
    print("not ok - no_two_files_lean_on_each_other " + str(wrong) if wrong
          else "ok - no_two_files_lean_on_each_other")
    return bool(wrong)


raise SystemExit(main())
