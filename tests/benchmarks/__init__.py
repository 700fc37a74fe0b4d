"""Speeds that are measured by hand: each prints JSON. No test waits on a clock."""
