"""Benchmarks: `make bench`. Everything is a ratio of CPU seconds within one run."""
