"""``make bench``: every benchmark in one run."""

from __future__ import annotations

from benchmarks import (
    bench_commands,
    bench_energy,
    bench_frame,
    bench_papers,
    bench_power,
    bench_shading,
    bench_stock,
    bench_truing,
)


def main() -> None:
    """Print the rows of every benchmark."""
    modules = (bench_commands, bench_frame, bench_stock, bench_truing, bench_energy,
               bench_shading, bench_power, bench_papers)  # fmt: skip
    for module in modules:
        print((module.__doc__ or "").strip().splitlines()[0])
        for name, value, unit in module.run():
            print(f"  {name:<72} {value:>12.4g} {unit}")
        print()


if __name__ == "__main__":
    main()
