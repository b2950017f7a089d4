"""``make bench``: every benchmark in one run."""

from __future__ import annotations

from benchmarks import (
    bench_app,
    bench_commands,
    bench_energy,
    bench_frame,
    bench_papers,
    bench_power,
    bench_proving,
    bench_shading,
    bench_stock,
    bench_store,
    bench_trench,
    bench_truing,
    bench_works,
)


def main() -> None:
    """Print the rows of every benchmark."""
    modules = (bench_commands, bench_frame, bench_stock, bench_truing, bench_energy,
               bench_shading, bench_power, bench_papers, bench_trench, bench_works,
               bench_proving, bench_store, bench_app)  # fmt: skip
    for module in modules:
        print((module.__doc__ or "").strip().splitlines()[0])
        for name, value, unit in module.run():
            print(f"  {name:<80} {value:>12.4g} {unit}")
        print()


if __name__ == "__main__":
    main()
