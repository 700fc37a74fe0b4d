"""Flat pieces worked out from a shoe on its last: plain geometry in millimetres."""
