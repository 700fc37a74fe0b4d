"""Flat pieces on paper at full size, and the same lines as files for a cutting table. Pure: no Django."""
