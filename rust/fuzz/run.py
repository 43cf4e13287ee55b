"""Fuzzes the core for some minutes a target and tells what came of it.

    python rust/fuzz/run.py --minutes 10 [png jpeg gif bmp webp ora stock plan recover pixelate cuts]

libFuzzer is guided by what the compiler's own coverage pass counts, which the stable compiler has; sums are
checked for overflow, and the checksums of a PNG are not looked at. What is found new stays in
``target/fuzz/corpus`` and serves the next run; a finding stays in ``target/fuzz/findings``.
"""

import argparse
import os
import re
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
PLACE = ROOT / "target" / "fuzz"
HOST = "x86_64-unknown-linux-gnu"

COVERAGE = [
    "-Cpasses=sancov-module",
    "-Cllvm-args=-sanitizer-coverage-level=4",
    "-Cllvm-args=-sanitizer-coverage-inline-8bit-counters",
    "-Cllvm-args=-sanitizer-coverage-pc-table",
    "-Cllvm-args=-sanitizer-coverage-trace-compares",
    "--cfg=fuzzing",
]
"""What cargo-fuzz gives the compiler, but for what needs a nightly one."""

LIMITS = ["-rss_limit_mb=2048", "-timeout=120", "-max_len=24576", "-print_final_stats=1", "-reload=0"]

PICTURES = ["png", "jpeg", "gif", "bmp", "webp", "ora"]
"""Corpora of one target, which reads them all: what one format teaches helps no other."""

CORPORA = [*PICTURES, "stock", "plan", "recover", "pixelate", "cuts"]


def build() -> None:
    """Build all targets."""
    command = ["cargo", "build", "--quiet", "--release", "--locked", "--target", HOST, "--target-dir", PLACE]
    environment = os.environ | {"RUSTFLAGS": " ".join(COVERAGE)}
    subprocess.run([*command, "--manifest-path", HERE / "Cargo.toml"], env=environment, check=True)


def fuzz(name: str, seeds: Path, seconds: int) -> tuple[str, bool]:
    """Fuzz from one corpus; give a line about it, and whether it went well."""
    kept, findings = PLACE / "corpus" / name, PLACE / "findings" / name
    for folder in (kept, findings):
        folder.mkdir(parents=True, exist_ok=True)
    target = PLACE / HOST / "release" / ("decode" if name in PICTURES else name)
    limits = [*LIMITS, f"-max_total_time={seconds}", f"-artifact_prefix={findings}/", "-seed=1"]
    done = subprocess.run([target, *limits, kept, seeds], capture_output=True, check=False)
    said = (done.stdout + done.stderr).decode(errors="replace")
    (PLACE / f"{name}.log").write_text(said, encoding="utf-8")
    runs = re.search(r"number_of_executed_units: (\d+)", said) or re.search(r"(?s:.*)#(\d+)", said)
    covered = re.search(r"(?s:.*)cov: (\d+)", said)
    numbers = [int(found[1]) if found else 0 for found in (runs, covered)]
    good = done.returncode == 0
    line = f"{name:<10}{numbers[0]:>12,}{numbers[1]:>10,}  {'nothing' if good else f'see {findings}'}"
    return line, good


def main() -> int:
    """Run what is asked for; 1 when anything was found."""
    parser = argparse.ArgumentParser(description="Fuzz the core for some minutes a target.")
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("corpora", nargs="*", default=CORPORA)
    asked = parser.parse_args()
    sys.path.insert(0, str(ROOT / "tests"))
    import seeds

    build()
    places = seeds.write(PLACE / "seeds")
    print(f"{'corpus':<10}{'executions':>12}{'covered':>10}  found")
    good = True
    for name in asked.corpora:
        line, went_well = fuzz(name, places[name], round(asked.minutes * 60))
        print(line, flush=True)
        good &= went_well
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
