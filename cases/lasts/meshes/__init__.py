"""Scans: reading a file that nobody vouches for, and measuring what is in it, in a process of its own."""
