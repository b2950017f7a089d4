"""``make bench``: every benchmark in one run."""

from __future__ import annotations

from benchmarks import bench_commands, bench_frame, bench_stock


def main() -> None:
    """Print the rows of every benchmark."""
    for module in (bench_commands, bench_frame, bench_stock):
        print((module.__doc__ or "").strip().splitlines()[0])
        for name, value, unit in module.run():
            print(f"  {name:<72} {value:>12.4g} {unit}")
        print()


if __name__ == "__main__":
    main()
