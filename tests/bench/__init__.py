"""Measurements that print a table: `python -m tests.bench.growth`. Their essential figures are held by tests."""
